"""Store the outputs of the check cells again after an intended change: python tests/workbooks/refresh.py [PAGE.ipynb ...]

Only cells marked NBVAL_CHECK_OUTPUT keep an output; everything else leaves the workbooks clean. Look at the difference before you commit it.
"""

import os
import sys
from pathlib import Path

import nbformat
from nbclient import NotebookClient

FOLDER = Path(__file__).resolve().parents[2] / "workbooks"


def refresh(path):
    """Run one page on the demo build and keep the outputs of its check cells only."""
    notebook = nbformat.read(path, as_version=4)
    NotebookClient(notebook, timeout=120, kernel_name="python3", resources={"metadata": {"path": str(FOLDER)}}).execute()
    for cell in notebook.cells:
        if cell.cell_type != "code":
            continue
        cell.execution_count = None
        cell.metadata.pop("execution", None)
        if "NBVAL_CHECK_OUTPUT" in cell.source:
            cell.execution_count = 1  # nbval takes a cell with outputs and no number for one that was never run
            for output in cell.outputs:
                output.pop("execution_count", None)
        else:
            cell.outputs = []
    notebook.metadata.pop("widgets", None)
    notebook.metadata["language_info"] = {"name": "python"}
    nbformat.write(notebook, path)


if __name__ == "__main__":
    os.environ["TWINKIT_STRICT"] = "1"
    for name in sys.argv[1:] or sorted(p.name for p in FOLDER.glob("*.ipynb")):
        refresh(FOLDER / Path(name).name)
        print("refreshed", name)

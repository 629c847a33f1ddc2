"""axe-core, a general-purpose checker of accessibility, from the npm registry: `.venv/bin/python -m browser.axe` with tests on the path fetches it.

It lies in a folder that git ignores and is neither changed nor handed on.
"""

import json
import subprocess
import sys
from pathlib import Path

VERSION = "4.14.1"
FOLDER = Path(__file__).parent / ".axe"
PACKAGE = FOLDER / "node_modules" / "axe-core"
# What is ours: the outputs of the cells, not JupyterLab round them.
RUN = """() => axe.run({include: ['.jp-OutputArea-output']}).then(found => found.violations.map(
    v => `${v.impact}, ${v.id}, ${v.nodes.length} times: ${v.help}; first ${v.nodes[0].html.slice(0, 160)} ${v.nodes[0].failureSummary.slice(0, 200)}`))"""


def script():
    """The checker as one script, fetched when it is not there yet; RuntimeError says why it cannot be had."""
    about = PACKAGE / "package.json"
    if not about.is_file() or json.loads(about.read_text(encoding="utf-8"))["version"] != VERSION:
        FOLDER.mkdir(exist_ok=True)
        try:
            subprocess.run(["npm", "install", "--no-save", "--ignore-scripts", "--no-audit", "--no-fund", "--prefix", FOLDER, f"axe-core@{VERSION}"],
                           check=True, capture_output=True, text=True, timeout=120)
        except (OSError, subprocess.SubprocessError) as trouble:
            said = (getattr(trouble, "stderr", "") or str(trouble)).strip().splitlines()
            raise RuntimeError(f"axe-core {VERSION} could not be fetched with npm, and without it accessibility is not checked ({said[0] if said else 'without a word'}): "
                               "install npm and connect once, then run `.venv/bin/python -m browser.axe`") from trouble
    return (PACKAGE / "axe.min.js").read_text(encoding="utf-8")


def violations(page, checker):
    """What it finds on a page as it now stands, a line each."""
    page.evaluate(checker)
    return page.evaluate(RUN)


if __name__ == "__main__":
    try:
        script()
    except RuntimeError as trouble:
        sys.exit(str(trouble))

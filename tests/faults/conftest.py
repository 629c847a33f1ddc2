"""The command line, run inside the tests, takes this Python as complete: nothing is installed from here."""

import pytest

from twinkit import bootstrap


@pytest.fixture(autouse=True)
def ready(monkeypatch):
    monkeypatch.setattr(bootstrap, "go_on", lambda argv, testing=False: None)


@pytest.fixture
def outputs(monkeypatch):
    """Outputs of a page, collected instead of shown."""
    from IPython.core.interactiveshell import InteractiveShell

    collected = []
    monkeypatch.setattr(InteractiveShell.instance().display_pub, "publish", lambda data, metadata=None, **more: collected.append(data))
    monkeypatch.setenv("TWINKIT_STRICT", "1")
    return collected

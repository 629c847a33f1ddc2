"""One JupyterLab for the browser tests of a module."""

import os

import pytest
from browser import axe as checker
from browser import lab as real


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    """A JupyterLab on a new build of the demo aeroplane: see Server."""
    place = tmp_path_factory.mktemp("lab")
    with real.lab(place) as server:
        yield server


@pytest.fixture(scope="session")
def axe():
    """The script of the accessibility checker; without it the tests are skipped, or fail where they are demanded."""
    try:
        return checker.script()
    except RuntimeError as trouble:
        (pytest.fail if os.environ.get("TWINKIT_REQUIRE_BROWSER") == "1" else pytest.skip)(str(trouble))


@pytest.fixture
def open_page(chromium, server):
    """Opens a page of the build and runs it; closed again, with its kernel, at the end of the test."""
    opened = []

    def open_and_run(name, **size):
        page = real.opened(chromium, server, name, **size)
        opened.append(page)
        real.run(page)
        return page

    yield open_and_run
    for page in opened:
        page.context.close()
    real.end_sessions(server)

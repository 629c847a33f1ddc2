"""One JupyterLab and one Chromium for all browser tests of a run; the tests are skipped where there is no Chromium."""

import os

import pytest
from browser import lab as real

REQUIRED = os.environ.get("TWINKIT_REQUIRE_BROWSER") == "1"


@pytest.fixture(scope="session")
def chromium():
    """A Chromium without a screen."""
    if real.CHROMIUM is None:
        if REQUIRED:
            pytest.fail("no Chromium was found and this run demands the browser tests")
        pytest.skip("no Chromium on this machine: install Debian's package chromium to run the browser tests")
    with real.chromium() as browser:
        yield browser


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    """A JupyterLab on a new build of the demo aeroplane: see Server."""
    place = tmp_path_factory.mktemp("lab")
    with real.lab(place) as server:
        yield server


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

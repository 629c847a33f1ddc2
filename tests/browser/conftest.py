"""One JupyterLab for the browser tests of a module."""

import pytest
from browser import lab as real


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

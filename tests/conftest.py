"""One Chromium for the browser tests of a module; the tests are skipped where there is none."""

import os

import pytest
from browser import lab as real

REQUIRED = os.environ.get("TWINKIT_REQUIRE_BROWSER") == "1"


@pytest.fixture(scope="module")  # closed after each module: while it is open an event loop runs, and tests that start one of their own fail
def chromium():
    """A Chromium without a screen."""
    if real.CHROMIUM is None:
        if REQUIRED:
            pytest.fail("no Chromium was found and this run demands the browser tests")
        pytest.skip("no Chromium on this machine: install Debian's package chromium to run the browser tests")
    with real.chromium() as browser:
        yield browser

"""One Chromium for all browser tests of a run; the tests are skipped where there is none."""

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

"""The demo builds as they stand, worked out once for a module."""

import pytest

from builds import build


@pytest.fixture(scope="module")
def dunlin():
    return build()


@pytest.fixture(scope="module")
def siskin():
    return build("siskin")

"""Layouts that the circuit tests share. left is A and right is B in tables of the trade."""

import pytest

from twinkit.circuit.layouts import Layout

# common practice, no source: the usual layouts of small twins
USUAL = {
    "L1": Layout("one", source="left_bec", throttle="y_lead"),
    "L2": Layout("one", source="left_bec", throttle="two_channels"),
    "L3": Layout("two", source="left_bec", throttle="y_lead"),
    "L4": Layout("two", source="left_bec", throttle="two_channels"),
    "L6": Layout("one", source="stand_alone", stand_alone_feed="shared", throttle="two_channels"),
    "L7": Layout("two", source="receiver_pack", throttle="two_channels"),
    "L8": Layout("joined", source="left_bec", throttle="two_channels"),
}


@pytest.fixture(scope="session")
def usual():
    return USUAL

"""What a page tells the browser arrives whole, and in few messages."""

import queue

import pytest
from jupyter_client.manager import start_new_kernel

from twinkit.controls.fields import Group
from twinkit.controls.guard import Guard
from twinkit.record import Record

MESSAGES, LETTERS = 4000, 4000      # more than by default waits: a thousand at each end and some megabytes on the way
SAY = f"""from IPython.display import display
for number in range({MESSAGES}):
    display({{"text/plain": "x" * {LETTERS}}}, raw=True)
"""


def arrived(before):
    """How many of many messages come to a client that takes none of them while they are sent."""
    manager, client = start_new_kernel(kernel_name="python3")
    try:
        client.execute_interactive(before, timeout=60)
        client.execute(SAY, reply=True, timeout=60)
        found = 0
        while found < MESSAGES:
            found += client.get_iopub_msg(timeout=3)["msg_type"] == "display_data"
        return found
    except queue.Empty:
        return found
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)


@pytest.mark.identity
def test_no_message_is_lost_while_the_server_is_busy():
    assert arrived("from twinkit.controls.output import lose_nothing; lose_nothing()") == MESSAGES
    assert 0 < arrived("pass") < MESSAGES, "by default a kernel loses some; if it no longer does, lose_nothing() can go"


def test_fields_that_look_alike_share_their_layout_and_style(build):
    group = Group("wing", "planform", Record.read(build / "build.toml"), lambda path: None, Guard(print))
    models, open_ = [], [group.widget]
    while open_:
        one = open_.pop()
        models += [one.layout, *([one.style] if hasattr(one, "style") else [])]
        open_ += getattr(one, "children", ())
    assert len(group.fields) == 10
    assert len(models) > 100 and len(set(models)) < 20, "each is a message to the browser"

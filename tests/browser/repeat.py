"""The browser tests over and over, to find those that fail now and then: `.venv/bin/python -m browser.repeat 20` with tests on the path.

It makes as many runs as fit into ten minutes, says how many in a row were without a failure, and goes on from there when it is started again.
A failure, or a change of a file git knows, begins the count anew.
"""

import hashlib
import json
import os
import subprocess
import sys
import time
from pathlib import Path

from browser import lab

PIECE_SECONDS = 600
COUNT = Path(__file__).parent / ".repeat.json"
# The tests on a running JupyterLab, in two halves at once, so that each meets a busy machine; those of the sheets let a browser print a finished file, where
# nothing waits for a page that moves.
TESTS = [sys.executable, "-m", "pytest", "-q", "-x", "-m", "browser"]
HALVES = (["tests/browser/test_every_page.py"], ["tests/browser", "--ignore=tests/browser/test_every_page.py"])


def code():
    """What is tested: the last commit and what was changed since."""
    changes = [subprocess.run(["git", *words], cwd=lab.TOP, capture_output=True, check=True).stdout for words in (("rev-parse", "HEAD"), ("diff", "HEAD"))]
    return hashlib.sha256(b"".join(changes)).hexdigest()


def repeat(wanted):
    """Make a piece of the runs; the exit status: 0 they are complete, 1 one failed, 2 there are more to make."""
    began, now = time.monotonic(), code()
    stored = json.loads(COUNT.read_text(encoding="utf-8")) if COUNT.is_file() else {}
    done = stored.get("done", 0) if stored.get("code") == now else 0
    longest = 0.0
    while done < wanted and time.monotonic() - began + longest < PIECE_SECONDS:
        start = time.monotonic()
        halves = [subprocess.Popen([*TESTS, *half], cwd=lab.TOP, env={**os.environ, "TWINKIT_REQUIRE_BROWSER": "1", "TWINKIT_STRICT": "1"},
                                   stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True) for half in HALVES]
        said = [half.communicate()[0] for half in halves]
        longest = max(longest, time.monotonic() - start)
        failed = any(half.returncode for half in halves)
        done = 0 if failed else done + 1
        COUNT.write_text(json.dumps({"code": now, "done": done}), encoding="utf-8")
        if failed:
            print(*said, sep="\n")
            return 1
        print(f"run {done} of {wanted}: {'; '.join(text.strip().splitlines()[-1] for text in said)}", flush=True)
    if done < wanted:
        print(f"{done} of {wanted} runs in a row without a failure; start it again to go on")
        return 2
    print(f"{done} runs in a row without a failure")
    return 0


if __name__ == "__main__":
    sys.exit(repeat(int(sys.argv[1]) if sys.argv[1:] else 20))

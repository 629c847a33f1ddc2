"""A lock file beside the build, so that two pages saving at once do not lose a section."""

import contextlib
import os
import secrets
import socket
import time

from twinkit import files
from twinkit.record.sections import RecordError

WAIT = 8.0     # s, how long a save waits for others
STALE = 4.0    # s, a lock that is watched as long as that and stays the same was left behind by a stopped program; a save takes a small part of a second
EMPTY = 0.5    # s, the same for a lock without its word, which its maker writes at once
PAUSE = 0.001  # s, between two tries
MOST = 400     # bytes of a lock that are looked at
REST = 0.005   # s, after letting go, so that a page that saves again and again does not shut the others out


class Lock:
    """Held while a build is saved: a file made by O_EXCL, which holds machine, process and a word that only its maker knows.

    Whether a lock was left behind is seen from its process where that can be asked, else by watching it; no clock of a disk or a machine is believed.
    """

    def __init__(self, target):
        self.path = target.with_name(f"{target.name}.lock")
        self._name, self._word = target.name, f"{socket.gethostname()} {os.getpid()} {secrets.token_hex(16)}"

    def __enter__(self):
        limit, seen, since = time.monotonic() + WAIT, None, 0.0
        while not self._made():
            now, word = time.monotonic(), _words(self.path)
            if word is None or word != seen:
                seen, since = word, now
            if word is not None and (_ended(word) or now - since > (STALE if word else EMPTY)):
                self._set_aside(word)
            elif now > limit:
                raise RecordError(f"{self._name} was not saved: another page has been saving it for {WAIT:g} s. Try again; "
                                  f"if nothing else is open, delete {self.path.name} beside it")
            else:
                time.sleep(PAUSE)
        return self

    def __exit__(self, *about):
        if self.held():
            with contextlib.suppress(OSError):
                os.unlink(self.path)
        time.sleep(REST)

    def held(self):
        """Whether the lock is still this one's (a machine put to sleep in the middle may have lost it)."""
        return _words(self.path) == self._word

    def _made(self):
        try:
            file = os.open(self.path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o666)
        except FileExistsError:
            return False
        except PermissionError:
            if self.path.exists():  # being deleted by its holder, as some systems tell it
                return False
            raise
        try:
            try:
                files.write_all(file, self._word.encode())
            finally:
                os.close(file)
        except BaseException:
            os.unlink(self.path)
            raise
        return True

    def _set_aside(self, word):
        """Take the lock with this word away; a fresh one that came in between is put back."""
        aside = self.path.with_name(f"{self.path.name}.{secrets.token_hex(8)}")
        with contextlib.suppress(OSError):
            os.replace(self.path, aside)
            if _words(aside) != word:
                os.link(aside, self.path)
        with contextlib.suppress(OSError):
            os.unlink(aside)


def _ended(word):
    """Whether a lock's process ran on this machine and is gone."""
    machine, _, rest = word.partition(" ")
    number = rest.partition(" ")[0]
    if os.name != "posix" or machine != socket.gethostname() or not number.isdecimal():      # elsewhere to ask for a process may stop it
        return False
    try:
        os.kill(int(number), 0)
    except ProcessLookupError:
        return True
    except (OSError, OverflowError):
        return False
    return False


def _words(path):
    try:
        with path.open("rb") as file:
            return file.read(MOST).decode("utf-8", "replace")
    except OSError:
        return None

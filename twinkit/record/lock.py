"""A lock file beside the build, so that two pages saving at once do not lose a section."""

import contextlib
import os
import secrets
import time

from twinkit.record.sections import RecordError

WAIT = 5.0     # s, how long a save waits for another one
STALE = 30.0   # s, age at which a lock is one that a stopped program left behind; a save takes a small part of a second
PAUSE = 0.001  # s, between two tries
REST = 0.005   # s, after letting go, so that a page that saves again and again does not shut the others out


class Lock:
    """Held while a build is saved: a file made by O_EXCL, which holds a word that only its maker knows."""

    def __init__(self, target):
        self.path = target.with_name(f"{target.name}.lock")
        self._name, self._word = target.name, secrets.token_hex(16)

    def __enter__(self):
        limit = time.monotonic() + WAIT
        while not self._made():
            if self._stale():
                self._set_aside()
            elif time.monotonic() > limit:
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
                write_all(file, self._word.encode())
            finally:
                os.close(file)
        except BaseException:
            os.unlink(self.path)
            raise
        return True

    def _stale(self):
        try:
            return time.time() - os.stat(self.path).st_mtime > STALE
        except OSError:
            return False

    def _set_aside(self):
        """Take a stale lock away; a fresh one that came in between is put back."""
        word, aside = _words(self.path), self.path.with_name(f"{self.path.name}.{secrets.token_hex(8)}")
        with contextlib.suppress(OSError):
            os.replace(self.path, aside)
            if _words(aside) != word:
                os.link(aside, self.path)
        with contextlib.suppress(OSError):
            os.unlink(aside)


def write_all(file, data):
    """All the data to an open file; a system may take it in pieces."""
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(file, rest):]


def _words(path):
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return None

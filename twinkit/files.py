"""Files whole or not at all: written beside their place, safely on disk, then put there in one step, and never through a link that lies there."""

import contextlib
import errno
import os
import re
import secrets
import stat
import time
import unicodedata
from pathlib import Path

PATIENCE = 1.0  # s, for another program that holds a file for a moment (a virus scanner, one that keeps folders alike)
PAUSE = 0.01    # s, between two tries
MAX_NAME = 80   # letters of a name
MAX_BYTES = 200  # of a name in UTF-8; systems take 255, and ".previous.toml" or a lock's name may follow
FIT = f"it may have at most {MAX_NAME} letters, digits, spaces and - _ . inside, and no folders"
_RESERVED = re.compile(r"(?i)(con|prn|aux|nul|conin\$|conout\$|(com|lpt)[\d\u00b9\u00b2\u00b3])( *\..*)?")      # names that Windows keeps for itself
_LEFT = re.compile(r"\.(?P<name>.+)\.[0-9a-f]{16}\.tmp")


class Held(PermissionError):
    """A file that may not be replaced just now."""

    def __init__(self, target):
        super().__init__(errno.EACCES, "another program holds the file; close it there, then do this again", str(target))


def fit_name(name):
    """The nearest name that fits a folder or a file on any system; the name itself where it does."""
    near = "".join("-" if c in '<>:"/\\|?*' else c for c in name if unicodedata.category(c)[0] != "C")
    near = near.strip(" .-")[:MAX_NAME].encode("utf-8")[:MAX_BYTES].decode("utf-8", "ignore").rstrip(" .-")
    return (f"{near.split('.')[0].rstrip()}-build" if _RESERVED.fullmatch(near) else near) or "build"


def write(path, data):
    """Bytes or text into a file, new or in the place of one that is there; OSError leaves that one as it was."""
    with making(path) as temporary:
        _filled(temporary, data.encode("utf-8", "replace") if isinstance(data, str) else data)


@contextlib.contextmanager
def making(path):
    """A name to write a file under; it comes to its place when all is written and nothing went wrong."""
    path = Path(path)
    mode = None
    if path.exists() and not path.is_file():
        raise OSError(errno.EINVAL, "that is not a file", str(path))
    if path.is_file() and not path.is_symlink():
        mode = stat.S_IMODE(os.stat(path).st_mode)
        if not mode & 0o222:
            raise PermissionError(errno.EACCES, "the file is write-protected", str(path))
    temporary = laid(path, b"", mode)
    try:
        yield temporary
        with open(temporary, "r+b") as file:
            os.fsync(file.fileno())
    except BaseException:
        gone(temporary)
        raise
    placed(temporary, path)


def laid(target, data, mode):
    """The data in a new file in the target's folder, safely on disk; its path."""
    temporary = target.with_name(f".{target.name}.{secrets.token_hex(8)}.tmp")
    file = os.open(temporary, os.O_CREAT | os.O_EXCL | os.O_WRONLY | getattr(os, "O_BINARY", 0), 0o666)
    try:
        try:
            write_all(file, data)
            os.fsync(file)
        finally:
            os.close(file)
        if mode is not None:
            with contextlib.suppress(OSError):
                os.chmod(temporary, mode)
    except BaseException:
        gone(temporary)
        raise
    return temporary


def placed(temporary, target):
    """Put a finished file in the place of the target, in one step."""
    until = time.monotonic() + PATIENCE
    while True:
        try:
            os.replace(temporary, target)
            return
        except PermissionError as error:
            if time.monotonic() > until:
                gone(temporary)
                raise Held(target) from error
            time.sleep(PAUSE)
        except BaseException:
            gone(temporary)
            raise


def gone(path):
    """Take a file away, where that can be done."""
    with contextlib.suppress(OSError):
        os.unlink(path)


def swept(target):
    """Take away what a program that was stopped in the middle left beside a target."""
    with contextlib.suppress(OSError):
        for entry in list(os.scandir(target.parent)):
            found = _LEFT.fullmatch(entry.name)
            if found and found["name"] == target.name:
                gone(entry.path)


def write_all(file, data):
    """All the data to an open file; a system may take it in pieces."""
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(file, rest):]


def _filled(path, data):
    with open(path, "wb") as file:
        file.write(data)

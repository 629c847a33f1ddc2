"""Saving: atomic, with the previous version kept, never over a newer file on disk, and nothing lost."""

import contextlib
import difflib
import errno
import os
import shutil
import stat
from dataclasses import dataclass
from pathlib import Path

from twinkit import files
from twinkit.record import document
from twinkit.record.lock import Lock
from twinkit.record.merge import Conflict, merged
from twinkit.record.sections import SCHEMA, RecordError

_FULL = {errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)}
_CLOSED = {errno.EACCES, errno.EPERM, errno.EROFS}


@dataclass(frozen=True)
class SaveReport:
    """What a save did.

    merged: sections taken over from disk. conflicts: entries changed here and there; unless resolved, nothing was written then.
    previous: the file with the version before. set_aside: where a file on disk that could not be read was put.
    """

    path: Path
    merged: tuple = ()
    conflicts: tuple = ()
    previous: Path | None = None
    saved: bool = True
    set_aside: Path | None = None


def safe_name(name):
    """The name of a build, fit for a folder or a file on any system; RecordError with the nearest fit one."""
    near = files.fit_name(str(name))
    if near != name:
        raise RecordError(f"'{name}' cannot name a build: {files.FIT}; nearest: {near}")
    return near


def same_file(one, other):
    """Whether two paths lead to the same file, also through links."""
    return os.path.realpath(one) == os.path.realpath(other)


def _target(path):
    """The file to be replaced. A link is followed, so that the build it names is saved and the link stays."""
    target = Path(os.path.realpath(path))
    if Path(path).is_symlink() and not target.exists():
        raise RecordError(f"{path} is a link to {target}, which is not there: nothing was saved")
    if not target.parent.is_dir():
        raise RecordError(f"{path} cannot be saved: there is no folder {target.parent}")
    if target.exists():
        mode = os.stat(target).st_mode
        if not stat.S_ISREG(mode):
            raise RecordError(f"{path} is not a file: nothing was saved")
        if not mode & 0o222 or not os.access(target, os.W_OK):
            raise RecordError(f"{path} is write-protected: nothing was saved; take the protection off or save under another name")
    return target


def _beside(target, word):
    return target.with_name(f"{target.stem}.{word}{target.suffix}")


def _folder_synced(folder):
    """The new names on disk too, where the system can do that."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def way_back(path):
    """What to say of the version before the last save, of a file that cannot be read; '' where that cannot be read either."""
    previous = _beside(Path(os.path.realpath(path)), "previous")
    try:
        document.loaded(document.decoded(document.read_bytes(previous), previous.name), previous.name)
    except RecordError:
        return ""
    return f". {previous.name} beside it holds the version before the last save, and that one can be read"


def _aside(target):
    """The first free name for a file that cannot be read."""
    number = 1
    while os.path.lexists(_beside(target, f"unreadable-{number}")):
        number += 1
    return _beside(target, f"unreadable-{number}")


def _sentence(path, error):
    """What went wrong while saving, for the reader."""
    if error.errno in _FULL:
        why = "the disk is full; make room"
    elif isinstance(error, files.Held):
        why = error.strerror
    elif error.errno in _CLOSED:
        why = f"the folder {Path(path).resolve().parent} cannot be written to; save in another one"
    else:
        why = f"{error.strerror or error}; try again or save in another folder"
    return f"{Path(path).name} was not saved: {why}. The file on disk is as it was before"


@dataclass(frozen=True)
class State:
    """A record between two saves: its plain data, the text they are laid out in, and the text on disk as it was last read or saved."""

    plain: dict
    layout: str
    base: str | None


def save(path, state, own, resolve=None):
    """Save a record: the report and its new state. own: the file is the one the record was read from or last saved to."""
    if resolve not in (None, "mine", "theirs"):
        near = difflib.get_close_matches(str(resolve), ("mine", "theirs"), n=1)
        raise RecordError(f"'{resolve}' does not resolve a conflict: allowed are mine, theirs{f'; nearest: {near[0]}' if near else ''}")
    try:
        target = _target(path)
        with Lock(target) as lock:
            for left in (target, _beside(target, "previous")):      # by a page that was stopped in the middle of a save
                files.swept(left)
            return _save(Path(path), target, state, own, resolve, lock)
    except OSError as error:
        raise RecordError(_sentence(path, error)) from error


def _save(path, target, state, own, resolve, lock):
    exists = target.exists()
    if exists and not own:
        raise RecordError(f"{path} holds a build already: choose another name, or open that build and change it there")
    plain, layout, disk, taken, conflicts, unreadable = {**state.plain, "schema": SCHEMA}, state.layout, None, (), (), False
    data = None
    if exists:
        try:
            data = document.read_bytes(target)
            disk = document.decoded(data, target.name)
            theirs, their_layout, _ = document.loaded(disk, target.name)
        except document.NewerSchema:
            raise RecordError(f"{path.name} was not saved: the file on disk was written by a newer version; update twinkit, then open it again") from None
        except document.Unreadable:
            if path.is_symlink():
                raise RecordError(f"{path} is a link to a file that cannot be read as a build: nothing was saved") from None
            unreadable = True
    if exists and not unreadable and disk != state.base:
        base = document.loaded(state.base, path.name)[0] if state.base is not None else {}
        plain, taken, conflicts = merged(base, plain, theirs, resolve)
        if conflicts and resolve is None:
            return SaveReport(path, (), conflicts, None, saved=False), state
        layout, before = their_layout, theirs
    else:
        before = document.loaded(layout, path.name)[0]
    text = document.rendered(layout, before, plain)
    new = State(plain, text, text)
    if text == disk:
        return SaveReport(path, taken, conflicts), new
    crlf = data is not None and b"\r\n" in data
    encoded = (text.replace("\n", "\r\n") if crlf else text).encode("utf-8")
    if len(encoded) > document.MAX_BYTES:
        raise RecordError(f"{path.name} was not saved: the record would hold {len(encoded)} bytes, at most {document.MAX_BYTES} can be read again; "
                          f"shorten notes, rows or the journal")
    previous, aside = _replace(target, encoded, data, unreadable, lock)
    return SaveReport(path, taken, conflicts, previous, saved=True, set_aside=aside), new


def _replace(target, encoded, data, unreadable, lock):
    """Put the new bytes in the target's place, the old ones beside it; (previous version, file set aside)."""
    mode = stat.S_IMODE(os.stat(target).st_mode) if target.exists() else None
    temporary = files.laid(target, encoded, mode)
    previous = aside = None
    try:
        if unreadable:
            aside = _aside(target)
            with files.making(aside) as copy:
                shutil.copyfile(target, copy)
        elif data is not None:
            previous = _beside(target, "previous")
            files.placed(files.laid(previous, data, mode), previous)
        if not lock.held():
            raise RecordError(f"{target.name} was not saved: the save took so long that another page went ahead; save again")
    except BaseException:
        files.gone(temporary)
        raise
    files.placed(temporary, target)
    _folder_synced(target.parent)
    return previous, aside


__all__ = ["Conflict", "SaveReport", "State", "safe_name", "same_file", "save"]

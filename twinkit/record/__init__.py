"""The record of a build: one readable file, build.toml, read and written by every page."""

from twinkit.record.journal import Change, Kept
from twinkit.record.merge import Conflict
from twinkit.record.save import SaveReport, safe_name
from twinkit.record.sections import Entry, Problem, RecordError
from twinkit.record.store import Record

__all__ = ["Change", "Conflict", "Entry", "Kept", "Problem", "Record", "RecordError", "SaveReport", "safe_name"]

"""What a count found."""

import time
import traceback
from dataclasses import dataclass, field
from pathlib import Path

from twinkit.record import RecordError


@dataclass
class Tally:
    """How often something was done, what was lost, what went past the sentences, and the slowest answer [s]."""

    what: str
    done: int = 0
    told: int = 0
    lost: list = field(default_factory=list)
    tracebacks: list = field(default_factory=list)
    slowest: float = 0.0
    more: str = ""

    def answer(self, label, act):
        """Do one thing: a result or a sentence are answers, everything else is a traceback. What came back, or None."""
        began = time.monotonic()
        self.done += 1
        try:
            return act()
        except RecordError as refused:
            self.told += 1
            self.sentence(label, str(refused))
        except Exception as trouble:  # that is what is counted
            last = [frame for frame in traceback.extract_tb(trouble.__traceback__) if "twinkit" in frame.filename][-1:]
            where = f"{Path(last[0].filename).name}:{last[0].lineno}" if last else "outside"
            self.tracebacks.append(f"{label}: {type(trouble).__name__} at {where}: {str(trouble)[:80]}")
        finally:
            self.slowest = max(self.slowest, time.monotonic() - began)
        return None

    def sentence(self, label, words):
        """A refusal that no reader could use is as bad as none."""
        if not words.strip() or len(words) > 4000 or max(map(len, words.split("\n"))) > 700 or "Traceback" in words or "object at 0x" in words:
            self.tracebacks.append(f"{label}: no sentence: {words[:120]}")

    @property
    def clean(self):
        return not self.lost and not self.tracebacks

    def row(self):
        """For the table of counts."""
        return (self.what, str(self.done), str(self.told), str(len(self.lost)), str(len(self.tracebacks)), f"{self.slowest:.2f} s", self.more)

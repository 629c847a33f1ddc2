"""How far each finding moves with each entry that may stand assumed: what tells a finding apart from all it only reads.

Run as a program it writes data/findings/moved_by.csv: on both demo builds every entry a finding leans on goes half way to either end of its usual range
(a choice: to its other answers). The share is the greatest change of the finding's number over the number; a verdict that changes counts as half at least.

    .venv/bin/python tests/weights.py
"""

import csv
import math
import sys
from pathlib import Path

from builds import build
from twinkit import checks, quantities
from twinkit.record import RecordError

TABLE = Path(__file__).resolve().parents[1] / "data" / "findings" / "moved_by.csv"
BUILDS = ("dunlin", "siskin")
LEAST = 0.005            # smaller shares are not written down
VERDICT = 0.5            # counts for a verdict that changes


def neutral(path):
    """An entry without its side: what moves a finding on one side may do so on the other."""
    return quantities.quantity(path).id


def tries(record, path):
    """Other values of an entry: half way to the ends of its usual range, or its other answers."""
    quantity, value = quantities.quantity(path), record.value(path)
    if quantity.kind == "number":
        half = 0.25 * (quantity.usual[1] - quantity.usual[0])
        middle = 0.5 * sum(quantity.usual) if value is None else value
        ends = (min(max(middle + sign * half, quantity.possible[0]), quantity.possible[1]) for sign in (-1.0, 1.0))
        return [math.floor(x) if quantity.whole else x for x in ends]
    return [not value] if quantity.kind == "flag" else [word for word in quantity.choices if word != value] if quantity.kind == "choice" else []


def moved(before, after):
    """How far a finding has moved."""
    share = VERDICT if after.verdict != before.verdict else 0.0
    numbers = [f.value for f in (before, after)]
    if all(isinstance(x, (int, float)) and not isinstance(x, bool) and math.isfinite(x) for x in numbers) and numbers[0]:
        share = max(share, abs(numbers[1] / numbers[0] - 1.0))
    return share


def weights(name, paths=None):
    """{(code, entry): share} of one demo build, of these entries or of all that its findings lean on."""
    results = build(name)
    before, found = {f.code: f for f in checks.findings(results.record, None, results)}, {}
    leaned = {path for f in before.values() for path in f.leans_on if quantities.known(path)}
    for path in sorted(leaned if paths is None else leaned & set(paths)):
        for value in tries(results.record, path):
            try:
                after = results.changed({path: value})
            except RecordError:
                continue
            for finding in checks.findings(after.record, None, after):
                own = before[finding.code]
                if path in own.leans_on:
                    key = finding.code, neutral(path)
                    found[key] = max(found.get(key, 0.0), moved(own, finding))
    return {key: share for key, share in found.items() if share >= LEAST}


def rounded(share):
    return f"{min(share, 9.0):.1g}"


if __name__ == "__main__":
    whole = {}
    for build_name in BUILDS:
        for key, share in weights(build_name).items():
            whole[key] = max(whole.get(key, 0.0), share)
    with open(TABLE, "w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("code", "entry", "share"))
        writer.writerows((code, entry, rounded(share)) for (code, entry), share in sorted(whole.items(), key=lambda item: (item[0][0], -float(rounded(item[1])), item[0][1])))
    print(f"{len(whole)} lines", file=sys.stderr)

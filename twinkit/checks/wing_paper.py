"""Check of page 05 on paper: whether the templates came out in their size."""

from twinkit import units
from twinkit.checks.base import Advice
from twinkit.checks.wing import WingCheck
from twinkit.design.base import said_all


class TemplateScale(WingCheck):
    code = "A17"
    title = "Size of the printed templates"
    why = "A printer that fits pages to its paper makes every part a few per cent smaller, and nobody sees it before the wing is glued."
    needs = ("templates",)
    limit = "limits.template_error"
    examples = {"good": {"wing.bar_across": "100 mm", "wing.bar_up": "99.8 mm"}, "not": {"wing.bar_across": "97 mm", "wing.bar_up": "97 mm", "wing.check_across": "97 mm", "wing.check_up": "97.1 mm"},
                "cannot tell": {"wing.bar_across": None}}

    def look(self, results):
        told, bound, record = results.templates, self.bound(results), results.record
        if told.printed_across is None or told.printed_up is None:
            missing = [p for p in ("wing.bar_across", "wing.bar_up") if record.value(p) is None]
            return self.say("cannot tell", f"Not yet known: {said_all(missing)}. Print page 1 of the templates and measure both bars before you cut.", results=results)
        off = max(abs(told.printed_across - 1.0), abs(told.printed_up - 1.0))
        mm = lambda share: f"{units.digits(100.0 * share, 4)} mm"  # noqa: E731
        words = f"The bar across measures {mm(told.printed_across)}, the bar up {mm(told.printed_up)}"
        if off <= bound:
            return self.say("good", f"{words}: parts come out true within {units.say(max(off, 0.001), 'share', significant=1)}.", off, bound, results=results)
        if not told.second:
            return self.say("cannot tell", f"{words}: that print is off by {units.say(off, 'share', significant=2)}, throw it away. The next one is drawn the other way by as much: write the templates again, print page 1 "
                            "again, and enter what its bars measure as the second print.", off, bound, results=results)
        first = {way: record.value(f"wing.bar_{way}") or 0.1 for way in ("across", "up")}
        changes = {f"wing.bar_{way}": round(first[way] * printed, 5) for way, printed in (("across", told.printed_across), ("up", told.printed_up))}
        lengths = " and ".join(f"{units.digits(1000.0 * value, 4)} mm" for value in changes.values())
        advice = Advice(f"Do not cut. Was it printed at 100 %? If so, enter {lengths} as the first print, clear the second, write the templates again and measure once more.",
                        {**changes, "wing.check_across": None, "wing.check_up": None})
        return self.say("stop", f"{words}, and that was the second print: every part would be off by {units.say(off, 'share', significant=2)}.", off, bound, advice, results)

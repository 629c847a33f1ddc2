"""Checks of page 06 on what is set: the dead propeller against brakes and propellers, and the mix of rudder stick and throttles."""

import math

from twinkit.checks.base import Advice, Check
from twinkit.checks.rudder import percent

SIDES = ("left", "right")
LEAST_MIXES = 2       # rudder to the left throttle, rudder to the right one


class SettingsCheck(Check):
    """A check of page 06 in this module."""

    step = "rudder"


class DeadPropeller(SettingsCheck):
    code = "Y07"
    title = "The dead propeller against brake and propeller"
    why = "A propeller counted as standing or folded that windmills instead takes half a metre a second and more of the climb."
    source = "common_practice"
    needs = ("rudder",)
    examples = {"good": {"rudder.dead_propeller": "windmilling"}, "not": {"rudder.dead_propeller": "stopped"}, "cannot tell": {"wing.fin_height": None}}

    def look(self, results):
        state, value = results.rudder.situation.dead_state, results.record.value
        if state == "windmilling":
            return self.say("good", "The dead propeller is counted as windmilling, the usual case and the one to plan with.", results=results)
        loose = [side for side, brake in zip(SIDES, results.rudder.brakes) if not brake]
        stiff = [side for side in SIDES if value(f"power.{side}.propeller_style") != "folding"] if state == "folded" else []
        told = "standing still" if state == "stopped" else "folded"
        wrong = [*([_of(loose, "controller has its brake set on page 02", "controller has no brake set on page 02")] if loose else []),
                 *([_of(stiff, "propeller is a folding one on page 01", "propeller is no folding one on page 01")] if stiff else [])]
        if wrong:
            return self.say("look again", f"The dead propeller is counted as {told}, but {' and '.join(wrong)}: it will windmill.", results=results, advice=Advice(
                "Count it as windmilling, or change that first.", {"rudder.dead_propeller": "windmilling"}))
        return self.say("good", f"The dead propeller is counted as {told}, and both controllers have their brake set. A brake holds only while its controller still has power: "
                        "after an empty pack or a burnt controller the propeller may windmill all the same.", results=results)


def _of(sides, neither, one):
    """Both or one side in words."""
    return f"neither {neither}" if len(sides) == len(SIDES) else f"the {sides[0]} {one}"


class MixNearIdle(SettingsCheck):
    code = "Y08"
    title = "Steering mix near idle"
    why = "With the throttle closed, a rudder stick that moves a throttle starts a propeller beside somebody's hand."
    source = "common_practice"
    needs = ("rudder",)
    limit = "limits.mix_above_idle"
    _mixed = {"rudder.mix": "thrust", "rudder.mix_share": "20 %"}
    examples = {"good": {**_mixed, "rudder.mix_from": "20 %"}, "not": {**_mixed, "rudder.mix_from": "0 %"}, "cannot tell": {**_mixed, "rudder.mix_from": None}}

    def look(self, results):
        value, bound = results.record.value, self.bound(results)
        if value("rudder.mix") == "none":
            return self.say("good", "The rudder stick moves no throttle.", results=results)
        begins, idle, share = value("rudder.mix_from"), value("rudder.idle"), value("rudder.mix_share")
        if begins is None:
            return self.say("cannot tell", "The rudder stick is mixed with the throttles, and nobody has said at which throttle the mix begins. Propellers off: open the throttle "
                            "slowly with the rudder stick held over, and note where a throttle begins to follow it.", results=results)
        room = begins - idle
        first = math.ceil(100.0 * (idle + max(bound, share / 2.0)) - 1e-6) / 100.0
        mend = {"rudder.mix_from": first}
        words = f"The mix begins at {percent(begins)} throttle; the propellers begin to turn at {percent(idle)}"
        if room < bound - 1e-9:
            return self.say("stop", f"{words}, and at least {percent(bound)} between them is wanted: a moved rudder stick starts a propeller.", room, bound,
                            Advice(f"Propellers off: let the mix begin at {percent(first)}, then close the throttle and move the rudder stick: nothing may turn.", mend), results)
        if share / 2.0 > room + 1e-9:
            return self.say("look again", f"{words}. Full rudder there takes {percent(share / 2.0)} off one side: that propeller stops.", room, bound,
                            Advice(f"Let the mix begin at {percent(first)}, or make it smaller.", mend), results)
        return self.say("good", f"{words}: below that the rudder stick moves no throttle. Try it with the propellers off all the same.", room, bound, results=results)


class MixIsPossible(SettingsCheck):
    code = "Y09"
    title = "What the steering mix takes"
    why = "A mix needs a throttle channel for each side and a free mix for each; one motor less, and it steers no more."
    source = "mechanics"
    needs = ("rudder",)
    examples = {"good": {"rudder.mix": "thrust"}, "not": {"rudder.mix": "thrust", "power.throttle": "y_lead"}, "cannot tell": {"power.left.kv": None}}

    def look(self, results):
        value, out = results.record.value, results.rudder
        if value("rudder.mix") == "none":
            if out.has_rudder:
                return self.say("good", "The rudder steers; no mix is needed.", results=results)
            return self.say("look again", "It has no rudder and the rudder stick moves no throttle: only the ailerons turn it.", results=results, advice=Advice(
                "Mix the rudder stick into both throttles, or give the fin a rudder on page 05.", {"rudder.mix": "thrust", "power.throttle": "two_channels"}))
        if value("power.throttle") != "two_channels":
            return self.say("look again", "Both controllers hang on one throttle channel: the rudder stick moves both throttles alike and steers nothing.", results=results, advice=Advice(
                "Give each side a throttle channel (page 01), or fly without the mix.", {"power.throttle": "two_channels"}))
        free = value("start.mixes")
        if free < LEAST_MIXES:
            return self.say("look again", f"The mix takes {LEAST_MIXES} free mixes, rudder to the left throttle and rudder to the right one; your transmitter has {free:.0f} (page 00).", free,
                            LEAST_MIXES, Advice("Fly without the mix, and give the fin a rudder if it has none.", {"rudder.mix": "none"} if out.has_rudder else {}), results)
        alone = "" if out.has_rudder else " With one motor dead it steers no more: close both throttles."
        return self.say("good", f"Each side has its throttle channel, and your transmitter has the {LEAST_MIXES} mixes it takes.{alone}", results=results)

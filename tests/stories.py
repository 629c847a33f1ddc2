"""Thirty-two ways in which twins were lost or hands hurt, each as a build made to go wrong that way, and the finding that stops it.

The stories are common practice, no source: what is told at every field. Run as a program it prints docs/failure_stories.md.
"""

from dataclasses import dataclass
from pathlib import Path

from builds import finding, record
from twinkit.design import Results

TABLE = Path(__file__).resolve().parents[1] / "docs" / "failure_stories.md"
SIDES = ("left", "right")
REPAIR = {"date": "2026-06-01", "flight": 6, "what": "nose rebuilt", "balanced": "yes", "metered": "yes", "tried": "yes"}
MIX = {"rudder.mix": "thrust", "rudder.mix_share": "30 %"}
READY = tuple({"bench.failsafe": "passed", "bench.cut": "passed", "bench.range_half": "passed", "bench.range_full": "passed", "bench.directions": "passed", "bench.memory": "own",
               "bench.steering": "left"}.items())
OLD_AND_NEW = [{"label": "A", "cells": "3", "capacity": "1500 mAh", "volts": "11.1 V", "resistance": "120 mohm"},
               {"label": "B", "cells": "3", "capacity": "1500 mAh", "volts": "12.55 V", "resistance": "55 mohm"}]
COLD = {"power.pack_temperature": "-8 °C", **{f"power.{side}.{name}": value for side in SIDES for name, value in (("pack_age", 2), ("c_rating", 12))}, "weight.throttle_climb": "100 %"}


@dataclass(frozen=True)
class Story:
    """What happened, the build that goes that way (entries changed on the demo aeroplane), and code -> what is entered when it is otherwise sound."""

    number: int
    told: str
    changes: dict
    codes: tuple
    sound: tuple = ()      # entries of the sound build that differ from the demo aeroplane's

    @property
    def gone_wrong(self):
        return Results(record(changes={**dict(self.sound), **self.changes}))

    @property
    def otherwise(self):
        return Results(record(changes=dict(self.sound)))


def both(name, value):
    return {name.format(side): value for side in SIDES}


ALL = (
    Story(1, "The throttle cut stopped the left motor; the right one cut a hand", {"wiring.right.cut_set": False}, ("R23",)),
    Story(2, "The rudder was moved at idle and one propeller spun up", {**MIX, "rudder.mix_from": "8 %", "rudder.idle": "5 %"}, ("Y08",)),
    Story(3, "The failsafe held the last throttle: it flew away at cruise power", {"bench.failsafe": "failed"}, ("B06",), READY),
    Story(4, "Two regulators fed one rail; one tripped, then the other", {"wiring.left.red_lead": "connected"}, ("R01",)),
    Story(5, "The red lead was cut and left bare; it touched the spar", {"wiring.left.red_lead": "bare"}, ("R03",)),
    Story(6, "The side that feeds the receiver was flat first: no radio, the other pack half full", {"power.right.capacity": "900 mAh", "wiring.right.cut_off": "3.0 V"}, ("P15", "W05")),
    Story(7, "After landing the pack behind the receiver was pulled first; the other motor was live", {"wiring.off_first": "right_pack", "wiring.off_second": "left_pack"}, ("R25",)),
    Story(8, "The trunk of the Y-lead came out in flight", {"power.throttle": "y_lead", "wiring.plugs_held": False}, ("R17",)),
    Story(9, "The second pack's plug was soldered the wrong way round", {"wiring.left.pack_polarity": "swapped"}, ("R07",)),
    Story(10, "Linear regulator, four servos, three cells: it shut down after five minutes", {"power.source": "left_bec", "wiring.left.red_lead": "connected", "wiring.right.red_lead": "isolated"}, ("R13",)),
    Story(11, "Pack leads were lengthened into the nacelle; the controller died in week three",
          {"leads.placement": "nacelle", **both("leads.{}.pack_length", "700 mm"), "leads.added_capacitor": "0 uF"}, ("L02",)),
    Story(12, "A half charged pack was taken for one with a cell less", {"wiring.left.set_cells": 2, "wiring.right.set_cells": 3}, ("R21",), tuple(both("wiring.{}.set_cells", 3).items())),
    Story(13, "An old and a new pack were joined: a hot lead, a puffed pack", {"weight.register": OLD_AND_NEW}, ("W08",),
          (("power.packs", "joined"), ("weight.register", [{**row, "volts": "12.55 V", "resistance": "55 mohm"} for row in OLD_AND_NEW]))),
    Story(14, "One motor quit on the turn to final, power was added, it spun in", {"rudder.look_throttle": "100 %"}, ("Y01",), (("rudder.look_throttle", "50 %"),)),
    Story(15, "Thrown at full throttle below the minimum control speed; one motor was late", {"start.launch": "hand", "wing.throw_speed": "5 m/s", "rudder.launch_throttle": "100 %"}, ("A05", "Y03")),
    Story(16, "One controller with a brake, one without: it yawed when the throttle was closed", {"wiring.left.brake": True}, ("R20",)),
    Story(17, "A slow-fly propeller burst on a fast motor", both("power.{}.propeller_style", "slowfly"), ("P03",)),
    Story(18, "A propeller was on back to front, or of the wrong hand: half the thrust on one side", {"wiring.left.print_faces": "backwards"}, ("R14b",)),
    Story(19, "Left and right throttle were swapped and the rudder mix made it worse", {"bench.steering": "right"}, ("B05",), READY),
    Story(20, "The pack bay was too far back: tail-heavy", {"weight.pack_foremost": "30 mm", "weight.pack_rearmost": "200 mm", **both("weight.{}.pack_behind", "110 mm")}, ("W01",)),
    Story(21, "The wing folded at the nacelle", {"wing.spar_reach": "36 %", "wing.board_thickness": "3 mm", "weight.mass_measured": "1900 g", "wing.section": "flat"}, ("A10",)),
    Story(22, "A nacelle was torn off on landing", {"wing.nacelle_length": "110 mm", "wing.propeller_ahead": "105 mm"}, ("A22",)),
    Story(23, "The templates were printed at 97 %", {name: "97 mm" for name in ("wing.bar_across", "wing.bar_up", "wing.check_across", "wing.check_up")}, ("A17",),
          tuple({name: "100 mm" for name in ("wing.bar_across", "wing.bar_up")}.items())),
    Story(24, "It came out a quarter heavier than planned and stalled off the first turn", {"weight.mass_measured": "1375 g"}, ("W03",)),
    Story(25, "A motor screw was too long and shorted a winding", {"wiring.mistake": "winding_on_mount", "wiring.mistake_side": "right"}, ("R14",)),
    Story(26, "A cold day: both packs sagged in the climb", COLD, ("W10",)),
    Story(27, "The carbon spar lay beside the antenna: no range at full throttle", {"wiring.antenna_carbon": "4 mm"}, ("R27",)),
    Story(28, "The elevator servo was too weak at speed", {"wing.servo_torque": "0.2 kg cm", "wing.elevator_throw": "25 deg", "wing.tail_chord": "160 mm"}, ("A18",)),
    Story(29, "It nosed over, propellers in the grass", {"wing.wheel_behind": "60 mm"}, ("A20",)),
    Story(30, "Repaired after a crash and flown without weighing", {"bench.repairs": [REPAIR]}, ("B11",), (("bench.repairs", [{**REPAIR, "weighed": "yes"}]),)),
    Story(31, "The servo's ground was cut with the red", {"wiring.left.ground_kept": False}, ("R05",)),
    Story(32, "The transmitter still had the memory of the old aeroplane", {"bench.memory": "other"}, ("B08",), READY),
)


def table():
    """The text of docs/failure_stories.md."""
    lines = ["# Thirty-two stories, and what stops them", "",
             "Each is told at every field (common practice, no source). The demo aeroplane was made to go wrong that way; these are the findings that stop it, with what they advise.", "",
             "This page is printed by `tests/stories.py` and held against it by a test.", "", "| | what happened | finding that stops it | and says |", "|---|---|---|---|"]
    for story in ALL:
        results = story.gone_wrong
        for row, code in enumerate(story.codes):
            found = finding(code, results)
            number, told = (story.number, story.told) if row == 0 else ("", "")
            advice = f" **{found.advice.sentence}**" if found.advice else ""
            lines.append(f"| {number} | {told} | {code} {found.title} | {found.sentence}{advice} |".replace("\n", " "))
    return "\n".join([*lines, ""])


if __name__ == "__main__":
    print(table(), end="")

"""Section weight: everything with mass and place, the packs, the flown profile."""

from twinkit.quantities.base import PACK_SIDES, RowTable, choice, number, words

ENTRIES = (
    RowTable("weight.parts", "parts and places",
             "Everything with mass but the foam parts of page 05, the leads of page 03, the packs and the motors. Places are told from the wing's leading edge at the root.", (
        words("weight.parts.name", "part", "What it is."),
        number("weight.parts.mass", "mass", "kg", ("g", "oz"), (0.1, 20000), (5, 200), "Of one."),
        number("weight.parts.count", "pieces", "1", "", (1, 50), (1, 4), "Two of a mirrored pair count as 2.", whole=True, default=1),
        number("weight.parts.behind", "behind the leading edge", "m", ("mm", "in"), (-3000, 3000), (-300, 800), "Negative: ahead of it.", default=0),
        number("weight.parts.out", "out from the middle", "m", ("mm", "in"), (-3000, 3000), (-300, 300), "Right positive. A mirrored pair: the distance of one.", default=0),
        number("weight.parts.below", "below the wing", "m", ("mm", "in"), (-1000, 1000), (-100, 150), "Negative: above it.", default=0),
        choice("weight.parts.mirrored", "mirrored", {"no": "no", "yes": "one each side"}, "Whether the pieces stand left and right.", default="no"),
        choice("weight.parts.origin", "known from", {"weighed": "weighed", "measured": "measured", "table": "a table", "assumed": "estimated", "chosen": "chosen"},
               "Weighed parts narrow the band.", default="assumed"),
    ), group="parts"),
    number("weight.sheet_mass", "foam board", "kg/m^2", ("g/m2", "oz/ft2"), (40, 1500), (280, 600), "Weigh a whole sheet: 5 mm boards differ by a factor of two.",
           group="foam", default=450, moves=0.03),
    number("weight.glue_share", "glue, tape and paint", "1", "%", (0, 60), (5, 15), "Share of the foam parts' mass.", group="foam", default=10),
    number("weight.growth", "growth of the finished model", "1", "%", (0, 60), (5, 25), "Models come out heavier than their lists. Common practice.", group="foam", default=12),
    number("weight.pack_mass", "pack mass", "kg", ("g", "oz"), (5, 5000), (60, 300), "With its plug. Leave it empty and it is estimated from its energy.",
           group="packs", sides=PACK_SIDES),
    number("weight.pack_behind", "pack behind the leading edge", "m", ("mm", "in"), (-1500, 1500), (-250, 150), "Middle of the pack; negative: ahead of it.",
           group="packs", sides=PACK_SIDES),
    number("weight.pack_out", "pack out from the middle", "m", ("mm", "in"), (0, 1500), (0, 300), "0: in the fuselage.", group="packs", sides=("left", "right"), default=0),
    number("weight.pack_below", "pack below the wing", "m", ("mm", "in"), (-500, 500), (-30, 100), "Negative: above it.", group="packs", default=40),
    number("weight.pack_foremost", "packs may slide forward to", "m", ("mm", "in"), (-1500, 1500), (-300, 0), "Behind the leading edge; negative: ahead.", group="packs", default=-180),
    number("weight.pack_rearmost", "packs may slide back to", "m", ("mm", "in"), (-1500, 1500), (0, 200), "Behind the leading edge.", group="packs", default=100),
    number("weight.mass_measured", "finished aeroplane on the scale", "kg", ("g", "oz"), (100, 20000), (500, 1500), "Ready to fly. Overrules the list.", group="scale"),
    number("weight.cg_measured", "balances at, behind the leading edge", "m", ("mm", "in"), (-100, 600), (30, 90), "Found on two fingers. Overrules the list.", group="scale"),
    number("weight.mass_target", "mass you aim at", "kg", ("g", "oz"), (100, 20000), (500, 1500), "Leave it empty and the first guess of page 00 stands.", group="scale"),
    number("weight.time_launch", "launch at full throttle", "s", "s", (0, 600), (5, 30), "How long.", group="flight", default=10),
    number("weight.time_climb", "climb", "s", "s", (0, 1200), (10, 90), "How long, at the throttle below.", group="flight", default=40),
    number("weight.throttle_climb", "climb throttle", "1", "%", (10, 100), (60, 100), "Stick position.", group="flight", default=85),
    number("weight.manoeuvre", "turns, gusts, corrections", "1", "%", (0, 300), (10, 60),
           "What circuits draw beyond straight level flight. Common practice; your flight log corrects it.", group="flight", default=30),
    number("weight.usable", "charge you use", "1", "%", (30, 95), (70, 80), "The rest stays in the pack at landing.", group="flight", default=75),
)

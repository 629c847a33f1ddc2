"""The receiver's supply: what the servos draw, what each regulator could do with it, and what reaches the receiver as wired."""

from dataclasses import dataclass

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.physics import regulator, wire
from twinkit.quantities import SIDES

NAMES = {"left": "the left controller's regulator", "right": "the right controller's regulator", "own": "the receiver's own regulator",
         "receiver_pack": "the receiver pack"}
ROWS = {"linear": "classic three-terminal linear", "switching": "switching step-down"}
STALLED = 2               # servos held against their stops at the same moment
SHARING_POINTS = 81
SAMPLES, SEED = 4000, 2   # pairs of regulators drawn from their tolerance
BAND = (5, 50, 95)        # percentiles told of the samples
CELLS_SHOWN = (2, 3, 4)
Y_CONTACTS = 2            # one plug more in the way of the 5 V: plus and minus


@dataclass(frozen=True)
class Supply:
    """One thing that can feed the receiver, worked out as if it carried everything alone (SI). Heat and chip temperature are None for a receiver pack.

    stall: two largest servos stalled, pack at its cut-off. average: over a flight, pack full. moving: every servo moving all the time, pack full.
    cells: of its pack; cells_limit: the most it may see (None: not known). by_cells: (cells, current allowed for good, servos that feeds) for other packs.
    """

    key: str
    kind: str
    set_volts: float
    rating: float
    dropout: float
    resistance: float
    input_full: float
    input_flat: float
    input_current: float
    heat: float
    temperature: float
    temperature_moving: float
    allowed_current: float
    headroom: float
    volts_stall: float
    receiver_volts: float
    receiver_volts_stall: float
    spare: float
    cells: int = None
    cells_limit: int = None
    by_cells: tuple = ()

    @property
    def words(self):
        return NAMES[self.key]


@dataclass(frozen=True)
class Sharing:
    """Both controllers' regulators on one bus, one at the upper and one at the lower end of its tolerance (SI).

    higher: the side that carries everything at first. onset: load at which the other begins to help. load, left, right: currents for the picture.
    Over pairs drawn anywhere within both tolerances: onset_band (5, 50, 95 %); alone_average, alone_stall: share of pairs of which one carries all;
    most_band: share of the load, at the average, that the harder working one carries (5, 50, 95 %); limited_stall: share of pairs with one at its limit or worse;
    volts_stall, diode_volts_stall: bus volts at the regulators with the servos stalled, joined straight and through diodes (5 and 95 %; nan: overloaded).
    """

    higher: str
    apart: float
    onset: float
    load: np.ndarray
    left: np.ndarray
    right: np.ndarray
    onset_band: tuple
    alone_average: float
    alone_stall: float
    most_band: tuple
    limited_stall: float
    volts_stall: tuple
    diode_volts_stall: tuple


@dataclass(frozen=True, kw_only=True)
class Bus(Result):
    """The 5 V bus as wired (SI). supplies: every supply at hand by key, feeding: the keys of those that reach the receiver.

    one_moving: what one servo draws more moving than at rest. bus_volts_stall is at the supply's own output, receiver_volts_stall at the receiver, servo_volts_stall at the stalled servo behind its extension; with
    several supplies the lowest, as if each carried all. regulator_input_current: pack side -> average current the supply draws from that pack.
    """

    source: str
    feeding: tuple
    by_diodes: bool
    supplies: dict
    load_rest: float
    one_moving: float
    load_average: float
    load_moving: float
    load_stall: float
    servos: int
    stalled: int
    extension_resistance: float
    extension_drop: float
    receiver_volts: float
    bus_volts_stall: float
    receiver_volts_stall: float
    servo_volts_stall: float
    heat: float
    temperature: float
    allowed_current: float
    spare: float
    regulator_input_current: dict
    sharing: Sharing | None
    servo_contact: float
    servo_contact_short: float

    @property
    def fed(self):
        """Whether anything feeds the receiver as wired."""
        return bool(self.feeding)


def bus(g, layout, leads):
    """Currents, volts and heat of the receiver's supply, on the wiring as it was entered."""
    g.use(layout)
    g.use(leads, needed=False)
    source = g("power.source")
    n, rest, moving, stall, average, receiver = (g(f"wiring.{name}") for name in ("servos", "servo_idle", "servo_moving", "servo_stall", "servo_average", "receiver_current"))
    more = [row for row in g.rows("wiring.more_servos") if row["stall"] is not None]
    default, plug = tables.values("wire/defaults"), tables.read("regulator/connectors").row("connector", "servo contact")
    area = wire.gauge_area(g("wiring.extension_gauge"))
    if not g.complete:
        return Bus.unknown(g)
    sorts = [(int(n), rest, moving, stall, average), *((int(row["count"]), *(row[name] for name in ("idle", "moving", "stall", "average"))) for row in more)]
    load, stalled, stall = _loads(receiver, sorts)
    extension = wire.lead(stall, g("wiring.extension_length"), area, g("leads.wire_temperature"), default["servo_contact"], default["servo_contacts"], default["lay_factor"])
    if not g.complete:
        return Bus.unknown(g)
    supplies = {key: made for key in _at_hand(layout) if (made := _supply(g, key, layout, leads, load))}
    feeding = tuple(key for key in layout.sources if key in supplies)
    way = layout.facts.receiver_feed.sources if layout.buildable else ()
    by_diodes = bool(way) and all(one.way == "diode" for one in way)
    fall = g("wiring.diode_drop") if by_diodes else 0.0
    on = [supplies[key] for key in feeding]
    lowest = lambda name: min(getattr(one, name) for one in on) - fall if on else None  # noqa: E731
    hot = max((one for one in on if one.temperature is not None), key=lambda one: one.temperature, default=None)
    return Bus(
        source=source, feeding=feeding, by_diodes=by_diodes, supplies=supplies, load_rest=load["rest"], one_moving=max(sort[2] - sort[1] for sort in sorts), load_average=load["average"], load_moving=load["moving"], load_stall=load["stall"],
        servos=sum(sort[0] for sort in sorts), stalled=stalled, extension_resistance=float(extension.resistance), extension_drop=float(extension.drop),
        receiver_volts=lowest("receiver_volts"), bus_volts_stall=lowest("volts_stall"), receiver_volts_stall=lowest("receiver_volts_stall"),
        servo_volts_stall=lowest("receiver_volts_stall") - float(extension.drop) if on else None, heat=hot and hot.heat, temperature=hot and hot.temperature,
        allowed_current=min((one.allowed_current for one in on), default=None), spare=min((one.spare for one in on), default=None),
        regulator_input_current=_drawn(layout, supplies, feeding, load["average"]), sharing=_sharing(supplies, load, g("wiring.diode_drop")),
        servo_contact=plug["current_low"], servo_contact_short=plug["current_high"], **g.marks())


def _loads(receiver, sorts):
    """Currents of receiver and servos at hand (count, at rest, moving, stalled, average of each sort), how many stall, and the greatest stall current."""
    total = lambda column: receiver + sum(sort[0] * sort[column] for sort in sorts)  # noqa: E731
    worst = sorted(((sort[3], sort[2]) for sort in sorts for _ in range(sort[0])), reverse=True)[:STALLED]
    return ({"rest": total(1), "average": total(4), "moving": total(2), "stall": total(2) + sum(stall - moving for stall, moving in worst)}, len(worst), worst[0][0])


def _at_hand(layout):
    """Keys of the supplies there are: a regulator in each controller that has one, and the source of its own that the layout names."""
    more = {"stand_alone": ("own",), "receiver_pack": ("receiver_pack",)}.get(layout.layout.source, ())
    return tuple(side for side, kind in zip(SIDES, layout.kinds) if side in layout.sides and kind != "none") + more


def _pack_of(key, layout):
    """The side of the pack that feeds a supply; "" for a receiver pack."""
    if key == "receiver_pack":
        return ""
    if layout.layout.packs != "two":
        return "shared"
    return layout.layout.stand_alone_feed if key == "own" else key


def _supply(g, key, layout, leads, load):
    """One supply as if it carried everything alone."""
    lead = getattr(leads, key).signal if key in SIDES and getattr(leads, key) is not None else leads.bought.signal
    path = float(lead.resistance)
    if key in SIDES and layout.layout.throttle == "y_lead":
        default = tables.values("wire/defaults")
        path += float(wire.lead(1.0, g("wiring.y_lead_length"), lead.wire.area, g("leads.wire_temperature"), default["servo_contact"], Y_CONTACTS, default["lay_factor"]).resistance)
    if key == "receiver_pack":
        volts, rating = g("wiring.receiver_pack_volts"), g("wiring.receiver_pack_current")
        return Supply(key, "pack", volts, rating, 0.0, path, volts, volts, 0.0, None, None, None, rating, 0.0, volts, volts - load["average"] * path,
                      volts - load["stall"] * path, rating - load["stall"])
    head = f"wiring.{key}.regulator" if key in SIDES else "wiring.own"
    kind, volts, rating = (g(f"{head}_{name}") for name in ("kind", "volts", "current"))
    row = tables.read("regulator/dropout").row("kind", ROWS[kind])
    dropout = g.maybe(f"{head}_dropout") if key in SIDES else row["dropout_typical"]
    if dropout is None:
        g.assume(f"{head}_dropout")
        dropout = row["dropout_typical"]
    dropout = float(dropout)
    full, flat, usual = _input(g, key, layout)
    starved = volts + dropout      # below that a linear one has its dropout across it, whatever the pack gives
    heat = (lambda amps: float(regulator.linear_heat(max(full, starved), volts, amps))) if kind == "linear" else (lambda amps: float(regulator.switching_heat(volts, amps)))
    path_of_heat, air, hottest = (g(f"limits.regulator_{name}") for name in ("thermal", "air", "hot"))
    chip = lambda amps: float(regulator.junction_temperature(air, heat(amps), path_of_heat))  # noqa: E731
    under = {name: regulator.regulated_voltage(flat, volts, dropout, row["load_regulation"], load[name]) for name in ("average", "stall")}
    def by_heat(volts_in):
        """Lasting current; a linear one gives nothing to count on from a pack that is never above its own output."""
        if kind == "linear":
            return float(regulator.linear_allowed_current(max(volts_in, starved), volts, path_of_heat, air, hottest)) if volts_in > volts else 0.0
        return float((hottest - air) / path_of_heat / heat(1.0))

    cells, limit = _cells_of(g, key, layout)
    drawn = load["average"] if kind == "linear" else float(regulator.switching_input_current(usual, volts, load["average"]))
    at_receiver = {name: float(regulator.receiver_voltage(under[name].voltage, np.inf, path, 0.0, 0.0, load[name]).voltage) for name in under}
    return Supply(key, kind, volts, rating, dropout, path + float(row["load_regulation"]), full, flat, drawn, heat(load["average"]), chip(load["average"]), chip(load["moving"]),
                  min(by_heat(full), rating), float(under["stall"].headroom), float(under["stall"].voltage), at_receiver["average"], at_receiver["stall"], rating - load["stall"],
                  cells, limit, tuple(_for_cells(g, n, min(by_heat(n * tables.values("pack/defaults")["full_cell"]), rating)) for n in sorted({*CELLS_SHOWN, cells})))


def _for_cells(g, cells, allowed):
    """What a regulator may give for good on a pack of these cells, and how many servos that feeds."""
    fed = regulator.servo_count(allowed, g("wiring.receiver_current"), g("wiring.servo_average"))
    return cells, allowed, int(np.nan_to_num(fed.count))      # no more volts in than out: it feeds none


def _cells_of(g, key, layout):
    """Cells of the pack that feeds a supply, and the most it may see: its own number, or that of the controller it sits in; None when nobody knows."""
    cells = layout.cells.get(_pack_of(key, layout)) or max(layout.cells.values())
    limit = g.maybe(f"wiring.{key}.regulator_cells" if key in SIDES else "wiring.own_cells")
    if limit is None and key in SIDES:
        limit = g.maybe(f"power.{key}.controller_cells")
        if limit is not None:
            g.assume(f"wiring.{key}.regulator_cells")
    return cells, None if limit is None else int(limit)


def _input(g, key, layout):
    """Volts at a regulator's input: pack full, pack at the lowest cut-off that applies, and the usual volts of the flight."""
    cell = tables.values("pack/defaults")
    side = _pack_of(key, layout)
    cells = layout.cells.get(side) or min(layout.cells.values())
    most = layout.cells.get(side) or max(layout.cells.values())
    cut = g(f"wiring.{side}.cut_off") if side in SIDES else min(g(f"wiring.{one}.cut_off") for one in SIDES)
    return most * cell["full_cell"], cells * cut, cells * cell["nominal_cell"]


def _drawn(layout, supplies, feeding, load):
    """Average current drawn from each pack for the receiver; two supplies on one bus share as their volts have it."""
    drawn = dict.fromkeys(("left", "right", "shared"), 0.0)
    if not feeding:
        return drawn
    share = dict.fromkeys(feeding, 1.0 / len(feeding))
    if len(feeding) == 2:
        one, two = (supplies[key] for key in feeding)
        met = regulator.shared_bus(one.set_volts, one.resistance, np.inf, two.set_volts, two.resistance, np.inf, load)
        share = {one.key: float(met.current_1) / load, two.key: float(met.current_2) / load}
    for key in feeding:
        side = _pack_of(key, layout)
        if side:
            drawn[side] += share[key] * supplies[key].input_current
    return drawn


def _sharing(supplies, load, diode_drop):
    """What both controllers' regulators would do on one bus; None when there are not two."""
    if not all(side in supplies for side in SIDES):
        return None
    pair = tuple(supplies[side] for side in SIDES)
    spread = [tables.read("regulator/dropout").row("kind", ROWS[one.kind])["tolerance"] for one in pair]
    up = pair[0].set_volts >= pair[1].set_volts
    volts = [one.set_volts * (1 + share * sign) for one, share, sign in zip(pair, spread, (1, -1) if up else (-1, 1))]
    first, second = (0, 1) if up else (1, 0)
    over = np.linspace(0.0, sum(one.rating for one in pair), SHARING_POINTS)
    met = _on_one_bus(pair, volts, over)
    onset = float(regulator.sharing_onset(volts[first], pair[first].resistance, volts[second]))
    return Sharing(SIDES[first], volts[first] - volts[second], onset, over, met.current_1, met.current_2, **_sampled(pair, spread, load, diode_drop))


def _on_one_bus(pair, volts, load):
    one, two = pair
    return regulator.shared_bus(volts[0], one.resistance, one.rating, volts[1], two.resistance, two.rating, load)


def _sampled(pair, spread, load, diode_drop):
    """The same over pairs of regulators drawn anywhere within their tolerances."""
    drawn = np.random.default_rng(SEED).uniform(-1.0, 1.0, (2, SAMPLES))
    volts = [one.set_volts * (1.0 + share * u) for one, share, u in zip(pair, spread, drawn)]
    usual, stall = (_on_one_bus(pair, volts, load[name]) for name in ("average", "stall"))
    one, two = pair
    diodes = regulator.diode_or(volts[0], one.resistance, one.rating, volts[1], two.resistance, two.rating, load["stall"], diode_drop)
    onsets = np.abs(volts[0] - volts[1]) / np.where(volts[0] >= volts[1], one.resistance, two.resistance)
    ends = lambda values, which: tuple(float(x) for x in np.percentile(values, which))  # noqa: E731
    return {
        "onset_band": ends(onsets, BAND), "alone_average": float(np.mean(usual.status == 0)), "alone_stall": float(np.mean(stall.status == 0)),
        "most_band": ends(np.maximum(usual.current_1, usual.current_2) / load["average"], BAND), "limited_stall": float(np.mean(stall.status >= 2)),
        "volts_stall": ends(stall.voltage, BAND[::2]), "diode_volts_stall": ends(diodes.voltage, BAND[::2]),
    }

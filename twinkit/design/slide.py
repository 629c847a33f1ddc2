"""Where the packs must sit for the wanted balance, the least ballast where they cannot, and what levels the wing."""

from dataclasses import dataclass

import numpy as np

from twinkit import tables
from twinkit.design.base import Result
from twinkit.design.pack_room import Room, rooms
from twinkit.physics import mass as masses

EDGE = 0.1      # share of the wanted range kept free at either end
RULER = 5e-4    # half a millimetre, what a ruler misses [m]


@dataclass(frozen=True)
class PackPlace:
    """One pack in its room: where it is, where it goes when all slide together, and where it goes when it slides alone; SI, behind the leading edge."""

    side: str
    mass: float
    now: float
    inside: bool
    together: float
    together_inside: bool
    alone: float
    alone_inside: bool
    room: Room

    @property
    def foremost(self):
        return self.room.foremost

    @property
    def rearmost(self):
        return self.room.rearmost


@dataclass(frozen=True)
class Sideways:
    """One pack moved sideways until the wing is level: its distance from the middle now and then."""

    side: str
    now: float
    then: float


@dataclass(frozen=True, kw_only=True)
class Slide(Result):
    """SI; places behind the leading edge at the root. wanted_from: "first flight", "front" or "rear"; range_from: "page 05" or "practice".

    slide is positive rearward. ballast is None when the packs reach; ballast_at is "nose" or "tail"; ballast_ends are the packs' places with it.
    tip_mass is what a weight at the tip of tip_side would have to be.
    """

    wanted: float
    wanted_from: str
    front: float
    rear: float
    range_from: str
    nose: float
    packs: tuple
    slide: float
    reachable: bool
    reach_front: float
    reach_rear: float
    ballast: float
    ballast_at: str
    ballast_place: float
    ballast_ends: tuple
    out: float
    tip_mass: float
    tip_side: str
    sideways: Sideways


def slide(g, geometry, weight, wing):
    """Where the packs must sit; the wanted range is that of page 05 once it is known, until then what the trade flies."""
    g.use(geometry), g.use(weight), g.use(wing, needed=False)
    first = g("limits.cg_first")
    if not g.complete or weight.cg_behind is None or weight.items is None:
        return Slide.unknown(g)
    goal = _goal(first, geometry, wing)
    carried = [i for i in weight.items if i.group == "packs"]
    kept = rooms(g, geometry, carried)
    inside = lambda place, room: bool(room.foremost - RULER <= place <= room.rearmost + RULER)  # noqa: E731
    moved = lambda kilos: float(masses.pack_slide(weight.mass, kilos, weight.cg_behind, goal["wanted"]))  # noqa: E731
    together = moved(weight.pack_mass)
    meant = [i.behind + together for i in carried]
    station = sum(i.mass * place for i, place in zip(carried, meant)) / weight.pack_mass
    if not all(map(inside, meant, kept)) and all(inside(station, room) for room in kept):      # one of them would leave the bay: side by side they fit
        meant = [station] * len(carried)
    places = tuple(PackPlace(i.side, i.mass, i.behind, inside(i.behind, room), place, inside(place, room), alone, inside(alone, room), room)
                   for i, place, room in zip(carried, meant, kept) for alone in (i.behind + moved(i.mass),))
    reach = [weight.cg_behind + sum(i.mass * (getattr(room, end) - i.behind) for i, room in zip(carried, kept)) / weight.mass for end in ("foremost", "rearmost")]
    return Slide(**goal, nose=geometry.nose_behind, packs=places, slide=together,
                 reachable=all(p.together_inside for p in places), reach_front=reach[0], reach_rear=reach[1],
                 **_ballast(weight, geometry, carried, places, goal["wanted"], together), **_level(weight, geometry, carried), **g.marks())


def _goal(first, geometry, wing):
    """The wanted CG and its range."""
    behind = lambda share: geometry.mac_behind + share * geometry.mac  # noqa: E731
    if wing.cg_rear is None:
        s = tables.values("weight/spreads")
        front, rear, source = behind(s["cg_flown_front"]), behind(s["cg_flown_rear"]), "practice"
    else:
        front, rear, source = wing.cg_front, wing.cg_rear, "page 05"
    edge = EDGE * max(rear - front, 0.0)
    wanted = min(max(behind(first), front + edge), rear - edge)      # the rear limit wins: behind it an aeroplane cannot be flown
    origin = "first flight" if wanted == behind(first) else "rear" if wanted < behind(first) else "front"
    return {"wanted": wanted, "wanted_from": origin, "front": front, "rear": rear, "range_from": source}


def _ballast(weight, geometry, carried, places, wanted, together):
    """Least ballast when the packs reach their stop first: the packs at that stop, the ballast at the far end of the fuselage."""
    if all(p.together_inside for p in places):
        return {"ballast": None, "ballast_at": None, "ballast_place": None, "ballast_ends": ()}
    stop, at, place = ("foremost", "nose", geometry.nose_behind) if together < 0.0 else ("rearmost", "tail", geometry.tail_end_behind)
    ends = tuple((p.side, getattr(p.room, stop)) for p in places)
    there = weight.cg_behind + sum(i.mass * (end - i.behind) for i, (_, end) in zip(carried, ends)) / weight.mass
    needed = float(masses.ballast(weight.mass, there, wanted, place))
    return {"ballast": needed if np.isfinite(needed) else None, "ballast_at": at, "ballast_place": place, "ballast_ends": ends}


def _level(weight, geometry, carried):
    """What levels the wing: a pack moved sideways by the shortest way that its side allows, or a weight at the light tip."""
    moment = weight.mass * weight.cg_out      # kg m, positive: the right side is heavy
    ways = []
    for item in carried:
        if item.side != "shared":
            outward = -1.0 if item.side == "left" else 1.0
            then = outward * (item.out - moment / item.mass)
            if 0.0 <= then <= geometry.nacelle_out:
                ways.append(Sideways(item.side, abs(item.out), then))
    return {"out": weight.cg_out, "tip_mass": abs(moment) / (geometry.span / 2.0), "tip_side": "left" if moment > 0.0 else "right",
            "sideways": min(ways, key=lambda w: abs(w.then - w.now), default=None)}

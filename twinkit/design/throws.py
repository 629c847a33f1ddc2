"""How far the control surfaces move: what the angles of the record are in millimetres at the trailing edge."""

from dataclasses import dataclass

import numpy as np

from twinkit.design.base import Result


@dataclass(frozen=True)
class Throw:
    """How far a surface moves, SI: its angle, its chord behind the hinge, and the travel of its trailing edge."""

    surface: str
    angle: float
    chord: float
    travel: float


@dataclass(frozen=True, kw_only=True)
class Throws(Result):
    """The surfaces that move; one without a part that moves is left out."""

    surfaces: tuple

    @property
    def by_name(self):
        """Surface -> its throw; empty while not known."""
        return {t.surface: t for t in self.surfaces or ()}


def throws(g, geometry):
    """Elevator, rudder and ailerons, each as far as it moves at full rates."""
    g.use(geometry)
    rows = (("elevator", "wing.elevator_throw", "wing.elevator_share", geometry.tail_chord), ("rudder", "rudder.throw", "wing.rudder_share", geometry.fin_chord),
            ("ailerons", "rudder.aileron_throw", "wing.aileron_share", geometry.chord))
    read = [(name, g(throw), g(share), chord) for name, throw, share, chord in rows]
    if not g.complete:
        return Throws.unknown(g)
    return Throws(surfaces=tuple(Throw(name, angle, share * chord, share * chord * float(np.sin(angle))) for name, angle, share, chord in read if share > 0.0), **g.marks())

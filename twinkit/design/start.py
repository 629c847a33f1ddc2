"""What the builder sets out with: the air, the first guesses, the known aeroplanes as a ruler for loading."""

from dataclasses import dataclass

from twinkit.design.base import Result
from twinkit.physics import air, wing


@dataclass(frozen=True)
class KnownAeroplane:
    """A known aeroplane and its loadings, SI."""

    name: str
    mass: float
    area: float
    loading: float
    cubic_loading: float
    note: str


@dataclass(frozen=True, kw_only=True)
class Air(Result):
    """Air of the day at the field: the standard pressure of its height, your temperature."""

    density: float
    viscosity: float
    temperature: float
    elevation: float


def surroundings(g):
    """The air page 00 tells."""
    temperature, elevation = g("start.temperature"), g("start.elevation")
    if not g.complete:
        return Air.unknown(g)
    here = air.density(pressure=air.standard_air(altitude=elevation).pressure, temperature=temperature)
    return Air(density=float(here), viscosity=float(air.dynamic_viscosity(temperature)), temperature=temperature, elevation=elevation, **g.marks())


@dataclass(frozen=True, kw_only=True)
class Outset(Result):
    """Air of the day, first guesses, and the ruler."""

    density: float
    viscosity: float
    temperature: float
    elevation: float
    launch: str
    mass_guess: float
    span_guess: float
    cruise_guess: float
    loading_guess: float
    known_aeroplanes: tuple
    outputs_needed: int
    outputs: int
    longest_piece: float
    wing_pieces: int


def outset(g, around):
    """What page 00 tells. Area is guessed from the span at the aspect ratio of an easy twin until page 05 settles it."""
    g.use(around)
    mass, span, cruise = g("start.mass_guess"), g("start.span_guess"), g("start.cruise_guess")
    longest, outputs, launch = g("start.longest_piece"), g("start.outputs"), g("start.launch")
    servos, throttle = g("wiring.servos"), g("power.throttle")
    aspect = g("limits.aspect_ratio")
    known = tuple(
        KnownAeroplane(row["name"] or "without a name", row["mass"], row["area"], float(wing.wing_loading(row["mass"], row["area"])),
                       float(wing.cubic_loading(row["mass"], row["area"])), row["note"] or "")
        for row in g.rows("start.known") if row["mass"] and row["area"])
    if not g.complete:
        return Outset.unknown(g)
    return Outset(
        density=around.density, viscosity=around.viscosity, temperature=around.temperature, elevation=around.elevation, launch=launch,
        mass_guess=mass, span_guess=span, cruise_guess=cruise, loading_guess=float(wing.wing_loading(mass, span**2 / aspect)), known_aeroplanes=known,
        outputs_needed=int(servos) + (2 if throttle == "two_channels" else 1), outputs=int(outputs), longest_piece=longest,
        wing_pieces=int(-(-span // longest)), **g.marks())

"""Variants of both drives as far off as such parts usually are: alike parts nobody measured err together, every unit has its own spread besides."""

import numpy as np
from scipy.special import ndtr

from twinkit import tables
from twinkit.design.drive_parts import SHAPE, moved, propeller_band, sigmas

SEED = 1903              # fixed, so that a picture does not change by itself


def same(one, other, *names):
    """Whether two parts agree in these fields."""
    return all(getattr(one, name) == getattr(other, name) for name in names)


def alike_propellers(left, right):
    """Whether one error of the model is that of both: what was measured, on either side, has an error of its own."""
    return same(left, right, *SHAPE) and left.propeller_measured == right.propeller_measured == "none"


def alike_motors(left, right):
    """Whether both come from one label and neither was measured; see alike_propellers."""
    measured = any("bench" in (side.kv_from, side.resistance_from) for side in (left, right))
    return not measured and same(left, right, "kv_label", "motor_mass", "catalogue_resistance", "resistance_from")


def chances(left, right, shared, count, seed=SEED):
    """Standard normal chances of both sides by name of the error, count of each; every pair is used twice, sides exchanged, so that alike sides get alike bands."""
    rng = np.random.default_rng(seed)
    chance = {side.side: _own(rng, count // 2) for side in (left, right)}
    alike_shapes = same(left, right, *SHAPE)      # what the bench cannot read, flight, errs together also where the bench corrected each side by itself
    alike_packs = shared or (same(left.pack, right.pack, "capacity", "c_rating", "measured") and not left.pack.measured)
    for together, names in ((alike_propellers(left, right), ("ct", "cp")), (alike_motors(left, right), ("kv", "resistance", "no_load", "cooling", "constant")), (alike_packs, ("supply",)), (alike_shapes, ("ct_flight", "cp_flight"))):
        if together:
            chance["right"].update({name: chance["left"][name] for name in names})
    return {side: {name: np.concatenate([own[name], chance[other][name]]) for name in own} for (side, own), other in zip(chance.items(), ("right", "left"))}


def _own(rng, count):
    """Chances of one side: CT and CP going together, the rest by themselves."""
    correlation = tables.values("power/assumptions")["ct_cp_correlation"]
    free = {name: rng.standard_normal(count) for name in ("ct", "cp", "kv", "resistance", "supply", "no_load", "unit", "cooling", "constant", "ct_flight", "cp_flight")}
    for ct, cp in (("ct", "cp"), ("ct_flight", "cp_flight")):
        free[cp] = correlation * free[ct] + np.sqrt(1.0 - correlation**2) * free[cp]
    return free


def _loads_off(side, chance, name, over, static, flight, flying):
    """How far off CT or CP is. A propeller nobody read has one error, larger in flight; one read on the bench keeps that reading's error and has flight's besides."""
    if side.propeller_measured == "none":
        return chance[name][over] * (static * (1.0 - flying) + flight * flying)
    return chance[name][over] * static + chance[f"{name}_flight"][over] * np.sqrt(max(flight**2 - static**2, 0.0)) * flying


def _unmeasured(side, chance):
    """Factors on a motor's numbers nobody measured. Their stated bands are lopsided: the usual running resistance is 1.7 to 3 times the label's, most often 2."""
    usual, factors = tables.values("motor/defaults"), {}
    stated = lambda of, name: triangle(ndtr(chance[of]), *(usual[name + end] / usual[name] for end in ("_low", "", "_high")))  # noqa: E731
    if side.kv_from == "label":
        factors["kv"] = stated("kv", "kv_share")
    if side.resistance_from != "bench":
        factors["resistance"] = stated("resistance", "running_factor") * (stated("constant", "resistance_constant") if side.resistance_from == "estimate" else 1.0)
    if side.no_load_from == "estimate":
        factors["no_load"] = 1.0 + tables.values("power/assumptions")["no_load_band"] * (2.0 * ndtr(chance["no_load"]) - 1.0)
    return factors


def triangle(rank, low, mode, high):
    """The value of a triangle on these ends that this share of its values lies below."""
    rising = low + np.sqrt(rank * (high - low) * (mode - low))
    return np.where(rank * (high - low) < mode - low, rising, high - np.sqrt((1.0 - rank) * (high - low) * (high - mode)))


def factors(side, chance, flying, unit):
    """How far off each uncertain number of a side is in every variant: factors for drive_parts.moved, along the first axis, flying along the last.

    flying: 0 standing to 1 in cruise, over which the propeller's band widens. unit: one standard deviation of the difference of two units of one label,
    of which each unit has its part.
    """
    static, flight = (propeller_band(side, state, 0.0) for state in ("static", "flight"))
    own, flying = sigmas(side, "static"), np.asarray(flying, dtype=float)
    over = (..., None) if flying.ndim else ...
    off = {name: np.exp(_loads_off(side, chance, name, over, float(getattr(static, name)), float(getattr(flight, name)), flying)) for name in ("ct", "cp")}
    off |= {name: np.exp(chance[name][over] * own[name]) for name in ("kv", "resistance", "supply", "no_load")}
    off |= {name: made[over] for name, made in _unmeasured(side, chance).items()}
    if side.kv_from == "label":
        off["kv"] = off["kv"] * (1.0 + unit / np.sqrt(2.0) * chance["unit"][over])
    return off


def varied(side, chance, flying, unit):
    """The variants of a side; see factors."""
    return moved(side, factors(side, chance, flying, unit))

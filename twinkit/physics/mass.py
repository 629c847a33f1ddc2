"""Mass: total, centre of gravity, inertia, and the moves that put the balance right.

Places are (x forward, y right, z down) from any one datum; items run along the last axis.
"""

from dataclasses import dataclass

import numpy as np

from twinkit import constants as const


@dataclass(frozen=True)
class MassProperties:
    """Mass, centre of gravity, moments of inertia about it, and products of inertia (ixz = sum m x z, and so on)."""

    mass: np.ndarray
    x: np.ndarray
    y: np.ndarray
    z: np.ndarray
    ixx: np.ndarray
    iyy: np.ndarray
    izz: np.ndarray
    ixy: np.ndarray
    ixz: np.ndarray
    iyz: np.ndarray


def _floats(*values):
    return np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in values))


def _positive(value):
    return np.where(value > 0.0, value, np.nan)


def mass_properties(mass, x, y, z, length, width, height):
    """Mass, balance and inertia of a list of items told as points, rods or boxes.

    Arguments:
        mass [kg]: mass of each item, last axis over the items
        x [m]: middle of each item, forward, last axis over the items
        y [m]: middle of each item, to the right, last axis over the items
        z [m]: middle of each item, downward, last axis over the items
        length [m]: extent along x, 0 for none, last axis over the items
        width [m]: extent along y, 0 for none, last axis over the items
        height [m]: extent along z, 0 for none, last axis over the items
    Returns:
        mass [kg]: total, the shape without the last axis
        x [m]: centre of gravity, forward
        y [m]: centre of gravity, to the right
        z [m]: centre of gravity, downward
        ixx [kg m^2]: moment of inertia in roll about the centre of gravity
        iyy [kg m^2]: moment of inertia in pitch
        izz [kg m^2]: moment of inertia in yaw
        ixy [kg m^2]: product of inertia, sum m x y
        ixz [kg m^2]: product of inertia, sum m x z
        iyz [kg m^2]: product of inertia, sum m y z
    Relation: I = sum m (r^2 + (two extents squared) / 12) about the centre of gravity
    Holds for: items of even mass whose edges lie along the axes; a point has no extent, a rod one, a sheet two
    Breaks when: the total is not positive (returns nan)
    Errs: roll inertia 20 per cent high for a half wing that tapers to half its chord told as one box: tell it in pieces
    Example:
        >>> twin = mass_properties(mass=[0.3, 0.1, 0.1], x=[-0.08, 0.05, 0.05], y=[0.01, -0.22, 0.22], z=[0.01, 0.02, 0.02],
        ...                        length=[0.2, 0.04, 0.04], width=[1.1, 0.03, 0.03], height=[0.02, 0.03, 0.03])
        >>> round(float(twin.x), 4), round(float(twin.izz), 5)
        (-0.028, 0.04301)
    Source: [mechanics] centre of mass, parallel-axis theorem, even box
    """
    m, x, y, z, length, width, height = _floats(mass, x, y, z, length, width, height)
    total = _positive(m.sum(axis=-1))
    centre = [(m * place).sum(axis=-1) / total for place in (x, y, z)]
    dx, dy, dz = (place - middle[..., np.newaxis] for place, middle in zip((x, y, z), centre))
    own = [extent**2 / 12.0 for extent in (length, width, height)]
    keep = np.where(np.isnan(total), np.nan, 1.0)
    moment = [(m * term).sum(axis=-1) * keep for term in (
        dy**2 + dz**2 + own[1] + own[2], dx**2 + dz**2 + own[0] + own[2], dx**2 + dy**2 + own[0] + own[1],
        dx * dy, dx * dz, dy * dz)]
    return MassProperties(total, *centre, *moment)


def parallel_axis(moment, mass, distance):
    """Moment of inertia about an axis beside the centre of gravity.

    Arguments:
        moment [kg m^2]: moment of inertia about the parallel axis through the centre of gravity, any shape
        mass [kg]: mass, any shape
        distance [m]: distance between the axes, any shape
    Returns:
        [kg m^2]: moment of inertia about the other axis, broadcast shape
    Relation: I = Icg + m d^2
    Holds for: rigid bodies
    Breaks when: never
    Errs: nothing
    Example:
        >>> round(float(parallel_axis(moment=0.036, mass=1.05, distance=0.05)), 6)
        0.038625
    Source: [mechanics] parallel-axis theorem
    """
    moment, mass, distance = _floats(moment, mass, distance)
    return moment + mass * distance**2


def cg_spread(mass, place, mass_spread, place_spread):
    """Spread of the centre of gravity along one axis from the spreads of the items.

    Arguments:
        mass [kg]: mass of each item, last axis over the items
        place [m]: middle of each item along the axis, last axis over the items
        mass_spread [kg]: standard spread of each mass, last axis over the items
        place_spread [m]: standard spread of each place, last axis over the items
    Returns:
        [m]: standard spread of the centre of gravity, the shape without the last axis
    Relation: s^2 = sum ((x - xcg) sm / M)^2 + sum (m sx / M)^2
    Holds for: small, independent spreads
    Breaks when: the total is not positive (returns nan)
    Errs: low when the spreads go together, as with one sheet mass behind all foam parts
    Example:
        >>> round(float(cg_spread(mass=[0.3, 0.2], place=[0.0, -0.3], mass_spread=[0.02, 0.01], place_spread=[0.005, 0.01])), 5)
        0.00781
    Source: [mechanics] propagation of small errors
    """
    m, x, mass_spread, place_spread = _floats(mass, place, mass_spread, place_spread)
    total = _positive(m.sum(axis=-1))
    lever = x - ((m * x).sum(axis=-1) / total)[..., np.newaxis]
    return np.sqrt(((lever * mass_spread) ** 2 + (m * place_spread) ** 2).sum(axis=-1)) / total


def pack_slide(total_mass, pack_mass, cg_now, cg_wanted):
    """How far to slide the packs so that the centre of gravity comes where it should be.

    Arguments:
        total_mass [kg]: aeroplane mass, packs included, any shape
        pack_mass [kg]: mass of all packs that slide, any shape
        cg_now [m]: centre of gravity along the axis, any shape
        cg_wanted [m]: wanted centre of gravity along the same axis, any shape
    Returns:
        [m]: slide along the axis in its positive sense, broadcast shape
    Relation: s = M (xw - x) / mp
    Holds for: packs that slide as one
    Breaks when: pack_mass <= 0 (returns nan)
    Errs: nothing
    Example:
        >>> round(float(pack_slide(total_mass=1.05, pack_mass=0.26, cg_now=-0.072, cg_wanted=-0.064)), 4)
        0.0323
    Source: [mechanics] balance of moments
    """
    total, pack, now, wanted = _floats(total_mass, pack_mass, cg_now, cg_wanted)
    return total * (wanted - now) / _positive(pack)


def ballast(total_mass, cg_now, cg_wanted, place):
    """Mass to add at a place so that the centre of gravity comes where it should be.

    Arguments:
        total_mass [kg]: aeroplane mass without the ballast, any shape
        cg_now [m]: centre of gravity along the axis, any shape
        cg_wanted [m]: wanted centre of gravity along the same axis, any shape
        place [m]: where the ballast goes along the same axis, any shape
    Returns:
        [kg]: ballast, broadcast shape
    Relation: mb = M (xw - x) / (xb - xw)
    Holds for: ballast on the side towards which the balance must move
    Breaks when: the place lies on the wrong side or at the wanted centre of gravity (returns nan)
    Errs: nothing
    Example:
        >>> round(float(ballast(total_mass=1.05, cg_now=-0.072, cg_wanted=-0.064, place=0.2)), 4)
        0.0318
    Source: [mechanics] balance of moments
    """
    total, now, wanted, place = _floats(total_mass, cg_now, cg_wanted, place)
    shift, lever = wanted - now, place - wanted
    right_side = (shift == 0.0) | (shift * lever > 0.0)
    amount = total * shift / np.where(lever == 0.0, np.inf, lever)
    return np.where(right_side, amount, np.nan)

"""Lateral derivatives from geometry, and control surfaces."""
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from twinkit import tables
from twinkit.physics import control_surfaces as surfaces
from twinkit.physics import derivatives as lateral

# An invented twin: span 1.10 m, area 0.22 m^2, chord 0.20 m, fin 0.024 m^2, 0.47 m behind the centre of gravity.
SPAN, AREA, ASPECT = 1.10, 0.22, 5.5
SLOPE = lateral.fin_lift_slope(height=np.sqrt(2.33 * 0.024 / 1.55), area=0.024, end_plate_factor=1.55, section_slope_ratio=0.9,
                               half_chord_sweep=0.0)


def rolling_by_lifting_line(section_slope, aspect_ratio, chord, angle, terms=60):
    """Rolling-moment coefficient of an antisymmetric angle of attack, by collocation; chord(theta) relative to b/AR."""
    theta = (np.arange(terms) + 0.5) * np.pi / (2 * terms)
    n = 2 * np.arange(1, terms + 1)
    mu = section_slope * chord(theta) / (4.0 * aspect_ratio)
    matrix = np.sin(np.outer(theta, n)) * (n * mu[:, None] + np.sin(theta)[:, None])
    first = np.linalg.solve(matrix, mu * angle(theta) * np.sin(theta))[0]
    return np.pi * aspect_ratio * first / 4.0


@pytest.mark.published
@pytest.mark.parametrize("share, expected", [(0.25, 1.0 / 3.0 + np.sqrt(3.0) / (2.0 * np.pi)), (0.5, 0.5 + 1.0 / np.pi)])
def test_thin_aerofoil_values(share, expected):
    # Houghton and Carpenter eq. 4.52, slope (pi - phi + sin phi)/pi; exact at these hinge places
    assert surfaces.thin_aerofoil_effectiveness(share) == pytest.approx(expected, rel=1e-12)


@pytest.mark.published
@pytest.mark.parametrize("share, chart", [(0.2, 0.41), (0.25, 0.47), (0.5, 0.67)])
def test_practical_effectiveness_near_the_chart(share, chart):
    # digitised plain-flap chart (public coursework); two digits read from a curve, and a plain step rule: 7 per cent
    assert surfaces.surface_effectiveness(share, 0.0) == pytest.approx(chart, rel=0.07)


@pytest.mark.identity
def test_thin_aerofoil_limits():
    assert surfaces.thin_aerofoil_effectiveness(np.array([0.0, 1.0])) == pytest.approx([0.0, 1.0], abs=1e-12)
    assert np.isnan(surfaces.thin_aerofoil_effectiveness(np.array([-0.1, 1.1]))).all()
    shares = np.linspace(0.01, 0.99, 99)
    # independent route: lift of the bent camber line, tau = (1/pi) integral over the flap of (1 - cos) d theta (Glauert)
    for share in shares:
        theta = np.linspace(np.arccos(2 * share - 1), np.pi, 4001)
        slope = np.trapezoid(1.0 - np.cos(theta), theta) / np.pi
        assert surfaces.thin_aerofoil_effectiveness(share) == pytest.approx(slope, rel=1e-6)


@pytest.mark.pinned
def test_loss_at_large_angle():
    # common practice, no source: factor 1 to 20 degrees, 0.85 at 25, 0.70 at 30
    angles = np.radians([10.0, 20.0, 25.0, 30.0])
    assert surfaces.effective_deflection(angles) / angles == pytest.approx([1.0, 1.0, 0.85, 0.70], rel=1e-12)


@pytest.mark.identity
def test_effective_deflection_is_continuous_odd_and_inverted():
    angles = np.radians(np.linspace(-60.0, 60.0, 24001))
    effect = surfaces.effective_deflection(angles)
    assert np.abs(np.diff(effect)).max() <= 1.01 * np.diff(angles).max()
    assert effect == pytest.approx(-effect[::-1], abs=1e-15)
    best = surfaces.effective_limit(np.radians(45.0))
    assert best == pytest.approx(effect.max(), rel=1e-7)
    inside = np.abs(angles) <= surfaces.BEST_ANGLE
    assert surfaces.deflection_for(effect[inside]) == pytest.approx(angles[inside], rel=1e-6, abs=1e-12)
    assert np.isnan(surfaces.deflection_for(1.001 * best))


@pytest.mark.identity
def test_effectiveness_is_continuous_and_gap_takes_a_tenth():
    shares = np.linspace(0.15, 0.6, 4501)
    assert np.abs(np.diff(surfaces.surface_effectiveness(shares, 0.0))).max() < 5e-4
    assert surfaces.surface_effectiveness(0.3, 1.0) == pytest.approx(0.9 * surfaces.surface_effectiveness(0.3, 0.0), rel=1e-12)


@pytest.mark.identity
@pytest.mark.parametrize("aspect_ratio", [4.0, 5.5, 8.0, 20.0])
def test_antisymmetric_slope_is_the_elliptic_lifting_line(aspect_ratio):
    # p b/2V = 1: local angle cos(theta); elliptic chord 4/pi sin(theta); Clp of the wing is -a_anti/8
    by_line = rolling_by_lifting_line(5.65, aspect_ratio, lambda t: 4 / np.pi * np.sin(t), np.cos)
    assert lateral.antisymmetric_lift_slope(5.65, aspect_ratio) / 8.0 == pytest.approx(by_line, rel=1e-9)


def tapered(taper):
    return lambda theta: 2.0 / (1.0 + taper) * (1.0 - (1.0 - taper) * np.cos(theta))


@pytest.mark.identity
@pytest.mark.parametrize("aspect_ratio", [4.0, 5.5, 8.0])
@pytest.mark.parametrize("taper", [1.0, 0.7, 0.5])
def test_roll_damping_against_lifting_line(aspect_ratio, taper):
    # an independent route: the lifting line of the real chord; the package loads the wing half by the ellipse
    by_line = rolling_by_lifting_line(5.65, aspect_ratio, tapered(taper), np.cos)
    own = lateral.damping_derivatives(section_lift_slope=5.65, aspect_ratio=aspect_ratio, taper_ratio=taper, lift_coefficient=0.5,
                                      fin_cy_beta=0.0, fin_arm_ratio=0.4, fin_height_ratio=0.0, wing_yaw_damping=0.01)
    assert -own.cl_p == pytest.approx(by_line, rel=0.07)


@pytest.mark.identity
@pytest.mark.parametrize("aspect_ratio", [4.0, 5.5, 8.0])
@pytest.mark.parametrize("taper", [1.0, 0.5])
@pytest.mark.parametrize("inner, outer", [(0.4, 0.95), (0.2, 0.8), (0.0, 1.0)])
def test_ailerons_against_lifting_line(aspect_ratio, taper, inner, outer):
    def angle(theta):
        place = np.cos(theta)
        return np.where((place > inner) & (place < outer), 0.4, 0.0)
    by_line = rolling_by_lifting_line(5.65, aspect_ratio, tapered(taper), angle, terms=200)
    own = surfaces.aileron_derivatives(section_lift_slope=5.65, aspect_ratio=aspect_ratio, effectiveness=0.4, inner_edge=inner,
                                       outer_edge=outer, taper_ratio=taper, lift_coefficient=0.5, adverse_yaw_factor=0.1)
    assert own.cl_aileron == pytest.approx(by_line, rel=0.05)
    assert own.cn_aileron == pytest.approx(-0.05 * own.cl_aileron, rel=1e-12)


@pytest.mark.identity
def test_dihedral_closed_forms():
    assert lateral.dihedral_sideslip(4.1, 0.07, 1.0, 0.15).cl_beta == pytest.approx(-4.1 * 0.07 / 4.0, rel=1e-12)
    pointed = lateral.dihedral_sideslip(4.1, 0.07, 0.0, 0.15).cl_beta
    eta = np.linspace(0.0, 1.0, 20001)       # strips of a pointed wing: c = 2 (1 - eta) b/AR..., moment arm eta b/2
    assert pointed == pytest.approx(-4.1 * 0.07 * np.trapezoid((1 - eta) * eta, eta), rel=1e-6)


@pytest.mark.identity
def test_fin_derivatives_are_one_force_at_one_place():
    part = lateral.fin_sideslip(lift_slope=SLOPE, sidewash_factor=0.94, area=0.024, arm=0.47, height=0.032, wing_area=AREA,
                                wing_span=SPAN, band=0.2)
    rates = lateral.damping_derivatives(section_lift_slope=5.65, aspect_ratio=ASPECT, taper_ratio=1.0, lift_coefficient=0.0,
                                        fin_cy_beta=part.cy_beta, fin_arm_ratio=0.47 / SPAN, fin_height_ratio=0.032 / SPAN,
                                        wing_yaw_damping=0.0)
    # a yaw rate r turns the fin's air by -r l/V, a roll rate by +p z/V: work the derivatives from that alone
    speed, step = 12.0, 1e-3
    yawed = -step * 0.47 / speed * part.cy_beta / (step * SPAN / (2 * speed))
    rolled = step * 0.032 / speed * part.cy_beta / (step * SPAN / (2 * speed))
    assert rates.cy_r == pytest.approx(yawed, rel=1e-12)
    assert rates.cn_r == pytest.approx(-yawed * 0.47 / SPAN, rel=1e-12)
    assert rates.cl_r == pytest.approx(yawed * 0.032 / SPAN, rel=1e-12)
    assert rates.cy_p == pytest.approx(rolled, rel=1e-12)
    assert rates.cn_p == pytest.approx(-rolled * 0.47 / SPAN, rel=1e-12)
    rudder = surfaces.rudder_derivatives(lift_slope=SLOPE, effectiveness=0.6, pressure_ratio=0.95, area=0.024, span_share=1.0,
                                         arm=0.47, height=0.032, wing_area=AREA, wing_span=SPAN)
    assert rudder.cn_rudder / rudder.cy_rudder == pytest.approx(part.cn_beta / part.cy_beta, rel=1e-12)
    # a rudder with its trailing edge left pushes the tail right and turns the nose left
    assert rudder.cy_rudder > 0.0 > rudder.cn_rudder


@pytest.mark.pinned
def test_the_invented_twin():
    # worked by hand from the same inputs: fin +0.122, body -0.026, propellers -0.006, rudder 0.172 and -0.0736
    bands = dict(zip(*(tables.read("engine_out/estimate_bands").columns[c] for c in ("part", "band"))))
    fin = lateral.fin_sideslip(
        lift_slope=SLOPE, sidewash_factor=lateral.fin_sidewash_factor(0.024 / AREA, 0.0, 0.0, ASPECT), area=0.024, arm=0.47,
        height=0.032, wing_area=AREA, wing_span=SPAN, band=bands["fin"])
    body = lateral.body_sideslip(length=0.8, width=0.085, depth=0.095, volume=0.7 * 0.8 * 0.085 * 0.095, count=1,
                                 interference=1.5, viscous_factor=0.75, wing_area=AREA, wing_span=SPAN, band=bands["body"])
    propellers = lateral.propeller_sideslip(lift_slope=4.9, blade_side_area=0.00075, inflow_pressure_ratio=1.2, count=2,
                                            lead=0.16, wing_area=AREA, wing_span=SPAN, band=bands["propellers"])
    assert SLOPE == pytest.approx(2.78, rel=0.002)
    assert fin.cn_beta == pytest.approx(0.122, rel=0.01)
    assert body.cn_beta == pytest.approx(-0.026, rel=0.03)
    assert propellers.cn_beta == pytest.approx(-0.006, rel=0.05)
    rudder = surfaces.rudder_derivatives(SLOPE, surfaces.surface_effectiveness(0.40, 0.0), 0.95, 0.024, 1.0, 0.47, 0.032, AREA, SPAN)
    assert rudder.cy_rudder == pytest.approx(0.172, rel=0.01)
    assert rudder.cn_rudder == pytest.approx(-0.0736, rel=0.01)
    table = lateral.contribution_table({"fin": fin, "body": body, "propellers": propellers})
    assert [row.part for row in table] == ["fin", "body", "propellers", "total"]
    assert table[-1].cn_beta == pytest.approx(0.122 - 0.026 - 0.006, rel=0.02)


@pytest.mark.identity
@given(st.lists(st.tuples(*(st.floats(-1.0, 1.0) for _ in range(3)), st.floats(0.0, 1.0)), min_size=1, max_size=5))
def test_contribution_table_sums(rows):
    parts = {str(i): lateral.SideslipPart(*row) for i, row in enumerate(rows)}
    total = lateral.contribution_table(parts)[-1]
    assert total.cn_beta == pytest.approx(sum(row[2] for row in rows), rel=1e-12, abs=1e-12)
    assert total.cn_band == pytest.approx(np.sqrt(sum((row[2] * row[3]) ** 2 for row in rows)), rel=1e-12, abs=1e-150)
    assert total.cn_band <= sum(abs(row[2] * row[3]) for row in rows) * (1 + 1e-12) + 1e-150


@pytest.mark.identity
def test_estimates_take_arrays():
    spans = np.array([[0.9], [1.1], [1.3]])
    areas = np.array([0.18, 0.22])
    fin = lateral.fin_sideslip(2.78, 0.94, 0.024, 0.47, 0.03, areas, spans, 0.2)
    assert fin.cn_beta.shape == (3, 2)
    one = lateral.fin_sideslip(2.78, 0.94, 0.024, 0.47, 0.03, 0.22, 1.1, 0.2)
    assert fin.cn_beta[1, 1] == pytest.approx(one.cn_beta, rel=1e-14)
    high, low = (lateral.wing_height_sideslip(p, 0.046, 0.25).cl_beta for p in (1.0, -1.0))
    assert high == -low == -0.046


@pytest.mark.identity
def test_reference_values_lie_in_their_bands():
    table = tables.read("engine_out/dead_propeller").columns
    assert np.all((table["low"] <= table["drag_coefficient"]) & (table["drag_coefficient"] <= table["high"]))
    values = tables.values("engine_out/assumptions")
    assert values["servo_rate"] == pytest.approx(np.radians(350.0), rel=1e-12)
    assert values["bank_limit"] == pytest.approx(np.radians(5.0), rel=1e-12)
    assert values["wing_height_effect"] == pytest.approx(np.degrees(0.0008), rel=0.01)

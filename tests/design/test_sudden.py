"""Page 06, the seconds after a motor stops: twelve stories, their draws, the throttle that leaves the pilot his time, the modes."""

import numpy as np
import pytest

from builds import build
from twinkit.design.sudden import PLACES, REACTIONS
from twinkit.drawings import rudder as drawings
from twinkit.physics import lateral


def rows(story):
    return np.stack([story.bank, story.heading, story.sideslip])


@pytest.mark.identity
def test_there_are_twelve_stories_on_one_clock(dunlin):
    seconds = dunlin.seconds
    assert [(s.place, s.reaction) for s in seconds.stories] == [(p, r) for p in PLACES for r in REACTIONS]
    assert seconds.story("climb", "closed") is seconds.stories[7]
    assert seconds.speeds["climb"] >= dunlin.rudder.approach and seconds.speeds["leaving"] == pytest.approx(0.7 * dunlin.rudder.leave_speed, rel=1e-12)
    thrown = build(start__launch="hand").seconds
    assert thrown.launch == "hand" and thrown.speeds["leaving"] == pytest.approx(7.0, rel=1e-12)


@pytest.mark.identity
@pytest.mark.parametrize("name", ["dunlin", "siskin"])
def test_before_the_pilot_acts_all_answers_are_one(name):
    late, soon = build(name, rudder__delay="5 s").seconds, build(name, rudder__delay="0.3 s").seconds
    for place in PLACES:
        for reaction in REACTIONS:
            assert rows(late.story(place, reaction)) == pytest.approx(rows(late.story(place, "none")), nan_ok=True, abs=1e-12)
        before = soon.time <= 0.3
        for reaction in REACTIONS:
            assert rows(soon.story(place, reaction))[:, before] == pytest.approx(rows(soon.story(place, "none"))[:, before], nan_ok=True, abs=1e-12)
    after = soon.time == soon.time[-1]
    kept = {r: soon.story("cruise", r) for r in ("both", "closed")}
    assert all(s.lost_at is None and abs(s.bank[after][0]) < np.radians(10.0) for s in kept.values())


@pytest.mark.identity
def test_it_rolls_and_swings_to_the_dead_side(dunlin):
    mirrored = build(changes={"power.left.kv": "1200 rpm/V", "bench.points": []}).seconds
    assert (dunlin.seconds.dead, mirrored.dead) == ("left", "right")
    for seconds, sign in ((dunlin.seconds, -1.0), (mirrored, 1.0)):
        story = seconds.story("cruise", "none")
        k = np.searchsorted(seconds.time, 0.5)
        assert sign * story.bank[k] > 0.0 and sign * story.heading[k] > 0.0 and -sign * story.sideslip[k] > 0.0


@pytest.mark.identity
def test_first_moments_follow_the_moment_over_the_inertia(dunlin):
    # the dying thrust N = y (T + D) (1 - e^(-t/tau)) put into psi'' = N(t)/Iz and integrated twice; Ixz is small here
    out, seconds = dunlin.rudder, dunlin.seconds
    for place in PLACES:
        tau, t = 0.10, 0.05
        drag = float(out.situation.dead_drag(seconds.speeds[place], "left"))
        ramp = t**2 / 2.0 - tau * t + tau**2 * (1.0 - np.exp(-t / tau))
        expected = -(seconds.thrusts[place] + drag) * float(out.situation.arm[0, 0]) / dunlin.weight.inertia_zz * ramp
        story = seconds.story(place, "none")
        assert story.heading[np.searchsorted(seconds.time, t - 1e-9)] == pytest.approx(expected, rel=0.04), place      # the fin has begun to answer


@pytest.mark.identity
def test_wheels_hold_the_wings_and_yaw_alone_is_left(dunlin):
    out, seconds = dunlin.rudder, dunlin.seconds
    story, speed = seconds.story("leaving", "none"), seconds.speeds["leaving"]
    shown = np.isfinite(story.bank)
    assert np.abs(story.bank[shown]).max() == 0.0
    # with the roll locked and before the path has bent: psi'' = N/Iz - w^2 psi, integrated by hand
    case, d = out.situation, dunlin.rudder.derivatives
    moment = 0.5 * case.density * speed**2 * case.shape.wing_area * case.shape.wing_span
    pull, drag, iz = seconds.thrusts["leaving"], float(case.dead_drag(speed, "left")), dunlin.weight.inertia_zz
    heading = rate = 0.0
    for k in range(200):
        turning = -(pull + drag) * float(case.arm[0, 0]) * (1.0 - np.exp(-(k + 0.5) * 0.001 / 0.10))
        damping = moment * case.shape.wing_span / (2.0 * speed) * float(d.cn_r)
        rate += 0.001 * (turning - moment * float(d.cn_beta) * heading + damping * rate) / iz
        heading += 0.001 * rate
    assert story.heading[np.searchsorted(seconds.time, 0.2 - 1e-9)] == pytest.approx(heading, rel=0.03)


@pytest.mark.identity
def test_the_throttle_that_leaves_the_pilot_his_time(dunlin):
    found = dunlin.seconds.second_throttle
    assert 0.0 < found < 1.0
    quick, slow = (build(rudder__delay=delay).seconds.second_throttle for delay in ("0.5 s", "2 s"))
    assert slow < found < quick <= 1.0
    # an independent route: the same build thrown at approach speed with that throttle and with a little more on both sides
    at = f"{dunlin.rudder.approach} m/s"
    for throttle, kept in ((found - 0.02, True), (found + 0.04, False)):
        seconds = build(start__launch="hand", wing__throw_speed=at, rudder__launch_throttle=f"{100 * throttle:.0f} %", weight__mass_measured=f"{dunlin.wing.mass} kg",
                        weight__cg_measured=f"{dunlin.weight.cg_behind} m").seconds
        lost = seconds.story("leaving", "none").lost_at
        assert (lost is None or lost >= 1.0) is kept, throttle


@pytest.mark.identity
def test_draws_spread_round_the_likely_case(dunlin):
    sampled, seconds = dunlin.seconds_sampled, dunlin.seconds
    assert sampled.draws == 100 and sampled.kept.shape == (3, 4) and ((0.0 <= sampled.kept) & (sampled.kept <= 1.0)).all()
    assert build().seconds_sampled.kept == pytest.approx(sampled.kept, abs=0.0), "the same draws each time"
    likely = np.array([[seconds.story(place, reaction).lost_at is None for reaction in REACTIONS] for place in PLACES])
    assert ((sampled.kept > 0.5) == likely).all()
    assert sampled.kept[0, 0] < sampled.kept[0, 1] < sampled.kept[0, 2], "each answer helps in cruise"
    quick = build(rudder__delay="0.3 s").seconds_sampled.kept
    assert (quick >= sampled.kept).all() and quick[0].min() >= sampled.kept[0].min()


@pytest.mark.identity
def test_modes_are_those_of_the_derivatives_in_cruise(dunlin):
    # an independent route: the 4x4 written out and scipy's roots; Ixz as the parts list gives it
    from twinkit.design.yaw import derivatives_of

    out, seconds, weight = dunlin.rudder, dunlin.seconds, dunlin.weight
    speed, case = seconds.speeds["cruise"], out.situation
    q = 0.5 * case.density * speed**2 * case.shape.wing_area
    d = derivatives_of(case.shape, case.mass * 9.80665 / q)
    b, k = case.shape.wing_span, case.shape.wing_span / (2.0 * speed)
    mass = np.diag([case.mass * speed, weight.inertia_xx, weight.inertia_zz, 1.0])
    mass[1, 2] = mass[2, 1] = -weight.inertia_xz
    forces = np.array([[q * d.cy_beta, q * k * d.cy_p, q * k * d.cy_r - case.mass * speed, case.mass * 9.80665], [q * b * d.cl_beta, q * b * k * d.cl_p, q * b * k * d.cl_r, 0.0],
                       [q * b * d.cn_beta, q * b * k * d.cn_p, q * b * k * d.cn_r, 0.0], [0.0, 1.0, 0.0, 0.0]], dtype=float)
    roots = np.linalg.eigvals(np.linalg.solve(mass, forces))
    assert float(seconds.modes.roll[0]) == pytest.approx(float(roots.real.min()), rel=1e-9)
    swing = roots[np.argmax(roots.imag)]
    assert complex(seconds.modes.dutch_roll[0]) == pytest.approx(complex(swing), rel=1e-9)
    assert float(seconds.modes.spiral[0]) == pytest.approx(float(roots.real.max()), rel=1e-6)
    assert lateral.doubling_time(float(seconds.modes.spiral[0])) == pytest.approx(float(seconds.modes.spiral_doubling_time[0]), rel=1e-9)


@pytest.mark.pinned
def test_what_the_tables_say(dunlin):
    text = drawings.SHEETS["reactions"](dunlin).text()
    assert "In hand: of 100 draws of all that is uncertain, your own delay (1.0 s) among it." in text and "Out of hand: more than 20 deg of sideslip or 60 deg of bank" in text
    assert "counted as not gripping sideways" in text and "take-off run, 8.0 m/s" in text
    assert "thrown, 7.0 m/s" in drawings.SHEETS["reactions"](build("siskin")).text()
    modes = drawings.SHEETS["modes"](dunlin).text()
    assert "spiral" in modes and "only its size is known" in modes
    assert "ailerons alone" in drawings.SHEETS["reactions"](build("siskin")).columns

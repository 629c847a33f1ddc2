"""How long the one-motor-out sweeps take, each beside a named baseline in the same run."""
import time

import numpy as np
import pytest

from builds import build
from twinkit.design import sizing, sudden
from twinkit.physics import engine_out, lateral, sudden_loss
from twinkit.physics.derivatives import LateralDerivatives

pytestmark = pytest.mark.speed
FRAME = dict(density=1.225, mass=1.05, wing_area=0.22, wing_span=1.10)
REST = dict(arm=0.22, chord=0.20, disk_area=0.02483, slipstream_factor=0.5, rudder_limit=0.4363, aileron_limit=0.349,
            sideslip_limit=0.2618, bank_limit=0.0873)
GRID = np.linspace(6.0, 30.0, 25)


def sampled(count):
    spread = np.random.default_rng(1).normal(1.0, 0.08, (13, count))
    d = LateralDerivatives(*(v * s for v, s in zip((-0.445, -0.105, 0.088, 0.172, 0.005, -0.0736, 0.20, -0.0106, -0.40, -0.066, 0.14,
                                                    -0.114, 0.243), spread)))
    return d, (6.0 - GRID / 6.0) * spread[0][:, None], np.random.default_rng(2).uniform(0.05, 0.3, count)


def best(run, times=3):
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        taken.append(time.perf_counter() - start)
    return min(taken)


def control_speeds(d, thrust, drag):
    return engine_out.minimum_control_speed(d, GRID, thrust, drag_coefficient=drag, **FRAME, **REST)


def responses(count, step, duration=2.5):
    d, _, _ = sampled(count)
    system = lateral.lateral_system(d, 12.0, **FRAME, roll_inertia=0.036, yaw_inertia=0.062, product_inertia=0.0)
    return sudden_loss.sudden_loss_response(
        system.matrix, system.inputs, np.linspace(0.6, 4.0, count), 0.33, 0.33, 0.22, 0.22, 0.2, "left", 0.10, 1.0, 6.1, 0.43, 0.35, 1.0, 1.0, 0.35,
        1.05, duration, step)


@pytest.mark.identity
def test_a_hundred_thousand_control_speeds():
    d, thrust, drag = sampled(100_000)
    few = [LateralDerivatives(*(getattr(d, name)[i] for name in ("cy_beta", "cl_beta", "cn_beta", "cy_rudder", "cl_rudder", "cn_rudder",
                                                                 "cl_aileron", "cn_aileron", "cl_p", "cn_p", "cl_r", "cn_r", "cy_r")))
           for i in range(100)]
    together = best(lambda: control_speeds(d, thrust, drag), 2)
    one_by_one = best(lambda: [control_speeds(one, thrust[i], drag[i]) for i, one in enumerate(few)], 1) * 1000
    print(f"100 000 control speeds together {together:.2f} s; one by one {one_by_one:.0f} s")
    assert together < 2.0
    assert together < one_by_one / 10
    alone = [float(control_speeds(one, thrust[i], drag[i]).speed) for i, one in enumerate(few)]
    assert control_speeds(d, thrust, drag).speed[:100] == pytest.approx(alone, rel=1e-12, nan_ok=True)


@pytest.mark.identity
def test_responses():
    twelve, many = best(lambda: responses(12, 0.005), 15), best(lambda: responses(500, 0.005))
    one_by_one = 12 * best(lambda: responses(1, 0.005))
    print(f"12 responses {twelve * 1e3:.0f} ms (one by one {one_by_one * 1e3:.0f} ms); 500 responses {many:.2f} s")
    assert twelve < 0.1
    assert many < 2.0
    assert twelve < one_by_one


@pytest.mark.identity
def test_the_twelve_stories_of_the_page_and_their_draws():
    # baseline: the same stories one after the other, as a loop over places and reactions would run them
    results = build()
    seconds, step = results.seconds, float(results.seconds.time[1])
    frame = seconds.frame

    def alone():
        for k in range(len(sudden.PLACES)):
            one = frame | {"speed": frame["speed"][k:k + 1], "thrust": frame["thrust"][k:k + 1], "rolling": False}
            for name, reaction in sudden.REACTIONS.items():
                sudden._motion(one, step, {name: reaction})

    twelve, one_by_one = best(lambda: sudden._motion(frame, step), 15), best(alone)
    drawn = best(lambda: sudden.sampled(results.ground(), seconds), 2)
    responses_drawn = len(seconds.stories) * results.seconds_sampled.draws
    print(f"12 stories {twelve * 1e3:.0f} ms (one by one {one_by_one * 1e3:.0f} ms); {responses_drawn} sampled responses {drawn:.2f} s")
    assert twelve < 0.1 and twelve < one_by_one
    assert responses_drawn >= 500 and drawn < 2.0


@pytest.mark.identity
def test_sizes_come_within_the_second_the_hand_rests():
    results = build()
    results.rudder
    together = best(lambda: sizing.sizing(results.ground(), results.rudder))
    case, out = results.rudder.situation, results.rudder
    start = time.perf_counter()
    for share in results.sizing.shares:
        for height in results.sizing.heights:
            case.with_fin(np.array([height]), np.array([share]), out.approach, out.live_at_approach[-1], 0)
    one_by_one = time.perf_counter() - start
    print(f"lines, states, map and fins {together * 1e3:.0f} ms; the map's fins one by one {one_by_one * 1e3:.0f} ms")
    assert together < 1.0 and together < one_by_one

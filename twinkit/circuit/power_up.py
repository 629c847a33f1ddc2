"""Switching on and off: what is alive after each step, worked out from the graph, and what every order of steps does.

Controllers follow the habits of the trade: no signal, beeps; low throttle, arms; full throttle when the first signal comes, calibrates.
Props off, or the model held and everybody behind the propeller planes. Common practice, no source. [wiring_trade]
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import permutations

from twinkit.circuit.facts import joined_packs
from twinkit.circuit.nets import feeds, nets, receiver_pins
from twinkit.circuit.working import Condition, working

ACTIONS = ("transmitter on", "transmitter off", "throttle low", "throttle high", "plug in", "unplug")
MODES = ("off", "no signal", "armed", "calibration", "motor may run")

MISHAPS = {
    "transmitter late": "The receiver is awake and hears no transmitter: no signal and no arming, or, with a badly set failsafe, a motor that starts by surprise.",
    "controller before receiver": "A controller has power and its receiver has none: it beeps for a signal, and some do not arm later.",
    "phantom power": "The signal wire of a live controller can half feed a receiver that has no supply, which then wakes badly.",
    "calibration": "The first signal a controller sees is full throttle: it goes into calibration or programming, and the next stick movement is stored.",
    "motor may run": "An armed controller sees throttle: the motor runs.",
    "receiver lost with motors live": "The receiver loses its supply while a controller still has power: that motor depends on the failsafe of a dying receiver.",
    "transmitter off with motors live": "The transmitter is off while a controller has power: that motor depends on the failsafe.",
    "transmitter off before receiver": "The receiver is still awake: its outputs go to failsafe. Nothing can turn now, but the safe habit is transmitter last.",
    "fed backwards": "A controller without its pack gets 5 V through its red wire: its logic, and perhaps more, is fed backwards.",
}
CAUTIONS = {
    "wait for the link": "Wait 2 to 3 seconds for link and arming tones; both controllers must be ones that wait for a signal.",
    "packs join": "The packs are joined at this moment: only if both are equally charged, and check the voltages first.",
    "bare contacts live": "The open plug of the other pack is live from now on: cover it.",
}


@dataclass(frozen=True)
class Event:
    """One thing done: an action of ACTIONS and, for a plug, the id of the pack."""
    action: str
    pack: str = ""

    def words(self, wiring):
        """The event as it is read aloud."""
        if not self.pack:
            return {"throttle low": "close the throttle", "throttle high": "open the throttle"}.get(self.action, f"switch the {self.action}")
        return f"{self.action}: {wiring.part(self.pack).name}"


@dataclass(frozen=True)
class ControllerState:
    """A controller at one moment. `may_run` is true whenever its motor could turn without anybody meaning it."""
    part: str
    mode: str
    waited: bool = False
    may_run: bool = False
    fed_backwards: bool = False


@dataclass(frozen=True)
class PowerState:
    """Everything at one moment, with the mishaps and cautions of the step that led here (keys of MISHAPS and CAUTIONS)."""
    transmitter: bool
    throttle: str
    plugged: frozenset[str]
    radio: bool
    controllers: tuple[ControllerState, ...]
    phantom: tuple[str, ...] = ()
    mishaps: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def linked(self):
        """Whether the receiver hears the transmitter."""
        return self.radio and self.transmitter

    def controller(self, part):
        """The state of the controller of that id."""
        return next(state for state in self.controllers if state.part == part)


@dataclass(frozen=True)
class Order:
    """A whole order of steps and the state after each. A step may hold several events done at once."""
    steps: tuple[tuple[Event, ...], ...]
    throttle: str
    states: tuple[PowerState, ...]

    @property
    def mishaps(self):
        return tuple(dict.fromkeys(name for state in self.states for name in state.mishaps))

    @property
    def cautions(self):
        return tuple(dict.fromkeys(name for state in self.states for name in state.cautions))

    @property
    def safe(self):
        return not self.mishaps

    def words(self, wiring):
        """The order as lines to read aloud."""
        return tuple(" and at once ".join(event.words(wiring) for event in step) for step in self.steps)


def packs(wiring):
    """Ids of everything that is plugged in: flight packs, then the receiver pack."""
    return tuple(part.id for part in wiring.of_kind("pack") + wiring.of_kind("receiver_pack"))


def start(wiring, throttle="low"):
    """Everything off and unplugged."""
    return PowerState(False, throttle, frozenset(), False, tuple(ControllerState(part.id, "off") for part in wiring.of_kind("controller")))


def ready(wiring, throttle="low"):
    """Everything plugged in and armed, as just before or in flight, with the throttle as given."""
    state = PowerState(True, throttle, frozenset(packs(wiring)), True, ())
    mode = "motor may run" if throttle == "high" else "armed"
    alive = _alive(wiring, state.plugged)
    return replace(state, radio=alive.radio, controllers=tuple(
        ControllerState(c.part, mode if c.powered and c.signal else "no signal" if c.powered else "off", may_run=c.powered and c.signal and throttle == "high")
        for c in alive.controllers))


def _alive(wiring, plugged):
    return working(wiring, [Condition(pack, "unplugged") for pack in packs(wiring) if pack not in plugged])


def step(wiring, state, *events):
    """The state after one event, or several at the same moment."""
    now = replace(state, mishaps=(), cautions=())
    for event in events:
        now = _applied(wiring, now, event)
    alive, copper, ground = _alive(wiring, now.plugged), nets(wiring), nets(wiring, "ground")
    rail, minus = receiver_pins(wiring)
    controllers, phantom, mishaps = [], [], []
    for part, old in zip(wiring.of_kind("controller"), state.controllers):
        has = alive.controller(part.id)
        pulses = "none" if not has.signal else "failsafe" if not now.transmitter else now.throttle
        backwards = alive.radio and not has.powered and not part.opto and bool(feeds(wiring, copper, rail, part.pin("V5")))
        new, mishap = _controller_step(old, has.powered, pulses, alive.radio)
        controllers.append(replace(new, fed_backwards=backwards))
        wired = any(pin.part == wiring.receiver.id for pin in copper.net(part.pin("S")))
        if has.powered and not alive.radio and wired and ground.same(part.pin("SG"), minus):
            phantom.append(part.id)
        if mishap:
            mishaps.append(mishap)
        if backwards:
            mishaps.append("fed backwards")
    live = any(c.powered for c in alive.controllers)
    dying = state.radio and not alive.radio
    if set(phantom) - set(state.phantom) and not dying:
        mishaps.append("phantom power")
    if dying and live:
        mishaps = [name for name in mishaps if name != "controller before receiver"] + ["receiver lost with motors live"]
    if alive.radio and not now.transmitter and any(event.action == "plug in" for event in events):
        mishaps.append("transmitter late")
    if alive.radio and state.transmitter and not now.transmitter and not live:
        mishaps.append("transmitter off before receiver")
    if live and state.transmitter and not now.transmitter:
        mishaps.append("transmitter off with motors live")
    return replace(now, radio=alive.radio, controllers=tuple(controllers), phantom=tuple(phantom),
                   mishaps=tuple(dict.fromkeys(mishaps)), cautions=_cautions(wiring, state, now, alive))


def _applied(wiring, state, event):
    if event.action not in ACTIONS:
        raise ValueError(f"no event is called {event.action!r}: allowed are {', '.join(ACTIONS)}")
    if event.action.startswith("transmitter"):
        return replace(state, transmitter=event.action.endswith("on"))
    if event.action.startswith("throttle"):
        return replace(state, throttle=event.action.split()[1])
    if event.pack not in packs(wiring):
        raise ValueError(f"{event.pack!r} is not plugged in this wiring: it has {', '.join(packs(wiring))}")
    return replace(state, plugged=state.plugged | {event.pack} if event.action == "plug in" else state.plugged - {event.pack})


def _controller_step(old, powered, pulses, radio):
    """New state of one controller and the mishap of this step, if any. Pulses: none, failsafe, low or high."""
    was_live = old.mode in ("armed", "motor may run")
    if not powered:
        return ControllerState(old.part, "off"), ""
    if pulses == "none":
        fresh = "controller before receiver" if not was_live and old.mode != "no signal" and not radio else ""
        return ControllerState(old.part, "no signal", old.waited or not was_live, may_run=was_live), fresh
    if pulses == "failsafe":
        return ControllerState(old.part, "no signal", old.waited, may_run=True), ""
    if pulses == "low":
        return ControllerState(old.part, "armed", old.waited), ""
    if was_live:
        return ControllerState(old.part, "motor may run", old.waited, may_run=True), "motor may run" if old.mode == "armed" else ""
    return ControllerState(old.part, "calibration", old.waited, may_run=True), "calibration" if old.mode != "calibration" else ""


def _cautions(wiring, before, now, alive):
    found = []
    if alive.radio and not before.radio and now.transmitter:
        found.append("wait for the link")
    for group in joined_packs(wiring):
        was, is_in = [[pack for pack in group.packs if pack in state.plugged] for state in (before, now)]
        if len(is_in) > max(1, len(was)):
            found.append("packs join")
        if 0 < len(is_in) < len(group.packs) and len(is_in) != len(was):
            found.append("bare contacts live")
    return tuple(found)


def run(wiring, steps, state):
    """The states after each of the steps; a step is one event or a tuple of events done at once."""
    states = []
    for one in steps:
        state = step(wiring, state, *one)
        states.append(state)
    return tuple(states)


def all_orders(wiring):
    """Every order of switching on: transmitter and packs in every order, the flight packs also at once, with throttle low and high."""
    singles = [(Event("plug in", pack),) for pack in packs(wiring)]
    flight = [one for one in singles if wiring.part(one[0].pack).kind == "pack"]
    groups = [singles]
    if len(flight) > 1:
        groups.append([tuple(event for one in flight for event in one), *(one for one in singles if one not in flight)])
    orders = [order for group in groups for order in permutations([(Event("transmitter on"),), *group])]
    if "orders" not in wiring.worked_out:
        wiring.worked_out["orders"] = tuple(Order(steps, throttle, run(wiring, steps, start(wiring, throttle))) for throttle in ("low", "high") for steps in orders)
    return wiring.worked_out["orders"]


def all_shut_downs(wiring):
    """Every order of switching off after landing, throttle closed. One hand, one plug: no two packs come out at the same moment."""
    steps = [(Event("transmitter off"),), *((Event("unplug", pack),) for pack in packs(wiring))]
    return tuple(Order(order, "low", run(wiring, order, ready(wiring))) for order in permutations(steps))


def power_up_order(wiring):
    """The order to follow: a safe one with throttle low, each pack by itself, the receiver's source first. None when no order is safe."""
    return _first_safe(all_orders(wiring))


def shut_down_order(wiring):
    """The order to follow after landing: the receiver's source last of the packs, then the transmitter. None when no order is safe."""
    return _first_safe(all_shut_downs(wiring))


def _first_safe(orders):
    return next((order for order in orders if order.safe and all(len(one) == 1 for one in order.steps)), None)


def pulled_in_flight(wiring, pack):
    """The state after one pack comes out in flight, throttle open."""
    return step(wiring, ready(wiring, "high"), Event("unplug", pack))

"""From the record to named results, one module for each step: flat functions, a ground in, a frozen result out."""

from functools import cached_property

from twinkit.design import base


class Results:
    """All results of one record, each computed when first asked for and then kept.

    The order of leaning is geometry -> leads -> power -> weight -> wing -> flight -> wiring -> rudder -> bench; nothing leans backwards.
    """

    def __init__(self, record):
        self.record = record

    def after(self, paths):
        """The results of the same record now that these entries of it have changed; what leans on none of them is not worked out again."""
        other, moved = Results(self.record), set(paths)
        vars(other).update({name: result for name, result in vars(self).items() if isinstance(result, base.Result) and moved.isdisjoint(result.leans)})
        return other

    def changed(self, changes):
        """The results of the same build with some entries changed (see Record.changed), to see what a piece of advice would do."""
        return Results(self.record.changed(changes))

    def ground(self):
        return base.Ground(self.record)

    @cached_property
    def air(self):
        from twinkit.design import start

        return start.surroundings(self.ground())

    @cached_property
    def start(self):
        from twinkit.design import start

        return start.outset(self.ground(), self.air)

    @cached_property
    def geometry(self):
        from twinkit.design import geometry

        return geometry.geometry(self.ground())

    @cached_property
    def leads(self):
        from twinkit.design import leads

        return leads.runs(self.ground(), self.geometry)

    @cached_property
    def bench(self):
        from twinkit.design import bench

        return bench.readings(self.ground())

    @cached_property
    def power(self):
        from twinkit.design import power

        return power.drive(self.ground(), self.air, self.leads, self.bench)

    @cached_property
    def power_curves(self):
        from twinkit.design import power_curves

        return power_curves.curves(self.ground(), self.power)

    @cached_property
    def power_bands(self):
        from twinkit.design import power_curves

        return power_curves.bands(self.ground(), self.power, self.power_curves)

    @cached_property
    def power_moments(self):
        from twinkit.design import power_moments

        return power_moments.moments(self.ground(), self.power, self.carried)

    @cached_property
    def power_sure(self):
        from twinkit.design import power_sure

        return power_sure.sure(self.ground(), self.air, self.power, self.carried, self.power_spread)

    @cached_property
    def power_spread(self):
        from twinkit.design import power_spread

        return power_spread.spread(self.ground(), self.power)

    @cached_property
    def flight_spread(self):
        from twinkit.design import power_spread

        return power_spread.in_flight(self.ground(), self.air, self.power, self.power_moments, self.power_spread, self.power_heat, self.discharge)

    @cached_property
    def discharge(self):
        from twinkit.design import power_endurance

        return power_endurance.discharge(self.ground(), self.power, self.power_moments, self.wiring)

    @cached_property
    def carried(self):
        from twinkit.design import power_moments

        return power_moments.carried(self.ground(), self.weight)

    @cached_property
    def power_heat(self):
        from twinkit.design import power_heat

        return power_heat.heat(self.ground(), self.air, self.power, self.power_moments)

    @cached_property
    def layout(self):
        from twinkit.design import wiring

        return wiring.layout(self.ground())

    @cached_property
    def lead_losses(self):
        from twinkit.design import lead_losses

        return lead_losses.lead_losses(self.ground(), self.leads, self.power)

    @cached_property
    def settings(self):
        from twinkit.design import wiring

        return wiring.settings(self.ground(), self.layout)

    @cached_property
    def radio(self):
        from twinkit.design import wiring

        return wiring.radio(self.ground(), self.layout)

    @cached_property
    def metering(self):
        from twinkit.design import wiring

        return wiring.metering(self.ground(), self.layout)

    @cached_property
    def switching(self):
        from twinkit.design import wiring

        return wiring.switching(self.ground(), self.layout)

    @cached_property
    def layouts(self):
        from twinkit.design import power_layouts

        return power_layouts.compared(self.ground(), self.layout, self.power, self.power_moments, self.wiring, self.power_spread)

    @cached_property
    def weight(self):
        from twinkit.design import weight

        return weight.balance(self.ground(), self.geometry, self.leads)

    @cached_property
    def wing(self):
        from twinkit.design import wing

        return wing.performance(self.ground(), self.start, self.geometry, self.weight, self.power)

    @cached_property
    def throws(self):
        from twinkit.design import throws

        return throws.throws(self.ground(), self.geometry)

    @cached_property
    def envelope(self):
        from twinkit.design import envelope

        return envelope.envelope(self.ground(), self.start, self.geometry, self.wing, self.power)

    @cached_property
    def sections(self):
        from twinkit.design import sections

        return sections.sections(self.ground(), self.start, self.geometry, self.wing)

    @cached_property
    def surfaces(self):
        from twinkit.design import surfaces

        return surfaces.surfaces(self.ground(), self.start, self.geometry, self.weight, self.wing, self.throws)

    @cached_property
    def loads(self):
        from twinkit.design import loads

        return loads.loads(self.ground(), self.start, self.geometry, self.weight, self.wing)

    @cached_property
    def templates(self):
        from twinkit.design import paper

        return paper.templates(self.ground(), self.geometry)

    @cached_property
    def slide(self):
        from twinkit.design import slide

        return slide.slide(self.ground(), self.geometry, self.weight, self.wing)

    @cached_property
    def wiring(self):
        from twinkit.design import wiring

        return wiring.bus(self.ground(), self.layout, self.leads)

    @cached_property
    def flight(self):
        from twinkit.design import flight

        return flight.endurance(self.ground(), self.start, self.power, self.wing, self.wiring)

    @cached_property
    def register(self):
        from twinkit.design import pack_register

        return pack_register.register(self.ground(), self.power)

    @cached_property
    def flight_cases(self):
        from twinkit.design import flight_cases

        return flight_cases.compared(self.ground(), self.weight, self.power, self.wing, self.wiring, self.flight)

    @cached_property
    def flights_drawn(self):
        from twinkit.design import flight_cases

        return flight_cases.drawn(self.ground(), self.weight, self.power, self.wing, self.wiring, self.flight)

    @cached_property
    def pulls(self):
        from twinkit.design import pulls

        return pulls.pulls(self.ground(), self.start, self.power, self.wing)

    @cached_property
    def rudder(self):
        from twinkit.design import rudder

        return rudder.one_motor_out(self.ground(), self.start, self.geometry, self.weight, self.power, self.wing, self.pulls)

    @cached_property
    def budget(self):
        from twinkit.design import budget

        return budget.budget(self.ground(), self.geometry, self.leads, self.weight)

    @cached_property
    def costs(self):
        """What a little more mass costs, the drives staying as they are."""
        from twinkit.design import budget

        if self.weight.mass is None:
            ground = self.ground()
            ground.use(self.weight)
            return budget.Costs.unknown(ground)
        heavier = Results(self.record)
        heavier.__dict__.update({name: getattr(self, name) for name in ("start", "geometry", "leads", "bench", "power")}, weight=budget.heavier(self.weight))
        return budget.costs(self.ground(), self.wing, heavier.wing, self.rudder, heavier.rudder)

    @cached_property
    def level(self):
        from twinkit.design import level

        return level.level(self.ground(), self.geometry, self.weight, self.wing, self.rudder)

    @cached_property
    def seconds(self):
        from twinkit.design import sudden

        return sudden.seconds(self.ground(), self.weight, self.wing, self.rudder)

    @cached_property
    def straight(self):
        from twinkit.design import straight

        return straight.straight(self.ground(), self.rudder)

    @cached_property
    def sizing(self):
        from twinkit.design import sizing

        return sizing.sizing(self.ground(), self.rudder)

    @cached_property
    def seconds_sampled(self):
        from twinkit.design import sudden

        return sudden.sampled(self.ground(), self.seconds)

    @cached_property
    def compared(self):
        from twinkit.design import comparison

        return comparison.compared(self.ground(), self.bench, self.power, self.air, self.leads)

    @cached_property
    def trials(self):
        from twinkit.design import first_flight

        return first_flight.trials(self.ground(), self.power)

    @cached_property
    def on_purpose(self):
        from twinkit.design import first_flight

        return first_flight.on_purpose(self.ground(), self.power, lambda: self.rudder)

    @cached_property
    def upkeep(self):
        from twinkit.design import first_flight

        return first_flight.upkeep(self.ground(), self.power)

    @cached_property
    def flight_log(self):
        from twinkit.design import first_flight

        return first_flight.flight_log(self.ground(), self.power, self.wiring)

    def leans(self, step):
        """The entries a kept step leans on, as path -> text now ('' when not known)."""
        from twinkit import quantities

        paths = {}
        for name in STEP_RESULTS[step]:
            paths.update(dict.fromkeys(getattr(self, name).leans))
        texts = {}
        for path in paths:
            if path in quantities.TABLES:
                rows = self.record.rows(path)
                texts[path] = "; ".join(", ".join(f"{k} {e.text}" for k, e in row.items() if not e.assumed) for row in rows)
            else:
                entry = self.record.get(path)
                texts[path] = entry.text if entry else ""
        return texts


# The results behind each step: what its page shows and what its snapshot keeps.
STEP_RESULTS = {
    "start": ("start",), "power": ("power", "power_moments"), "wiring": ("layout", "settings", "wiring", "radio", "metering", "switching"), "leads": ("leads", "lead_losses"), "weight": ("weight", "slide", "flight"),
    "wing": ("geometry", "wing", "throws"), "rudder": ("rudder",), "bench": ("bench", "compared", "trials", "on_purpose", "upkeep", "flight_log"),
}

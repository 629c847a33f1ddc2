"""The flight card: two sides of paper for the field."""

from twinkit import tables
from twinkit.drawings import first_flight_sheets, rudder
from twinkit.printed.paper import Heading, Words

FILE = "flight-card.html"


def card(results):
    """Blocks of the flight card."""
    caution, name = tables.cautions(), results.record.value("start.name") or "this aeroplane"
    return [Heading(f"{name}: card of the first flight", 1), *(Words(caution[key]["text"], caution[key]["title"]) for key in ("law", "one_motor")), first_flight_sheets.card(results),
            rudder.SHEETS["card"](results), Heading(f"{name}: on the ground, before it flies", 1), first_flight_sheets.trials(results), first_flight_sheets.transmitter(results)]

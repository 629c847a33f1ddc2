"""Old files brought to the present schema, one step at a time; comments stay where they are."""

import tomlkit

from twinkit.record.sections import SCHEMA


def _renamed(table, old, new):
    """The table with one entry under another name, in the same place and with its comments."""
    fresh = tomlkit.table()
    for key, item in table.value.body:
        if key is None:
            fresh.add(item)
        else:
            fresh.append(new if key.key == old else key, item)
    fresh.trivia.indent, fresh.trivia.comment_ws = table.trivia.indent, table.trivia.comment_ws
    fresh.trivia.comment, fresh.trivia.trail = table.trivia.comment, table.trivia.trail
    return fresh


def _from_1(document):
    """Schema 1: the span was wing.wingspan, the air temperature a bare number in degrees Celsius, the packs were counted."""
    changes = []
    wing, start, power = (document.get(section) for section in ("wing", "start", "power"))
    if isinstance(wing, dict) and "wingspan" in wing and "span" not in wing:
        if isinstance(wing, tomlkit.items.Table):
            document["wing"] = _renamed(wing, "wingspan", "span")
        else:
            wing["span"] = wing.pop("wingspan")
        changes.append("wing.wingspan is now wing.span")
    air = start.get("temperature") if isinstance(start, dict) else None
    holder, key = (air, "value") if isinstance(air, dict) else (start, "temperature")
    number = holder.get(key) if isinstance(holder, dict) else None
    if isinstance(number, (int, float)) and not isinstance(number, bool) and abs(number) < 1e9:      # a greater one is told as it stands
        holder[key] = f"{number:g} °C"
        changes.append(f'start.temperature = {number:g} is now "{number:g} °C"')
    packs = power.get("packs") if isinstance(power, dict) else None
    if packs in (1, 2) and not isinstance(packs, bool):
        power["packs"] = {1: "one", 2: "two"}[packs]
        changes.append(f'power.packs = {packs} is now "{power["packs"]}"')
    return changes


UPGRADES = {1: _from_1}


def upgraded(text, schema):
    """The text of an older schema as the present one, and a line for each thing that was changed."""
    document, changes = tomlkit.parse(text), []
    for step in range(schema, SCHEMA):
        changes += UPGRADES[step](document)
        document["schema"] = step + 1
        changes.append(f"schema {step} is now schema {step + 1}")
    return document.as_string(), tuple(changes)

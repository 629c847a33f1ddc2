"""Build files and CSV files that went wrong, made from the demo builds by seed: the same seed gives the same file."""

import random
import re
import string
from pathlib import Path

from twinkit import quantities, tables
from twinkit.record import Record, rows_csv

SEEDS = ("demo/dunlin.toml", "demo/siskin.toml", "demo/blank.toml")
OLD = Path(__file__).resolve().parents[1] / "record" / "old_schema_1.toml"
UNITS = ("mm", "m", "kg", "g", "rpm/V", "%", "deg", "°C", "Ah", "mAh", "V", "A", "N", "s", "min", "furlong", "in", "oz", "m/s2", "")
WRONG = ("true", "false", "[]", "{}", "[[]]", "[1, 2]", "{ value = 1 }", '{ value = "1 m", origin = "heard" }', '{ origin = "measured" }', "1979-05-27", "07:32:00",
         "1979-05-27T07:32:00Z", "nan", "inf", "-inf", "1e400", "-1e-400", "0", "-0.0", "-1", "9" * 400, "9" * 5000, "0x" + "f" * 5000, "0b1", "1_000", '""', '" "', "''",
         '"nan mm"', '"inf g"', '"1e308 m"', '"-1 g"', '"0 mm"', '"1,160 mm"', '"١٢ mm"', '"1 mm mm"', '"1/0 in"', '"' + "9" * 3000 + ' mm"', '"' + "x" * 20_000 + '"',
         '"\\u0000"', '"\\u001b[2J"', '"\\u202e"', '"$\\\\frac{"', '"$x^$"', '"<script>alert(1)</script>"', '"=1+1"', '"../../etc"', '"a\\nb"', '"\\U0001F6E9"', "'''\na\n'''",
         "{ value = { value = 1 } }", '{ value = "1 m", note = 5 }', '{ value = "1 m", extra = [1, { a = 2 }] }')
WORD, SCHEMAS = '"x"', ("1", "0", "-1", "3", "99", "true", "1.0", '"2"', "[]", "2" * 30)
ENDS = (0.0, 1e-300, 1e-9, 1e9, 1e300, -1.0, 0.5)


def _pick(chance, text):
    """Numbers of the lines of a text that hold an entry."""
    lines = text.split("\n")
    held = [n for n, line in enumerate(lines) if re.match(r"\s*[\w.]+\s*=", line)]
    return lines, chance.choice(held) if held else 0


def _other_value(chance, text):
    lines, n = _pick(chance, text)
    lines[n] = f"{lines[n].partition('=')[0].strip() or 'x'} = {chance.choice(WRONG)}"
    return "\n".join(lines)


def _possible_end(chance, text):
    """An entry at the very end of what is possible, which the rooms behind the record must stand."""
    record = Record.from_text(text)
    for _ in range(chance.randint(1, 6)):
        path = chance.choice([p for p in quantities.paths() if quantities.quantity(p).kind != "text"])
        quantity = quantities.quantity(path)
        if quantity.kind == "number":
            record.set(path, chance.choice(quantity.possible))
        else:
            record.set(path, chance.choice(list(quantity.choices)) if quantity.kind == "choice" else chance.random() < 0.5)
    return record.text()


def _anywhere_possible(chance, text):
    """Many entries anywhere within what is possible."""
    record = Record.from_text(text)
    for path in chance.sample(quantities.paths(), chance.randint(5, 60)):
        quantity = quantities.quantity(path)
        if quantity.kind == "number":
            value = chance.uniform(*quantity.possible)
            record.set(path, float(round(value)) if quantity.whole else value)
        elif quantity.kind != "text":
            record.set(path, chance.choice(list(quantity.choices)) if quantity.kind == "choice" else chance.random() < 0.5)
    return record.text()


def _odd_rows(chance, text):
    """A table of rows with cells at the ends of what is possible, empty rows, too many rows."""
    table = quantities.TABLES[chance.choice(list(quantities.TABLES))]
    rows = []
    for _ in range(chance.choice((0, 1, 3, 12, table.most, table.most + 5))):
        cells = []
        for column in chance.sample(table.columns, chance.randint(0, len(table.columns))):
            if column.kind == "number":
                number = chance.choice([*column.possible, 0.0, 1e-9])
                cells.append(f'{column.name} = {number!r}' if not column.metric else f'{column.name} = "{number!r} {column.metric}"')
            elif column.kind == "choice":
                cells.append(f'{column.name} = "{chance.choice([*column.choices, "none of them"])}"')
            else:
                cells.append(f"{column.name} = {chance.choice(WRONG)}")
        rows.append("\n".join([f"[[{table.id}]]", *cells]))
    kept = re.sub(rf"(?ms)^\[\[{re.escape(table.id)}\]\].*?(?=^\[|\Z)", "", text)
    return kept + "\n" + "\n\n".join(rows) + "\n"


def _other_unit(chance, text):
    held = list(re.finditer(r'"(-?[\d.]+) ([^"\n]*)"', text))
    if not held:
        return text + '\n[wing]\nspan = "1 furlong"\n'
    found = chance.choice(held)
    number = float(found[1]) * chance.choice(ENDS) if chance.random() < 0.5 else found[1]
    return text[:found.start()] + f'"{number} {chance.choice(UNITS)}"' + text[found.end():]


def _line_gone(chance, text):
    lines = text.split("\n")
    for _ in range(chance.randint(1, 12)):
        if lines:
            del lines[chance.randrange(len(lines))]
    return "\n".join(lines)


def _line_twice(chance, text):
    lines = text.split("\n")
    n = chance.randrange(len(lines))
    lines.insert(chance.randrange(len(lines)), lines[n])
    return "\n".join(lines)


def _key_other(chance, text):
    lines, n = _pick(chance, text)
    key = lines[n].partition("=")[0].strip()
    other = chance.choice((key + "x", key[1:], "", '""', "'a b'", "a.b.c.d", key.upper(), '"\\u0000"', "é", "value", "schema"))
    lines[n] = lines[n].replace(key, other, 1)
    return "\n".join(lines)


def _head_other(chance, text):
    heads = re.findall(r"(?m)^\[+[^\]\n]+\]+", text) or ["[wing]"]
    old = chance.choice(heads)
    new = chance.choice((old[1:-1], f"[{old}]", "[]", "[[journal]]", "[kept.wing]", "[acknowledged.x]", "[notes]", "[kept]", "[schema]", "[start.units]", "[wing.span]", "[power.left.left]"))
    return text.replace(old, new, 1)


def _signs(chance, text):
    """Single characters thrown in, taken out or exchanged."""
    signs = list(text)
    for _ in range(chance.randint(1, 8)):
        n = chance.randrange(len(signs) + 1)
        signs[n:n + chance.randint(0, 2)] = chance.choice(("", *'="\'[]{}#,.\n\t\\', "\0", "\x1b", "\x7f", "\ufeff", "\u2028", "\u202e", chance.choice(string.printable)))
    return "".join(signs)


def _cut(chance, text):
    return text[:chance.randrange(len(text) + 1)]


def _deep(chance, text):
    depth = chance.choice((20, 200, 2000, 20_000))
    where = chance.choice(("x", "[wing]\nspan", "[notes]\nwing", "[kept]\nwing", "[acknowledged]\nx"))
    kind = chance.randrange(3)
    if kind == 0:
        return f"schema = 2\n{where} = {'[' * depth}{']' * depth}\n"
    if kind == 1:
        return f"schema = 2\n{where} = {'{a=' * depth}1{'}' * depth}\n"
    return f"schema = 2\n[{'.'.join(['a'] * min(depth, 2000))}]\nx = 1\n"


def _sections_odd(chance, text):
    lines = [f"{name} = {chance.choice(WRONG)}" for name in chance.sample([*quantities.SECTIONS, "notes", "kept", "acknowledged", "journal", "schema", "power.left"], 3)]
    return "\n".join(lines) + "\n" + (text if chance.random() < 0.3 else "")


def _kept_odd(chance, text):
    made = "\n".join(f"{name} = {chance.choice((chance.choice(WRONG), WORD))}" for name in ("when", "reason", "version", "checksums", "results", "verdicts", "leans"))
    return (f"{text}\n[kept.{chance.choice(quantities.STEPS)}]\n{made}\n\n[[journal]]\nwhen = {chance.choice(WRONG)}\n\n"
            f'[acknowledged.x]\nreason = {chance.choice(WRONG)}\nname = "a"\ndate = 2020-01-01\n')


def _other_schema(chance, text):
    return re.sub(r"(?m)^schema = .*", f"schema = {chance.choice(SCHEMAS)}", text, count=1)


WAYS = (_other_value, _other_value, _possible_end, _anywhere_possible, _odd_rows, _other_unit, _line_gone, _line_twice, _key_other, _head_other, _signs, _cut, _deep, _sections_odd,
        _kept_odd, _other_schema)


def build(seed):
    """A build file: a demo build, or one of the first schema, after one to three mishaps."""
    chance = random.Random(seed)
    name = chance.choice((*SEEDS, SEEDS[0], "old"))
    text = OLD.read_text(encoding="utf-8") if name == "old" else tables.text(name)
    for n in range(chance.randint(1, 3)):
        way = chance.choice(WAYS)
        try:
            text = way(chance, text) or "\n"
        except ValueError:      # one mishap too many for those that go through the record
            if way not in (_possible_end, _anywhere_possible):
                raise
    return text


def build_bytes(seed):
    """The same as bytes; now and then not even text."""
    chance = random.Random(f"bytes {seed}")
    data = bytearray(build(seed).encode("utf-8", "surrogatepass"))
    if chance.random() < 0.05:
        for _ in range(chance.randint(1, 20)):
            data.insert(chance.randrange(len(data) + 1), chance.randrange(256))
    return bytes(data)


CELLS = ("", " ", "=1+1", "@SUM(A1)", "+1", "-1", "'", "'=x", "nan", "inf", "1e400", "9" * 400, "9" * 5000, "1,5", "1.5", "1;2", '"', '""', '"a""b"', "1 g", "1 mm", "-5 mm", "yes", "no",
         "<script>", "x" * 20_000, "\0", "\x1b[2J", "\u202e", "a\nb", '"a\nb"', "\t", "١٢", "measured", "weighed", "None", "#REF!", "1 1/2 in", "1/0", "\ud800", "true")


def csv(seed):
    """A CSV file of one of the record's tables (its id, the file's bytes) after one to four mishaps."""
    chance = random.Random(f"csv {seed}")
    table = chance.choice(list(quantities.TABLES))
    rows = [line.split(",") for line in rows_csv.written(Record.from_text(tables.text(SEEDS[0])), table).splitlines()]
    separator, end = chance.choice(",,,,,;\t|"), chance.choice(("\n", "\n", "\r\n", "\r"))
    for _ in range(chance.choice((1, 1, 1, 2, 4))):
        row = chance.randrange(len(rows))
        way = chance.choice((0, 0, 0, 1, 2, 3, 3, 4, 5, 6, 7))
        if way == 0 and rows[row]:
            rows[row][chance.randrange(len(rows[row]))] = chance.choice(CELLS)
        elif way == 1:
            rows[row].insert(chance.randrange(len(rows[row]) + 1), chance.choice(CELLS))
        elif way == 2 and rows[row]:
            del rows[row][chance.randrange(len(rows[row]))]
        elif way == 3 and len(rows) > 1:
            del rows[row]
        elif way == 4:
            rows += [list(rows[-1]) for _ in range(chance.choice((1, 30, 250)))]
        elif way == 5:
            rows[0] = [head.upper() for head in rows[0]]
        elif way == 6:
            for line in rows[1:]:
                if line:
                    line[chance.randrange(len(line))] = chance.choice(CELLS)
        else:
            rows.insert(row, [])
    text = end.join(separator.join(line) for line in rows) + end
    data = bytearray(text.encode("utf-8", "replace" if chance.random() < 0.8 else "surrogatepass"))
    if chance.random() < 0.1:
        for _ in range(chance.randint(1, 10)):
            data.insert(chance.randrange(len(data) + 1), chance.randrange(256))
    if chance.random() < 0.1:
        data = data[:chance.randrange(len(data) + 1)]
    return table, bytes(data)

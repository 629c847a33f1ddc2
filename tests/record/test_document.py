"""Changed data written back into a text: exactly the new data, every comment that is still at home somewhere."""

import copy
import random
import re
import tomllib

import pytest
import tomlkit

from twinkit.record import document
from twinkit.record.document import alike, partners, rendered


class Writer:
    """Random plain data and a text that holds them, with numbered comments in every place."""

    def __init__(self, seed):
        self.chance, self.count = random.Random(seed), 0

    def leaf(self):
        return self.chance.choice([1, 2.5, True, "x mm", 'q"\\#', {"value": "1 g", "origin": "weighed"}, [1, 2], [], "a\nb"])

    def entries(self, keys, most):
        return {key: self.leaf() for key in self.chance.sample(keys, self.chance.randint(0, most))}

    def plain(self):
        plain = {"schema": 2}
        for section in self.chance.sample(["power", "wing", "start", "weight", "notes"], self.chance.randint(0, 5)):
            plain[section] = self.entries("abcdef", 4)
            for side in self.chance.sample(["left", "right"], self.chance.randint(0, 2)):
                plain[section][side] = self.entries("abc", 3)
            if self.chance.random() < 0.4:
                plain[section]["parts"] = [self.entries("abc", 3) for _ in range(self.chance.randint(1, 4))]
        if self.chance.random() < 0.3:
            plain["journal"] = [{"a": number} for number in range(self.chance.randint(1, 3))]
        return plain

    def comment(self, share, end=""):
        if self.chance.random() > share:
            return end
        self.count += 1
        return f"  # c{self.count}\n"

    def text(self, table, prefix=""):
        own, deep = [], []
        for key, value in table.items():
            if isinstance(value, dict) and "value" not in value:
                deep.append(self.head(f"[{prefix}{key}]") + self.text(value, f"{prefix}{key}."))
            elif isinstance(value, list) and value and isinstance(value[0], dict):
                deep += [self.head(f"[[{prefix}{key}]]") + self.text(row, f"{prefix}{key}.") for row in value]
            else:
                written = tomlkit.item(value).as_string() if not isinstance(value, dict) else '{ value = "1 g", origin = "weighed" }'
                own.append(self.comment(0.2) + f"{key} = {written}" + self.comment(0.3, "\n"))
        return "".join(own) + self.comment(0.1) + "".join(deep)

    def head(self, words):
        return ("\n" if self.chance.random() < 0.7 else "") + self.comment(0.4) + words + self.comment(0.3, "\n")

    def grown(self, plain):
        """The data with more in them and single values changed, nothing taken out."""
        grown = copy.deepcopy(plain)
        for section, content in self.plain().items():
            if section not in grown or not isinstance(content, dict):
                grown.setdefault(section, content)
                continue
            for key, value in content.items():
                present = grown[section].get(key)
                if key == "parts" and present:
                    grown[section][key] = present + value
                elif present is None or not isinstance(present, (dict, list)) and not isinstance(value, (dict, list)):
                    grown[section][key] = value
        return grown

    def other(self, plain):
        """The data with anything changed, added or taken out."""
        other = self.grown(plain)
        for section in [name for name, content in other.items() if isinstance(content, dict)]:
            for key in [key for key in other[section] if self.chance.random() < 0.2]:
                del other[section][key]
            if self.chance.random() < 0.1:
                del other[section]
            elif other[section].get("parts"):
                self.chance.shuffle(other[section]["parts"])
        return other


def comments(text):
    return set(re.findall(r"# c\d+", text))


@pytest.fixture
def in_place(monkeypatch):
    monkeypatch.setattr(document, "_rewritten", lambda text, plain: pytest.fail("laid out anew"))


@pytest.mark.parametrize("seed", range(150))
def test_the_text_holds_the_new_data_and_loses_no_comment_of_what_stays(seed, in_place):
    writer = Writer(seed)
    text = writer.text(writer.plain())
    old = tomllib.loads(text)
    new = writer.grown(old)
    after = rendered(text, old, new)
    assert tomllib.loads(after) == new
    assert comments(after) == comments(text)
    assert "\n\n\n" not in after


@pytest.mark.parametrize("seed", range(150))
def test_the_text_holds_the_new_data_whatever_was_taken_out(seed, in_place):
    writer = Writer(seed)
    text = writer.text(writer.plain())
    old = tomllib.loads(text)
    new = writer.other(old)
    filled = lambda plain: {key: value for key, value in plain.items() if value != {}}  # noqa: E731
    after = {key: filled(value) if isinstance(value, dict) else value for key, value in tomllib.loads(rendered(text, old, new)).items()}
    assert filled(after) == filled({key: filled(value) if isinstance(value, dict) else value for key, value in new.items()})


@pytest.mark.parametrize(("text", "heads"), [
    ('schema = 2\npower.left.kv = "1000 rpm/V"  # one\n', "# one\nschema = 2\n"),
    ('schema = 2\n[power]  # one\nleft.kv = "1000 rpm/V"\n# two\n[power.right]\nkv = "1100 rpm/V"\n', "# one\n# two\nschema = 2\n"),
])
def test_a_layout_that_cannot_be_changed_in_place_is_laid_out_anew_with_its_comments(text, heads):
    old = tomllib.loads(text)
    new = copy.deepcopy(old)
    new["power"] |= {"packs": "one", "shared": {"cells": 3}, "right": {"kv": "1200 rpm/V"}}
    new["power"]["left"]["cells"] = 3
    after = rendered(text, old, new)
    assert tomllib.loads(after) == new and after.startswith(heads)


def test_comments_inside_a_list_stay():
    text = 'schema = 2\n[weight]\nparts = [\n  # one\n  {name = "a # b"},  # two\n]\n'
    old = tomllib.loads(text)
    new = {"schema": 2, "weight": {"parts": [{"name": "a # b"}, {"name": "c"}]}}
    after = rendered(text, old, new)
    assert tomllib.loads(after) == new and "# one" in after and "# two" in after and "# b\"" in after


def test_a_section_in_pieces_keeps_the_comments_of_its_heads():
    text = '[[weight.parts]]  # one\nname = "a"\n[weight]  # two\n[wing]\n'
    old = tomllib.loads(text)
    after = rendered(text, old, {**old, "weight": {**old["weight"], "foam": 1}})
    assert tomllib.loads(after)["weight"]["foam"] == 1 and "# one" in after and "# two" in after


def test_unchanged_data_are_the_same_text():
    assert rendered("a=1 #  x", {"a": 1}, {"a": 1}) == "a=1 #  x"


def test_alike_tells_kinds_apart_and_not_orders():
    assert alike({"a": 1, "b": [{"c": float("nan")}]}, {"b": [{"c": float("nan")}], "a": 1})
    for one, other in ((1, True), (1, 1.0), ([1], [1, 2]), ({"a": 1}, {"a": 2}), ({"a": 1}, {}), ("1", 1)):
        assert not alike(one, other) and not alike(other, one)


def test_partners_follow_a_row_through_insertion_change_and_removal():
    a, b, c = {"name": "a", "mass": 1}, {"name": "b", "mass": 2}, {"name": "c"}
    assert partners([a, b, c], [a, b, c]) == [0, 1, 2]
    assert partners([a, b, c], [b, c]) == [1, 2]
    assert partners([a, b], [c, a, b]) == [None, 0, 1]
    assert partners([a, b], [a, {"name": "b", "mass": 3}]) == [0, 1]
    assert partners([a, b], [{"name": "new"}, {"name": "a"}, b]) == [None, 0, 1]
    assert partners([], [a]) == [None] and partners([a], []) == []

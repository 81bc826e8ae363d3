"""At which line each field of a TOML text stands, by what `tomllib` and `tomlkit` know of it."""

import tomllib
from pathlib import Path

import pytest
import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from quizzes.places import places_in

ASSETS = Path(__file__).parent.parent.parent / "assets"

EXAMPLE = """\
a = 1
# no = "field"
[x."y z"]  # [no] heading
k.l = { p = 1, q.r = ["u", 2, {v = 1}] }
m = \"""ab
"[[no]]" = 3 \\\"""\"""
[[b]]
c = ["x", # ] "no"
  "y]"]
  [[b.d]]
  [[b.d]]
  e = 1979-05-27 07:32:00
  [b.d.f]
  'g.h' = ''
[[b]]
"\\u0064" = '''
no = 1
''''
z = [[1,
2],[
3]]
"""
LINES = {
    ("a",): 1,
    ("x",): 3,
    ("x", "y z"): 3,
    ("x", "y z", "k"): 4,
    ("x", "y z", "k", "l"): 4,
    ("x", "y z", "k", "l", "p"): 4,
    ("x", "y z", "k", "l", "q"): 4,
    ("x", "y z", "k", "l", "q", "r"): 4,
    ("x", "y z", "k", "l", "q", "r", 0): 4,
    ("x", "y z", "k", "l", "q", "r", 1): 4,
    ("x", "y z", "k", "l", "q", "r", 2): 4,
    ("x", "y z", "k", "l", "q", "r", 2, "v"): 4,
    ("x", "y z", "m"): 5,
    ("b",): 7,
    ("b", 0): 7,
    ("b", 0, "c"): 8,
    ("b", 0, "c", 0): 8,
    ("b", 0, "c", 1): 9,
    ("b", 0, "d"): 10,
    ("b", 0, "d", 0): 10,
    ("b", 0, "d", 1): 11,
    ("b", 0, "d", 1, "e"): 12,
    ("b", 0, "d", 1, "f"): 13,
    ("b", 0, "d", 1, "f", "g.h"): 14,
    ("b", 1): 15,
    ("b", 1, "d"): 16,
    ("b", 1, "z"): 19,
    ("b", 1, "z", 0): 19,
    ("b", 1, "z", 0, 0): 19,
    ("b", 1, "z", 0, 1): 20,
    ("b", 1, "z", 1): 20,
    ("b", 1, "z", 1, 0): 21,
}
"""Counted by hand."""


def paths_of(value: object, path: tuple[str | int, ...] = ()) -> set[tuple[str | int, ...]]:
    """All that a value holds, by where it lies."""
    inner = value.items() if isinstance(value, dict) else []
    if isinstance(value, list):
        inner = enumerate(value)
    found = {path} if path else set()
    return found.union(*(paths_of(each, (*path, key)) for key, each in inner))


def test_each_field_of_an_example_has_its_line():
    assert paths_of(tomllib.loads(EXAMPLE)) == set(LINES)
    assert places_in(EXAMPLE).lines == LINES
    assert places_in(EXAMPLE.replace("\n", "\r\n")).lines == LINES


@pytest.mark.parametrize("folder", ["courses", "decks", "stages", "talas", "."])
def test_every_field_of_our_files_is_found(folder):
    for file in (ASSETS / folder).glob("*.toml"):
        text = file.read_text(encoding="utf-8")
        found = places_in(text)
        assert paths_of(tomllib.loads(text)) == set(found.lines), file
        written = text.split("\n")
        for path, line in found.lines.items():
            if isinstance(path[-1], str):
                assert path[-1] in written[line - 1], (file, path)


NAMES = st.text("ab -_.#\"'\\=[]{}", max_size=3) | st.sampled_from(["x", "y", "z1"])
NESTED = st.recursive(
    st.just(None),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(NAMES, inner, max_size=3),
    max_leaves=8,
)
TAILS = st.text("ab \"'\\#[]{}=,\n", max_size=6)


@given(st.dictionaries(NAMES, NESTED, max_size=4), st.data())
def test_each_value_that_tomlkit_writes_stands_where_its_mark_does(holder, data):
    marks: dict[tuple[str | int, ...], str] = {}

    def marked(value: object, path: tuple[str | int, ...]) -> object:
        if isinstance(value, dict):
            return {key: marked(each, (*path, key)) for key, each in value.items()}
        if isinstance(value, list):
            return [marked(each, (*path, at)) for at, each in enumerate(value)]
        marks[path] = f"mark{len(marks)}."
        return marks[path] + data.draw(TAILS)

    text = tomlkit.dumps(marked(holder, ()))
    found = places_in(text)
    assert set(found.lines) == paths_of(tomllib.loads(text))
    for path, mark in marks.items():
        assert mark in text.split("\n")[found.lines[path] - 1]


@st.composite
def laid_out(draw):
    """A text in which lists go over lines as they like, and the line of each field by hand."""
    lines, rows = {}, [""]

    def write(text):
        first, *more = text.split("\n")
        rows[-1] += first
        rows.extend(more)

    def gap():
        write(draw(st.sampled_from(["", " ", "\n", " # [no], 'no'\n", "\n\n\t"])))

    def value(path, depth):
        if depth < 3 and draw(st.booleans()):
            write("[")
            for at in range(draw(st.integers(0, 3))):
                gap()
                lines[(*path, at)] = len(rows)
                value((*path, at), depth + 1)
                gap()
                write(",")
            gap()
            write("]")
            return
        signs = draw(st.sampled_from(['"""\na]"\n,"" b"""', "'''#\n\n'''", "''", '"\\"#"', "-1e5"]))
        write(signs)

    for number in range(draw(st.integers(1, 5))):
        gap()
        if draw(st.booleans()):
            write("\n")
        if rows[-1].strip():
            write("\n")
        path = (f"k{number}", "in") if draw(st.booleans()) else (f"k{number}",)
        for end in range(1, len(path) + 1):
            lines[path[:end]] = len(rows)
        write(" . ".join(path) + " = ")
        value(path, 0)
        write(draw(st.sampled_from(["\n", " # no = 1\n", "\t\n"])))
    return "\n".join(rows), lines


@given(laid_out())
def test_each_field_stands_where_it_was_written(made):
    text, lines = made
    assert places_in(text).lines == lines
    assert set(lines) == paths_of(tomllib.loads(text))


@given(st.text("ab=.,[]{}\"'\\#\n\r 1"))
def test_no_text_is_too_broken_to_walk_over(text):
    found = places_in(text)
    assert all(1 <= line <= text.count("\n") + 1 for line in found.lines.values())
    for path in (("a",), ("a", 0, "b")):
        assert found.line_of(path) >= 1
    if found.lines:
        assert found.at(text.count("\n") + 1) in found.lines


def test_a_walk_stops_where_there_is_too_much():
    wide, deep = places_in("a = [1, 2, 3, 4]", most=3), places_in("a = " + "[" * 300, deepest=8)
    assert (wide.whole, len(wide.lines)) == (False, 3)
    assert (deep.whole, deep.deepest) == (False, 9)

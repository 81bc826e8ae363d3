"""How a value is written in TOML, and how a written one is changed with its comments kept."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from typing import Any

from quizzes.drafts.pieces import FIELD, TOKEN, keys_of, value_end, value_of

WIDTH = 100
"""Columns that a list may take in one line."""
INDENT = "    "

KEPT: Any = object()
Plan = Sequence[tuple[int | None, Any]]
"""A list to come: of each element which of the old list it was, if any, and what it is now, KEPT
where it is as it was."""

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_NAMED = {"\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r", '"': '\\"', "\\": "\\\\"}
# Besides what TOML forbids: what an editor takes for the end of a line, or does not show.
_UNSEEN = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ufeff]")
_ESCAPED = re.compile('[\x00-\x1f\x7f-\x9f\u2028\u2029\ufeff"\\\\]')
_ESCAPED_IN_LINES = re.compile('[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029\ufeff\\\\]|"(?="")|"\\Z')
_LONE = re.compile("[\ud800-\udfff]")


def same(one: Any, other: Any) -> bool:
    """Whether two values are written alike; 1 is not true, nor 1.0."""
    if type(one) is not type(other):
        return False
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(same(one[name], other[name]) for name in one)
    if isinstance(one, list):
        return len(one) == len(other) and all(map(same, one, other))
    return bool(one == other)


def plain(value: Any) -> Any:
    """A value as TOML has it: tuples become lists; half a surrogate pair cannot stand there."""
    if isinstance(value, str):
        return _LONE.sub("\ufffd", value)
    if isinstance(value, Mapping):
        return {plain(str(key)): plain(each) for key, each in value.items() if each is not None}
    if isinstance(value, (list, tuple)):
        return [plain(each) for each in value]
    if isinstance(value, (bool, int, float, date, time)):
        return value
    raise TypeError(f"{value!r} cannot stand in a TOML file")


def is_tables(value: Any) -> bool:
    """Whether a value is written with headings: a table, or a list of tables."""
    if isinstance(value, list):
        return bool(value) and all(isinstance(each, dict) for each in value)
    return isinstance(value, dict)


def key(name: str) -> str:
    return name if _BARE.fullmatch(name) else _basic(name)


def write(value: Any, *, newline: str, used: int = 0, indent: str = "", like: str = "") -> str:
    """A value as a person would write it, behind `used` columns and on lines with an `indent`; a
    text is quoted as `like` is, where it can be."""
    if isinstance(value, str):
        return _text(value, newline, like)
    if isinstance(value, list):
        texts = [_inner(each) for each in value]
        line = f"[{', '.join(texts)}]"
        if used + len(line) <= WIDTH:
            return line
        inside = newline + indent + INDENT
        return f"[{inside}{f',{inside}'.join(texts)},{newline}{indent}]"
    return _inner(value)


def _inner(value: Any) -> str:
    """In one line."""
    if isinstance(value, str):
        return _text(value, "", "")
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (datetime, date, time)):
        return value.isoformat()
    if isinstance(value, list):
        return f"[{', '.join(map(_inner, value))}]"
    if isinstance(value, dict):
        return _inline([f"{key(name)} = {_inner(each)}" for name, each in value.items()])
    return repr(value)


def _inline(pairs: list[str]) -> str:
    return f"{{ {', '.join(pairs)} }}" if pairs else "{}"


def _text(value: str, newline: str, like: str) -> str:
    """Over several lines if it has them and there is a `newline`."""
    if newline and "\n" in value:
        unseen = _UNSEEN.search(value.replace("\n", "").replace("\t", ""))
        ends = "'''" in value or value.endswith("'")
        if like.startswith("'''") and not ends and not unseen:
            return f"'''\n{value}'''".replace("\n", newline)
        escaped = _ESCAPED_IN_LINES.sub(_escape, value)
        return f'"""\n{escaped}"""'.replace("\n", newline)
    literal = "'" not in value and not _UNSEEN.search(value)
    quoted = '"' in value or "\\" in value
    if literal and (like.startswith("'") or (quoted and not like)):
        return f"'{value}'"
    return _basic(value)


def _basic(value: str) -> str:
    return f'"{_ESCAPED.sub(_escape, value)}"'


def _escape(found: re.Match[str]) -> str:
    return _NAMED.get(found[0]) or f"\\u{ord(found[0]):04x}"


def rewrite(written: str, value: Any, *, newline: str, used: int, indent: str) -> str:
    """A written value changed into another one: what stays the same stays as it is written."""
    old = value_of(written)
    if same(old, value):
        return written
    if isinstance(old, list) and isinstance(value, list):
        plan = match(old, value)
        return rewrite_list(written, plan, newline=newline, used=used, indent=indent)
    if isinstance(old, dict) and isinstance(value, dict):
        return _rewrite_inline(written, value)
    return write(value, newline=newline, used=used, indent=indent, like=written)


def _rewrite_inline(written: str, value: Mapping[str, Any]) -> str:
    pairs, at, known = [], 1, set()
    while found := FIELD.match(written, at):
        end = value_end(written, found.end())
        keys = keys_of(found[1])
        if len(keys) > 1:
            return _inner(dict(value))
        if keys[0] in value:
            now = _in_line(written[found.end() : end], value[keys[0]])
            pairs.append(f"{found[0].strip()} {now}")
        known.add(keys[0])
        comma = re.compile(r"\s*,?").match(written, end)
        at = comma.end() if comma else end
    pairs += [f"{key(name)} = {_inner(each)}" for name, each in value.items() if name not in known]
    return _inline(pairs)


def _in_line(written: str, value: Any) -> str:
    old = value_of(written)
    if same(old, value):
        return written
    if isinstance(old, dict) and isinstance(value, dict):
        return _rewrite_inline(written, value)
    return _text(value, "", written) if isinstance(value, str) else _inner(value)


def match(old: Sequence[Any], new: Sequence[Any]) -> Plan:
    """Which of the old elements each new one was: the same one, else the one that bears the same
    name, else the one in its place if that is nowhere else."""
    sources: list[int | None] = [None] * len(new)
    left = dict.fromkeys(range(len(old)))

    def take(place: int, source: int) -> None:
        sources[place] = source
        del left[source]

    for place in range(min(len(old), len(new))):
        if same(old[place], new[place]):
            take(place, place)
    for test in (same, _bears_the_name):
        for place, value in enumerate(new):
            if sources[place] is None:
                found = next((each for each in left if test(old[each], value)), None)
                if found is not None:
                    take(place, found)
    for place in range(len(new)):
        if sources[place] is None and place in left:
            take(place, place)
    return [
        (source, KEPT if source is not None and same(old[source], value) else value)
        for source, value in zip(sources, new, strict=True)
    ]


def _bears_the_name(one: Any, other: Any) -> bool:
    names = ("id", "text", "name", "first")
    return (
        isinstance(one, dict)
        and isinstance(other, dict)
        and any(one.get(name) and one.get(name) == other.get(name) for name in names)
    )


@dataclass(frozen=True, slots=True)
class _Element:
    """Of a written list: `before` and `text`, then `gap` and a comma, then the rest of the line."""

    before: str
    text: str
    gap: str = ""
    rest: str = ""


def rewrite_list(written: str, plan: Plan, *, newline: str, used: int, indent: str) -> str:
    """A written list with its elements changed, moved, added and removed by the plan."""
    elements, closing, comma = _elements(written)
    over_lines = "\n" in closing or any("\n" in each.before for each in elements)
    now = [_planned(elements, *each, newline=newline, indent=indent) for each in plan]
    if not over_lines:
        first = elements[0].before if elements else ""
        line = f"[{first}{', '.join(each.text for each in now)}{closing if elements else ''}]"
        if used + len(line) <= WIDTH or not now:
            return line
        closing, comma = newline + indent, True
        now = [_Element("", each.text) for each in now]
    broken = next((each.before for each in elements if "\n" in each.before), "")
    step = newline + (broken.rpartition("\n")[2] or indent + INDENT)
    out, said = [], ""
    for place, each in enumerate(now):
        fits = each.before and ("\n" in each.before or "#" not in said)
        ends = place < len(now) - 1 or comma or "#" in each.gap
        said = each.rest
        out += [each.before if fits else step, each.text, each.gap + "," if ends else "", said]
    if "#" in said and not closing.lstrip(" \t\r").startswith("\n"):
        closing = newline + indent + closing
    return f"[{''.join(out)}{closing}]"


def _planned(
    elements: Sequence[_Element], source: int | None, value: Any, *, newline: str, indent: str
) -> _Element:
    if source is None:
        return _Element("", _inner(value))
    old = elements[source]
    if value is KEPT:
        return old
    return replace(old, text=_in_line_of_list(old.text, value, newline, indent))


def _in_line_of_list(written: str, value: Any, newline: str, indent: str) -> str:
    if isinstance(value, list) and isinstance(value_of(written), list):
        return rewrite(written, value, newline=newline, used=0, indent=indent + INDENT)
    return _in_line(written, value)


def _elements(written: str) -> tuple[list[_Element], str, bool]:
    """The elements of a written list, what stands before its end, whether a comma does, too."""
    elements: list[_Element] = []
    at, comma = 1, False
    while True:
        begun = at
        while (token := TOKEN.match(written, at)) and token.lastgroup in ("gap", "comment"):
            at = token.end()
        before = written[begun:at]
        if token is None or token.lastgroup == "close":
            break
        end = value_end(written, at)
        text, gap, comma, at = written[at:end], "", False, end
        while (token := TOKEN.match(written, at)) and token.lastgroup in ("gap", "comment"):
            at = token.end()
        if token and token.lastgroup == "comma":
            gap, comma, at = written[end:at], True, token.end()
        else:
            at = end
        rest = re.compile(r"[ \t]*(#[^\n]*)?").match(written, at)
        assert rest
        if rest[1]:
            at = rest.end()
        elements.append(_Element(before, text, gap, rest[0] if rest[1] else ""))
    return elements, before, comma

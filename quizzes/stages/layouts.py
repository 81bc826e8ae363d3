"""The usual layouts of a performance, from `layout.toml`; and a teacher's word on them.

The file has `minutes`, the lengths that are asked, and tables

    [[layout]]   stage, minutes, gaits, share, why, confidence, source

each of which gives a stage its `share` of the whole, from and to (0 to 1), in performances of so
many `minutes` in ragas of these `gaits` ("grave", "medium", "light").

In the text of a tradition [[layout]] tables stand above these. Without `minutes` or `gaits` one
holds for all layouts in which its stage stands; with both it also brings the stage in, and what it
stands instead of goes. `share = [0, 0]` leaves a stage out; `why` may be missing. Where the whole
no longer goes up, the ranges that the teacher has not given yield.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache, lru_cache
from math import ceil, floor
from pathlib import Path
from types import MappingProxyType

from quizzes.errors import StageError
from quizzes.fields import Table, read_table, table_of
from quizzes.ragas.reading import CONFIDENCES
from quizzes.stages.reading import STAGES
from quizzes.stages.sharing import GAITS, Layout, Part
from quizzes.stages.stage import Form
from quizzes.stages.tradition import CONFIDENCE, SOURCE, form
from words import to_say

FILE = "layout.toml"
_FIELDS = {"stage", "minutes", "gaits", "share", "why", "confidence", "source"}
_ROUNDING = 1e-9

Key = tuple[int, str]
"""How many minutes, and the gait of the raga."""
Parts = dict[str, Part]


@lru_cache(maxsize=8)
def layouts(tradition: str = "") -> Mapping[Key, Layout]:
    """The layouts as shipped, or as the text of a tradition has them. Raises StageError."""
    if not tradition:
        return _shipped()
    return read_layouts(tradition, _shipped(), form(tradition), Path("tradition"))


@cache
def _shipped() -> Mapping[Key, Layout]:
    return load_layouts(form())


def load_layouts(known: Form, folder: Path = STAGES) -> Mapping[Key, Layout]:
    """All that the file tells. Raises StageError with file, line, field and remedy."""
    table = read_table(folder / FILE, error=StageError)
    table.only({"minutes", "layout"})
    lengths = table.numbers("minutes")
    found: dict[Key, Parts] = {}
    for each in table.inners("layout"):
        for key in _keys(each, lengths):
            part, parts = _part(each, key, known), found.setdefault(key, {})
            if part.stage in parts:
                raise each.fault("stage", f"{part.stage} stands twice {_in(key)}; give it one")
            if other := _instead(part.stage, parts, known):
                raise each.fault("stage", f"stands beside {other} {_in(key)}; keep one of them")
            parts[part.stage] = part
    if not found:
        raise table.fault("layout", "there should be at least one [[layout]]")
    for key, parts in found.items():
        if fault := _fault(key, parts):
            raise table.fault("layout", f"{_in(key)} {fault}; widen its ranges")
    return _in_order(found, known)


def read_layouts(
    text: str, shipped: Mapping[Key, Layout], known: Form, path: Path
) -> Mapping[Key, Layout]:
    """The layouts with a teacher's word above them, for a form that has it; `path` is for messages.

    Raises StageError with file, line, field and remedy.
    """
    return read_told(table_of(text, path, error=StageError), shipped, known)


def read_told(whole: Table, shipped: Mapping[Key, Layout], known: Form) -> Mapping[Key, Layout]:
    """The same from the table of a whole file."""
    lengths = tuple(dict.fromkeys(minutes for minutes, _ in shipped))
    found = {key: {part.stage: part for part in each.parts} for key, each in shipped.items()}
    for table in whole.inners("layout"):
        usual = {
            "why": to_say("so your teacher has it"),
            "confidence": CONFIDENCE,
            "source": SOURCE,
        }
        completed = replace(table, values={**usual, **table.values})
        for key in _changed(completed, lengths, found, known):
            _change(completed, key, found.setdefault(key, {}), known)
    return _in_order({key: parts for key, parts in found.items() if parts}, known)


def _changed(
    table: Table, lengths: Sequence[int], found: Mapping[Key, Parts], known: Form
) -> list[Key]:
    """The layouts that a teacher's table is about."""
    stage = table.one_of("stage", tuple(known.stages))
    all_of_it = {"minutes": list(lengths), "gaits": list(GAITS)}
    keys = list(_keys(replace(table, values={**all_of_it, **table.values}), lengths))
    if "minutes" in table.values and "gaits" in table.values:
        return keys
    standing = [key for key in keys if stage in found.get(key, {})]
    if not standing:
        raise table.fault(
            "stage", f"{stage} stands in no such layout; give minutes and gaits to bring it in"
        )
    return standing


def _change(table: Table, key: Key, parts: Parts, known: Form) -> None:
    """Bring one teacher's table into one layout."""
    stage = table.one_of("stage", tuple(known.stages))
    if table.span("share", most=1) == (0.0, 0.0):
        parts.pop(stage, None)
    else:
        while other := _instead(stage, parts, known):
            del parts[other]
        parts[stage] = _part(table, key, known)
    _yield(parts, key)
    if parts and (fault := _fault(key, parts)):
        raise table.fault("share", f"{_in(key)} {fault}; change this share or others of yours")


def _yield(parts: Parts, key: Key) -> None:
    """Let what the teacher has not given make room, or fill it: the widest range first."""
    minutes, _ = key
    ours = [stage for stage, part in parts.items() if part.source != SOURCE]
    while sum(part.least for part in parts.values()) > minutes:
        low = max(ours, key=lambda stage: parts[stage].least, default="")
        if not low or parts[low].least == 1:
            return
        parts[low] = replace(parts[low], least=parts[low].least - 1)
    while ours and sum(part.most for part in parts.values()) < minutes:
        high = max(ours, key=lambda stage: parts[stage].most)
        parts[high] = replace(parts[high], most=parts[high].most + 1)


def _keys(table: Table, lengths: Sequence[int]) -> Iterator[Key]:
    table.only(_FIELDS)
    minutes, gaits = table.numbers("minutes"), table.texts("gaits")
    for each in minutes:
        if each not in lengths:
            raise table.fault("minutes", f"{each} should be one of {', '.join(map(str, lengths))}")
    for gait in gaits:
        if gait not in GAITS:
            raise table.fault("gaits", f"{gait!r} should be one of {', '.join(GAITS)}", value=gait)
    for each in dict.fromkeys(minutes):
        for gait in dict.fromkeys(gaits):
            yield each, gait


def _part(table: Table, key: Key, known: Form) -> Part:
    minutes, _ = key
    low, high = (share * minutes for share in table.span("share", most=1))
    least, most = max(1, ceil(low - _ROUNDING)), floor(high + _ROUNDING)
    if least > most:
        raise table.fault("share", f"holds no whole minute of {minutes}; widen it")
    return Part(
        table.one_of("stage", tuple(known.stages)),
        least,
        most,
        table.text("why"),
        table.one_of("confidence", CONFIDENCES),
        table.text("source"),
    )


def _instead(stage: str, parts: Parts, known: Form) -> str:
    """A stage of these that never comes beside this one, if any."""
    for other in parts:
        if other in known.stages[stage].instead_of or stage in known.stages[other].instead_of:
            return other
    return ""


def _fault(key: Key, parts: Parts) -> str:
    """Why the whole does not go up, if it does not."""
    minutes, _ = key
    least, most = (sum(getattr(part, end) for part in parts.values()) for end in ("least", "most"))
    if least > minutes:
        return f"all stages take {least} minutes at least"
    return f"all stages take {most} minutes at most" if most < minutes else ""


def _in(key: Key) -> str:
    return f"in {key[0]} minutes of a {key[1]} raga"


def _in_order(found: Mapping[Key, Parts], known: Form) -> Mapping[Key, Layout]:
    """As layouts whose stages stand in an order that is allowed, the usual one if it is."""
    usual = known.divisions["performance"].parts
    layouts: dict[Key, Layout] = {}
    for minutes, gait in sorted(found, key=lambda key: (key[0], GAITS.index(key[1]))):
        parts = found[minutes, gait]
        placed = sorted(parts, key=lambda each: usual.index(each) if each in usual else len(usual))
        order = next(known.order.orders(placed))
        layouts[minutes, gait] = Layout(minutes, gait, tuple(parts[each] for each in order))
    return MappingProxyType(layouts)

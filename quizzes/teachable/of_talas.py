"""The facts of a tala, for a teacher who would have some of them otherwise."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from quizzes.names import listed
from quizzes.talas.reading import LAYAS
from quizzes.talas.tala import Form, Tala
from quizzes.talas.tradition import SOURCE, talas
from quizzes.teachable.fact import YOURS, Fact, Saying, by_others, standing
from words import say, say_as, to_say

TITLES = {
    "name": to_say("Name"),
    "also": to_say("Other names"),
    "vibhags": to_say("Vibhags"),
    "tali": to_say("Tali"),
    "khali": to_say("Khali"),
    "laya": to_say("Laya"),
    "theka": to_say("Thekas"),
    "character": to_say("Character"),
}
SORTS = {
    "name": "text", "also": "names", "vibhags": "numbers", "tali": "numbers", "khali": "numbers",
    "laya": "each", "theka": "bols", "character": "text",
}  # fmt: skip
HINTS = {
    "also": to_say("With commas between them."),
    "vibhags": to_say("How many matras each has."),
    "tali": to_say("The matras on which the hand claps, counted from 1."),
    "khali": to_say("The matras on which the hand waves."),
    "theka": to_say("One on each line, with | between vibhags."),
}
FORM = ("vibhags", "tali", "khali")
CONFIRMED = {"vibhags": "form", "laya": "laya", "character": "character"}


def facts_of(tala: str, said: Mapping[str, Any], known: Mapping[str, Tala]) -> tuple[Fact, ...]:
    """All facts of a tala; `said` is what the teacher's file has of it, `known` are the talas as
    they are asked now. A tala of the teacher's own that is not whole yet has none."""
    now = known.get(tala)
    return () if now is None else tuple(_facts(now, said))


def _facts(now: Tala, said: Mapping[str, Any]) -> Iterator[Fact]:
    shipped, confirmed = talas().get(now.id), said.get("confirmed", ())
    for field, title in TITLES.items():
        confirm = CONFIRMED.get(field, "")
        mine = field in said or (isinstance(confirmed, list) and confirm in confirmed)
        source = _source(now, field)
        recalled = now.confidence == "C" if field in FORM else "memory" in source
        yield Fact(
            table=("tala", now.id),
            fields=(field, "matras") if field == "vibhags" else (field,),
            title=say(title),
            sort=SORTS[field],
            now=_in_words(now, field),
            by=say(YOURS) if mine or source == SOURCE else _standing(now, field, source),
            written=_said(said, field) or _value(now, field),
            mine=mine,
            others=_others(field, now, shipped),
            confirm=confirm if recalled and source != SOURCE and not mine else "",
            options=tuple((one, say(one)) for one in LAYAS) if field == "laya" else (),
            hint=say(HINTS[field]) if field in HINTS else "",
        )


def _source(tala: Tala, field: str) -> str:
    if field in FORM:
        return tala.form_source
    if field == "theka":
        return tala.thekas[0].source
    return {"laya": tala.laya_source, "character": tala.character_source}.get(field, "")


def _standing(tala: Tala, field: str, source: str) -> str:
    if field in FORM:
        return standing(tala.confidence, source)
    if not source:
        return ""
    return standing("C", source) if "memory" in source else say("Told by {source}.", source=source)


def _value(tala: Tala, field: str) -> str:
    """As the form has it."""
    if field == "theka":
        return "\n".join(each.bols for each in tala.thekas)
    value: Any = getattr(tala, field)
    if isinstance(value, str):
        return value
    return (", " if field == "also" else " ").join(map(str, value))


def _in_words(tala: Tala, field: str) -> str:
    if field == "vibhags":
        vibhags = " + ".join(map(str, tala.vibhags))
        return say("{vibhags}, {count} matras", vibhags=vibhags, count=tala.matras)
    if field in ("tali", "khali"):
        return listed([str(each) for each in getattr(tala, field)]) or say("None")
    return (
        _value(tala, field).replace(" ", ", ")
        if field == "laya"
        else _value(tala, field) or say("None")
    )


def _others(field: str, now: Tala, shipped: Tala | None) -> tuple[Saying, ...]:
    """The forms that others teach stand with the vibhags, as wholes."""
    if shipped is None or field != "vibhags":
        return ()
    found = []
    if now.form != shipped.form:
        told = standing(shipped.confidence, shipped.form_source)
        found.append(_saying(shipped.form, say("As it is shipped"), told, ()))
    for each in shipped.variants:
        if each.form != now.form:
            bols = (each.bols,) if each.bols else ()
            found.append(_saying(each.form, each.about, by_others(each.source), bols))
    return tuple(found)


def _saying(form: Form, about: str, by: str, bols: Sequence[str]) -> Saying:
    none = say_as("no matra", "none")
    counted = say(
        "{vibhags}; tali {tali}, khali {khali}. {about}",
        vibhags=" + ".join(map(str, form.vibhags)),
        tali=listed([*map(str, form.tali)]) or none,
        khali=listed([*map(str, form.khali)]) or none,
        about=about,
    )
    values: dict[str, Any] = {name: list(getattr(form, name)) for name in FORM}
    theka = [{"bols": line} for line in bols] or None
    return Saying(counted, by, {**values, "matras": None, "theka": theka})


def _said(said: Mapping[str, Any], field: str) -> str:
    """What stands in the teacher's file, right or not, as the form has it; "" where nothing."""
    value = said.get(field)
    if field == "theka" and isinstance(value, list):
        lines = (each.get("bols", "") if isinstance(each, Mapping) else each for each in value)
        return "\n".join(map(str, lines))
    if isinstance(value, list):
        return (", " if field == "also" else " ").join(map(str, value))
    return "" if value is None else str(value).strip()

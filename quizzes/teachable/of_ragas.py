"""The facts of a raga, for a teacher who would have some of them otherwise."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from audio.tuning import SWARAS, Swara
from quizzes.names import capital, counted, in_sargam, listed
from quizzes.ragas.raga import GAITS, JATIS, SAPTAKS, Raga, hours_of, letters_of
from quizzes.ragas.raga import Fact as Known
from quizzes.ragas.taught import CONFIRMED, FIRST_STRINGS, TEACHER
from quizzes.ragas.tradition import ragas
from quizzes.ragas.words import letter_name
from quizzes.teachable.fact import NOT_YET, YOURS, Fact, Saying, by_others, standing
from words import say, to_say

TITLES = {
    "name": to_say("Name"),
    "also": to_say("Other names"),
    "notes": to_say("Swaras"),
    "occasional": to_say("Touched now and then"),
    "aroha": to_say("Aroha"),
    "avaroha": to_say("Avaroha"),
    "vadi": to_say("Vadi and samvadi"),
    "nyas": to_say("Rests on"),
    "andolan": to_say("Swings"),
    "glide": to_say("Only within a glide"),
    "phrases": to_say("Phrases"),
    "forbidden": to_say("Turns that it never makes"),
    "register": to_say("Lives in"),
    "gait": to_say("Gait"),
    "hours": to_say("Hours"),
    "that": to_say("That"),
    "first_string": to_say("First string of the tanpura"),
    "mood": to_say("Mood"),
    "season": to_say("Season"),
    "near": to_say("Near to"),
    "about": to_say("About"),
}
"""By field, to be said."""
SORTS = {
    "name": "text", "also": "names", "notes": "sargam", "occasional": "sargam", "aroha": "sargam",
    "avaroha": "sargam", "vadi": "sargam", "nyas": "sargam", "andolan": "sargam",
    "glide": "sargam", "phrases": "lines", "forbidden": "lines", "register": "some",
    "gait": "some", "hours": "text", "that": "text", "first_string": "one", "mood": "names",
    "season": "text", "near": "names", "about": "text",
}  # fmt: skip
HINTS = {
    "also": to_say("With commas between them."),
    "notes": to_say("Small letters are komal, m is shuddha and M tivra Ma."),
    "vadi": to_say("The vadi, then the samvadi."),
    "nyas": to_say("The usual ones first."),
    "phrases": to_say("One on each line; fresh ones grow from them."),
    "forbidden": to_say("One on each line."),
    "hours": to_say("Two hours of the day, such as 18-21."),
    "that": to_say("One of the ten, or none."),
    "mood": to_say("With commas between them."),
    "near": to_say("Ids of ragas, with commas between them."),
}
BESIDE = {"vadi": ("samvadi",), "phrases": ("phrase",), "aroha": (), "avaroha": ()}
"""Other fields of a file that tell the same."""
NOTHING = to_say("None")


def facts_of(raga: str, said: Mapping[str, Any], known: Mapping[str, Raga]) -> tuple[Fact, ...]:
    """All facts of a raga; `said` is what the teacher's file has of it, `known` are the ragas as
    they are asked now."""
    return tuple(_facts(raga, said, known))


def _facts(raga: str, said: Mapping[str, Any], known: Mapping[str, Raga]) -> Iterator[Fact]:
    now, shipped = known.get(raga), ragas().get(raga)
    for field, title in TITLES.items():
        fields = (field, *BESIDE.get(field, ()))
        confirm = "scale" if field in ("aroha", "avaroha") else field
        confirmed = said.get("confirmed", ())
        mine = any(each in said for each in fields) or _in_scale(said, field)
        mine = mine or (isinstance(confirmed, list) and confirm in confirmed)
        confidence, source = ("C", "") if now is None else _told(now, field)
        may = now is not None and not mine and confidence == "C" and bool(_value(now, field))
        written = _said(said, field) or ("" if now is None else _value(now, field))
        by = say(YOURS) if mine else "" if now is None else _standing(now, field)
        yield Fact(
            table=(raga,),
            fields=fields,
            title=say(title),
            sort=SORTS[field],
            now=(written or say(NOT_YET)) if now is None else _in_words(now, field) or say(NOTHING),
            by=by,
            written=written,
            mine=mine,
            others=_others(field, now, shipped),
            confirm=confirm if may and confirm in CONFIRMED and source else "",
            options=_options(field),
            hint=say(HINTS[field]) if field in HINTS else "",
        )


def _options(field: str) -> tuple[tuple[str, str], ...]:
    """What a fact is chosen from; () where it is written."""
    if field == "register":
        return tuple((one, say(one)) for one in SAPTAKS)
    if field == "gait":
        return tuple((one, one) for one in GAITS)
    if field == "first_string":
        return tuple((one, letter_name(one)) for one in FIRST_STRINGS)
    return ()


def _in_scale(said: Mapping[str, Any], field: str) -> bool:
    scale = said.get("scale")
    return isinstance(scale, Mapping) and field in scale


def _told(raga: Raga, field: str) -> tuple[str, str]:
    """Confidence and source."""
    if field in ("aroha", "avaroha"):
        return raga.scale.confidence, raga.scale.source
    if field in ("phrases", "forbidden"):
        lines = getattr(raga, field)
        worst = max((line.confidence for line in lines), default="", key=_unsure)
        return worst, next((line.source for line in lines if line.confidence == worst), "")
    fact = getattr(raga, field, None)
    return (fact.confidence, fact.source) if isinstance(fact, Known) else ("", "")


def _unsure(confidence: str) -> int:
    return ("", TEACHER, "A", "B", "C").index(confidence)


def _standing(raga: Raga, field: str) -> str:
    if field in ("phrases", "forbidden"):
        lines = getattr(raga, field)
        recalled = sum(line.confidence == "C" for line in lines)
        told = len(lines) - recalled
        parts = [say("{count} from sources", count=told)] if told else []
        parts += [say("{count} from memory", count=recalled)] if recalled else []
        if not parts:
            return ""
        return capital(
            counted(
                len(lines),
                "{number} line: {parts}.",
                "{number} lines: {parts}.",
                parts=listed(parts),
            )
        )
    if field == "first_string":
        return say(YOURS) if raga.first_string else say("By its swaras.")
    confidence, source = _told(raga, field)
    if not confidence or not _value(raga, field):
        return ""
    return standing(confidence, source)


def _value(raga: Raga, field: str) -> str:
    """As the form has it."""
    if field in ("name", "season", "about", "first_string"):
        return str(getattr(raga, field))
    if field == "also":
        return ", ".join(raga.also)
    if field in ("aroha", "avaroha"):
        return in_sargam(getattr(raga.scale.value, field))
    if field == "phrases":
        return "\n".join(map(str, raga.phrases))
    if field == "forbidden":
        return "\n".join(in_sargam(each.turn) for each in raga.forbidden)
    if field == "near":
        return ", ".join(each.raga for each in raga.near)
    value = getattr(raga, field).value
    if field == "hours":
        return f"{value[0]:02}-{value[1]:02}"
    if field == "that":
        return value or "none"
    return ", ".join(value) if field == "mood" else " ".join(value)


def _in_words(raga: Raga, field: str) -> str:
    if field in ("phrases", "forbidden"):
        return "\n".join(_value(raga, field).splitlines())
    if field == "near":
        known = ragas()
        return listed(
            [say(known[one.raga].name) if one.raga in known else one.raga for one in raga.near]
        )
    if field == "first_string":
        return letter_name(raga.drone)
    return _words_for(field, _value(raga, field))


def _words_for(field: str, value: str) -> str:
    """A value of the form, for a reader."""
    if field == "vadi":
        return listed([*map(letter_name, value.split())])
    if field in ("nyas", "andolan", "glide", "occasional"):
        return ", ".join(map(letter_name, value.split()))
    if field == "hours":
        begin, end = hours_of(value)
        return say("{begin} to {end} o'clock", begin=begin, end=end)
    if field == "that" and value == "none":
        return say("None of the ten")
    return value.replace(" ", ", ") if field in ("register", "gait") else value


def _others(field: str, now: Raga | None, shipped: Raga | None) -> tuple[Saying, ...]:
    """What others teach: what is shipped, and every variant that a source has."""
    if shipped is None or now is None:
        return ()
    asked, found = _value(now, field), []
    usual = _value(shipped, field)
    if field not in ("name", "first_string") and usual != asked and usual:
        told = standing(*_told(shipped, field)) if _told(shipped, field)[0] else say("As shipped.")
        sort_lines = SORTS[field] == "lines"
        value: Any = usual.splitlines() if sort_lines else usual
        value = usual.split(", ") if SORTS[field] == "names" else value
        found.append(Saying(_words_for(field, usual), told, _put(field, value)))
    for variant in shipped.variants:
        if variant.of != field or variant.value == asked:
            continue
        by = by_others(variant.source)
        if variant.slip:
            by = f"{by} {say('It is taken for a slip.')}"
        values, beside = _of_variant(field, variant.value, now)
        words = _words_for(field, variant.value)
        if beside:
            words = say("{line}, with {swaras} among the swaras", line=words, swaras=beside)
        found.append(Saying(words, by, values))
    return tuple(found)


def _of_variant(field: str, value: str, now: Raga) -> tuple[dict[str, Any], str]:
    """What a variant puts into the file, and in words what it brings beside itself: swaras that the
    raga has not otherwise. What no raga can be is only to be read."""
    if field == "about":
        return {}, ""
    values = _put(field, value)
    if field not in ("aroha", "avaroha", "vadi"):
        return values, ""
    letters = letters_of([*map(Swara.read, value.split())])
    if field != "vadi" and len({letter.upper() for letter in letters}) not in JATIS:
        return {}, ""
    foreign = sorted(letters - now.own, key=SWARAS.index)
    if not foreign:
        return values, ""
    values["notes"] = " ".join(sorted(now.own | letters, key=SWARAS.index))
    return values, listed([*map(letter_name, foreign)])


def _put(field: str, value: Any) -> dict[str, Any]:
    return {**dict.fromkeys(BESIDE.get(field, ())), field: value}


def _said(said: Mapping[str, Any], field: str) -> str:
    """What stands in the teacher's file, right or not, as the form has it; "" where nothing."""
    value: Any = said.get(field)
    if field in ("aroha", "avaroha") and value is None and _in_scale(said, field):
        value = said["scale"][field]
    if field == "phrases" and value is None:
        value = said.get("phrase")
    if isinstance(value, Mapping):
        value = " ".join(str(value.get(key, "")) for key in ("is", "samvadi"))
    if field == "vadi" and value is not None and "samvadi" in said:
        value = f"{value} {said['samvadi']}"
    if isinstance(value, list):
        inner = [_line(each) for each in value]
        return ("\n" if SORTS[field] == "lines" else ", ").join(inner)
    return "" if value is None else str(value).strip()


def _line(value: Any) -> str:
    if isinstance(value, Mapping):
        return str(value.get("sargam", value.get("turn", value.get("raga", ""))))
    return str(value)

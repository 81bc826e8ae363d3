"""Questions of a teacher's own: each form with its keys, and what must be so of them."""

from __future__ import annotations

from collections.abc import Mapping
from unicodedata import normalize

from audio.line import Beat, Tone
from quizzes.decks import heard, phrase
from quizzes.decks.collecting import Part, such_as
from quizzes.decks.deck import Asked, Before, Cue, Offered
from quizzes.decks.heard import Lookup, check_length, cue_of, line_in
from quizzes.decks.limits import (
    FEWEST_ANSWERS,
    LONGEST_ANSWER,
    LONGEST_NAME,
    LONGEST_PROMPT,
    LONGEST_SARGAM,
    LONGEST_TEXT,
    MOST_ANSWERS,
    MOST_LINES,
    MOST_PAIRS,
    MOST_SWARAS,
)
from quizzes.fields import shown
from quizzes.talas import Tala

SHARED = ("id", "kind", "name", "prompt", "why", *heard.KEYS)
KEYS = {
    "choose-one": ("choice",),
    "choose-several": ("choice",),
    "put-in-order": ("things", "before"),
    "write-swaras": ("right",),
    "write-phrase": ("counts",),
    "true-or-false": ("holds", "reason"),
}
"""What each form has besides."""
CHOICE_KEYS = ("text", "right", "why", "sargam")
REASON_KEYS = ("text", "holds", "right", "why")
BEFORE_KEYS = ("first", "then", "why")


def asked_of(
    part: Part, identity: str, form: str, usual: Cue, talas: Mapping[str, Tala], recording: Lookup
) -> Asked:
    """The question of a table; what is wrong is noted, and left as usual."""
    prompt = part.text("prompt", most=LONGEST_PROMPT, remedy="say what is asked", lines=True)
    cue = cue_of(part, usual, talas, recording)
    why = part.text("why", most=LONGEST_TEXT, needed=False, lines=True)
    name = part.text("name", most=LONGEST_NAME, needed=False) or _short(prompt)
    if form in ("choose-one", "choose-several"):
        return Asked(identity, form, prompt, name, cue, why, offered=_choices(part, cue.tempo))
    if form == "put-in-order":
        things = _things(part)
        before = _before(part, things)
        return Asked(identity, form, prompt, name, cue, why, things=things, before=before)
    if form == "write-swaras":
        return Asked(identity, form, prompt, name, cue, why, lines=_right_lines(part))
    if form == "write-phrase":
        return Asked(identity, form, prompt, name, cue, why, counts=phrase.counts_of(part, cue))
    holds = part.switch("holds", needed=True)
    offered = _reasons(part, holds, cue.tempo)
    return Asked(identity, form, prompt, name, cue, why, offered=offered, holds=holds)


def _short(prompt: str) -> str:
    """A prompt as the name of its question."""
    line = " ".join(prompt.split())
    return line if len(line) <= LONGEST_NAME else line[: LONGEST_NAME - 1].rstrip() + "…"


def _offered(
    part: Part, field: str, keys: tuple[str, ...], tempo: float
) -> tuple[list[tuple[int, Offered]], bool]:
    """The tables of choices or reasons, and whether it is known of each if it is right."""
    found = []
    is_sure = True
    for each in part.tables(field):
        each.only(keys, _above(field))
        text = each.text("text", most=LONGEST_ANSWER, remedy="write what can be chosen")
        right = each.switch("right")
        is_sure = is_sure and (right is not None or each.lacks("right"))
        why = each.text("why", most=LONGEST_TEXT, needed=False, lines=True)
        sargam = ""
        if "sargam" in keys:
            sargam = each.text("sargam", most=LONGEST_SARGAM, needed=False)
        line = line_in(each, sargam, "sargam") if sargam else None
        if line is not None:
            check_length(each, "sargam", float(line.matras), tempo)
        holds = each.switch("holds") if "holds" in keys else None
        found.append((each.at, Offered(text, bool(right), why, sargam, holds)))
    _check_count(part, field, len(found))
    _check_twice(part, field, [(at, offered.text) for at, offered in found], "text")
    return found, is_sure


def _above(field: str) -> dict[str, str]:
    """Of the keys of a question, where they belong when they stand in an inner table."""
    remedy = f"put it above the first {_heading(field)}"
    return dict.fromkeys((*SHARED, *(key for keys in KEYS.values() for key in keys)), remedy)


def _heading(field: str) -> str:
    return f"[[question.{field}]]"


def _check_count(part: Part, field: str, count: int) -> None:
    heading = _heading(field)
    if field not in part:
        part.missing(field, f"write {heading}, at least {FEWEST_ANSWERS} times")
    elif count < FEWEST_ANSWERS and isinstance(part.values[field], list):
        said = f"there is {'only one' if count else 'none'}, and nothing to choose"
        part.fault(field, said, f"write {heading}, at least {FEWEST_ANSWERS} times")
    elif count > MOST_ANSWERS:
        part.fault(field, f"there are {count}", f"keep at most {MOST_ANSWERS}")


def _check_twice(part: Part, field: str, texts: list[tuple[int, str]], *inside: str) -> None:
    """Texts that look alike to a reader cannot be told apart."""
    first: dict[str, int] = {}
    for at, text in texts:
        look = " ".join(normalize("NFKC", text).casefold().split())
        if look in first:
            line = part.line_of(field, first[look], *inside)
            said = f"{shown(text)} stands there already, at line {line}"
            part.fault(field, said, "write another, or leave it out", at, *inside)
        elif look:
            first[look] = at


def _choices(part: Part, tempo: float) -> tuple[Offered, ...]:
    found, is_sure = _offered(part, "choice", CHOICE_KEYS, tempo)
    rights = [offered.right for _, offered in found]
    if is_sure and len(found) >= FEWEST_ANSWERS:
        _check_rights(part, "choice", some=any(rights), every=all(rights))
    return tuple(offered for _, offered in found)


def _check_rights(part: Part, field: str, *, some: bool, every: bool) -> None:
    if not some:
        part.fault(field, "none is right", "write right = true in the one that is")
    elif every:
        part.fault(field, "all are right, and nothing is asked", "add one that is wrong")


def _reasons(part: Part, holds: bool | None, tempo: float) -> tuple[Offered, ...]:
    """Reasons for a verdict; of those for the right one some are right, and not all."""
    if "reason" not in part:
        return ()
    found, is_sure = _offered(part, "reason", REASON_KEYS, tempo)
    mine = [each for _, each in found if each.holds in (None, holds)]
    for at, each in found:
        if each.right and holds is not None and each.holds not in (None, holds):
            said = "is right, but given for the verdict that is wrong"
            part.fault("reason", said, f"leave out right, or write holds = {shown(holds)}", at)
            is_sure = False
    if is_sure and len(found) >= FEWEST_ANSWERS:
        some = holds is None or any(each.right for each in mine)
        _check_rights(part, "reason", some=some, every=all(each.right for _, each in found))
    return tuple(offered for _, offered in found)


def _things(part: Part) -> tuple[str, ...]:
    example = '["Alap", "Jor", "Jhala"], in a right order'
    if "things" not in part:
        part.missing("things", f"write things = {example}")
        return ()
    found = part.listed("things", most=MOST_ANSWERS, example=example, longest=LONGEST_ANSWER)
    things = tuple(text for _, text in found)
    _check_twice(part, "things", found)
    if len(things) == 1:
        said = "there is only one, and nothing to put in order"
        part.fault("things", said, f"name at least {FEWEST_ANSWERS}")
    return things


def _before(part: Part, things: tuple[str, ...]) -> tuple[Before, ...]:
    """The pairs that matter; each must agree with the order of `things`."""
    found: dict[tuple[str, str], Before] = {}
    places = {thing: at for at, thing in enumerate(things)}
    for at, each in enumerate(part.tables("before")):
        each.only(BEFORE_KEYS, _above("before"))
        if at == MOST_PAIRS:
            part.fault("before", f"there are more than {MOST_PAIRS} pairs", "keep fewer")
            break
        pair = [each.text(field, most=LONGEST_ANSWER) for field in ("first", "then")]
        why = each.text("why", most=LONGEST_TEXT, needed=False, lines=True)
        known = True
        for field, thing in zip(("first", "then"), pair, strict=True):
            if thing and things and thing not in places:
                each.fault(field, f"{shown(thing)} is not among things", such_as(thing, things))
            known = known and thing in places
        first, then = pair
        if not known:
            continue
        if first == then:
            each.fault("then", f"{shown(then)} cannot come before itself", "name another thing")
        elif (first, then) in found:
            each.fault("then", "this pair stands there already", "leave it out")
        elif (then, first) in found or _leads(found, then, first):
            said = f"{shown(then)} comes before {shown(first)} by the pairs above: a circle"
            each.fault("then", said, "turn this pair round, or leave it out")
        elif places[first] > places[then]:
            said = f"{shown(then)} stands before {shown(first)} in things"
            each.fault("then", said, "turn this pair round, or put things into a right order")
        else:
            found[first, then] = Before(first, then, why)
            continue
        found.setdefault((first, then), Before(first, then, why))
    return tuple(found.values())


def _leads(pairs: Mapping[tuple[str, str], Before], first: str, last: str) -> bool:
    """Whether the pairs lead from the one thing to the other."""
    reached = {first}
    while True:
        more = {then for one, then in pairs if one in reached} - reached
        if not more:
            return last in reached
        reached |= more


def _right_lines(part: Part) -> tuple[str, ...]:
    """Lines of plain swaras, as the pad writes them."""
    if "right" not in part:
        part.missing("right", 'write the line that is right, such as right = "N, R G"')
        return ()
    value = part.values["right"]
    if isinstance(value, str):
        texts: list[tuple[tuple[int, ...], str]] = [
            ((), part.text_in(value, "right", most=LONGEST_SARGAM))
        ]
    else:
        found = part.listed("right", most=MOST_LINES, example='"N, R G"', longest=LONGEST_SARGAM)
        texts = [((at,), text) for at, text in found]
    lines: dict[str, tuple[int, ...]] = {}
    for inside, text in texts:
        line = _plain(part, text, *inside) if text else ""
        if line in lines:
            part.fault("right", "the same line stands there already", "leave it out", *inside)
        elif line:
            lines[line] = inside
    return tuple(lines)


def _plain(part: Part, text: str, *inside: int) -> str:
    """The line with single spaces between its swaras; "" where it is not plain."""
    line = line_in(part, text, "right", *inside)
    if line is None:
        return ""
    swaras = " ".join(str(note.swara) for note in line.notes())
    plain = [Beat((Tone(note.swara),)) for note in line.notes()]
    if list(line.items) != plain:
        said = "holds more than plain swaras, which alone are written by the student"
        part.fault("right", said, f"write {shown(swaras)}", *inside)
        return ""
    if len(plain) > MOST_SWARAS:
        said = f"has {len(plain)} swaras"
        part.fault("right", said, f"keep at most {MOST_SWARAS}", *inside)
        return ""
    return swaras

"""What is known of a raga, on a sheet of 80 columns: each fact beside what stands for it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from textwrap import wrap
from typing import Any

from audio.tuning import Swara
from quizzes.names import listed
from quizzes.ragas.raga import Fact, Raga, hours_of
from quizzes.ragas.tradition import TEACHER
from quizzes.ragas.words import letter_name

WIDTH = 80
HEAD, SAID = 14, 33
"""Columns of what it is and of what is said of it; the rest tells from where that is."""
NAMED = 20
"""Columns for the name of a near raga."""
MARGIN = "  "

LEGEND = f"""\
S r R g G m M P d D n N: small letters are komal, m is shuddha and M tivra Ma;
N, is mandra Ni and S' tar Sa.

{MARGIN}A  sources agree that know nothing of one another
{MARGIN}B  one source says so
{MARGIN}C  common practice, from memory; not asked where it might be wrong
{MARGIN}T  your teacher's word, above all others
{MARGIN}What the sources are stands in assets/ragas/sources.toml."""


def sheet(raga: Raga, ragas: Mapping[str, Raga]) -> str:
    """All of it; `ragas` are those among which it has near ones."""
    parts = [
        _title(raga),
        _paragraph(raga.about),
        "\n".join(_facts(raga)),
        "\n".join(_movement(raga)),
        "\n".join(_near(raga, ragas)),
        "\n".join(_taught_otherwise(raga)),
        LEGEND,
    ]
    return "\n\n".join(part for part in parts if part)


def _title(raga: Raga) -> str:
    names = f", also called {listed(list(raga.also), 'or')}" if raga.also else ""
    return "\n".join(wrap(f"{raga.name} ({raga.id}){names}", WIDTH))


def _paragraph(text: str, *, head: str = "", deep: int = 0) -> str:
    """A text as wide as the sheet, `deep` columns from its edge and behind its head."""
    lead = f"{head:{deep}}"
    return "\n".join(wrap(text, WIDTH, initial_indent=lead, subsequent_indent=" " * deep))


def _row(head: str, said: str, known: str) -> str:
    """One fact in three columns, on as many lines as the longest needs."""
    rest = WIDTH - len(MARGIN) - HEAD - SAID
    columns = [
        [head],
        wrap(said, SAID - 2),
        wrap(known, rest, subsequent_indent="   ", break_on_hyphens=False),
    ]
    lines = []
    for line in range(max(map(len, columns))):
        cells = [column[line] if line < len(column) else "" for column in columns]
        lines.append(f"{MARGIN}{cells[0]:{HEAD}}{cells[1]:{SAID}}{cells[2]}".rstrip())
    return "\n".join(lines)


def _known(fact: Fact[Any]) -> str:
    """From where: `B  samaya`."""
    return _sourced(fact.confidence, fact.source)


def _sourced(confidence: str, source: str) -> str:
    return f"{'T' if confidence == TEACHER else confidence}  {source}"


# Facts.


def _facts(raga: Raga) -> Iterator[str]:
    """Each fact with what others have for it below it."""
    up, down = raga.scale.value.aroha, raga.scale.value.avaroha
    yield _row("that", raga.that.value or "none of the ten", _known(raga.that))
    yield from _others(raga, "that", str)
    yield _row("swaras", " ".join(raga.notes.value), _known(raga.notes))
    yield from _others(raga, "notes", str)
    if raga.occasional.value:
        yield _row("now and then", " ".join(raga.occasional.value), _known(raga.occasional))
    yield _row("way up", " ".join(map(str, up)), _known(raga.scale))
    yield from _others(raga, "aroha", str)
    yield _row("way down", " ".join(map(str, down)), _known(raga.scale))
    yield from _others(raga, "avaroha", str)
    yield _row("jati", "-".join(raga.jati), "   by its ways up and down")
    yield _row("vadi, samvadi", _named(raga.vadi.value), _known(raga.vadi))
    yield from _others(raga, "vadi", lambda text: _named(text.split()))
    yield _row("rests on", _named(raga.nyas.value), _known(raga.nyas))
    if raga.glide.value:
        yield _row("in glides", _named(raga.glide.value), _known(raga.glide))
    if raga.andolan.value:
        yield _row("swings", _named(raga.andolan.value), _known(raga.andolan))
    yield _row("lives in", ", ".join(raga.register.value), _known(raga.register))
    yield _row("gait", ", ".join(raga.gait.value), _known(raga.gait))
    yield _row("mood", ", ".join(raga.mood.value), _known(raga.mood))
    yield _row("hours", _hours(raga.hours.value), _known(raga.hours))
    yield from _others(raga, "hours", lambda text: _hours(hours_of(text)))
    if raga.season:
        yield _row("season", raga.season, "")
    string = _sourced(TEACHER, "your teacher") if raga.first_string else "   by its swaras"
    yield _row("tanpura", f"first string {letter_name(raga.drone)}", string)


def _others(raga: Raga, field: str, told: Callable[[str], str]) -> Iterator[str]:
    """What others have for a field, one below the other."""
    for variant in raga.variants:
        if variant.of == field:
            slip = ", taken for a slip of that source" if variant.slip else ""
            yield _row("  or", told(variant.value), f"   {variant.source}{slip}")


def _named(letters: Sequence[str]) -> str:
    return ", ".join(map(letter_name, letters))


def _hours(span: tuple[int, int]) -> str:
    return f"{span[0]} to {span[1]}"


# Movement.


def _movement(raga: Raga) -> Iterator[str]:
    for number, phrase in enumerate(raga.phrases):
        known = _sourced(phrase.confidence, phrase.source)
        yield _row("" if number else "phrases", str(phrase), known)
    for number, forbidden in enumerate(raga.forbidden):
        known = _sourced(forbidden.confidence, forbidden.source)
        yield _row("" if number else "never", _turn(forbidden.turn), known)
    for required in raga.required:
        turns = listed([_turn(turn) for turn in required.turns], "or")
        known = _sourced(required.confidence, required.source)
        yield _row(f"{required.letter} only in", turns, known)


def _turn(swaras: Sequence[Swara]) -> str:
    return " ".join(map(str, swaras))


# Near ragas.


def _near(raga: Raga, ragas: Mapping[str, Raga]) -> Iterator[str]:
    """What sets each near raga apart from this one, and this one from it, where a file says so."""
    mine = {near.raga: near.apart for near in raga.near}
    theirs = {
        other.id: near.apart
        for other in ragas.values()
        for near in other.near
        if near.raga == raga.id
    }
    if mine or theirs:
        yield "What sets near ragas apart"
    for one in dict.fromkeys((*mine, *theirs)):
        if one in mine:
            yield _apart(ragas[one].name, mine[one])
        else:
            yield f"{MARGIN}{ragas[one].name}"
        if one in theirs:
            yield _apart(f"{MARGIN}{raga.name}", theirs[one])


def _apart(name: str, apart: str) -> str:
    return _paragraph(apart, head=f"{MARGIN}{name}", deep=len(MARGIN) + NAMED)


# Words.


def _taught_otherwise(raga: Raga) -> Iterator[str]:
    for variant in raga.variants:
        if variant.of == "about":
            yield _paragraph(f"{variant.value} ({variant.source})")

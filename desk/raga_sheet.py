"""What is known of a raga, on a sheet of 80 columns: each fact beside what stands for it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from desk.sheets import MARGIN, legend, paragraph, row
from desk.sheets import TEACHER as TEACHERS
from quizzes.names import in_sargam, listed
from quizzes.ragas.raga import Fact, Raga, hours_of
from quizzes.ragas.tradition import TEACHER
from quizzes.ragas.words import letter_name

NAMED = 20
"""Columns for the name of a near raga."""

LEGEND = legend(
    """\
S r R g G m M P d D n N: small letters are komal, m is shuddha and M tivra Ma;
N, is mandra Ni and S' tar Sa.

""",
    "What the sources are stands in assets/ragas/sources.toml.",
)


def sheet(raga: Raga, ragas: Mapping[str, Raga]) -> str:
    """All of it; `ragas` are those among which it has near ones."""
    parts = [
        _title(raga),
        paragraph(raga.about),
        "\n".join(_facts(raga)),
        "\n".join(_movement(raga)),
        "\n".join(_near(raga, ragas)),
        "\n".join(_taught_otherwise(raga)),
        LEGEND,
    ]
    return "\n\n".join(part for part in parts if part)


def _title(raga: Raga) -> str:
    names = f", also called {listed(list(raga.also), 'or')}" if raga.also else ""
    return paragraph(f"{raga.name} ({raga.id}){names}")


def _known(fact: Fact[Any]) -> str:
    """From where: `B  samaya`."""
    return _sourced(fact.confidence, fact.source)


def _sourced(confidence: str, source: str) -> str:
    return f"{TEACHERS if confidence == TEACHER else confidence}  {source}"


# Facts.


def _facts(raga: Raga) -> Iterator[str]:
    """Each fact with what others have for it below it."""
    up, down = raga.scale.value.aroha, raga.scale.value.avaroha
    yield row("that", raga.that.value or "none of the ten", _known(raga.that))
    yield from _others(raga, "that", str)
    yield row("swaras", " ".join(raga.notes.value), _known(raga.notes))
    yield from _others(raga, "notes", str)
    if raga.occasional.value:
        yield row("now and then", " ".join(raga.occasional.value), _known(raga.occasional))
    yield row("way up", in_sargam(up), _known(raga.scale))
    yield from _others(raga, "aroha", str)
    yield row("way down", in_sargam(down), _known(raga.scale))
    yield from _others(raga, "avaroha", str)
    yield row("jati", "-".join(raga.jati), "   by its ways up and down")
    yield row("vadi, samvadi", _named(raga.vadi.value), _known(raga.vadi))
    yield from _others(raga, "vadi", lambda text: _named(text.split()))
    yield row("rests on", _named(raga.nyas.value), _known(raga.nyas))
    if raga.glide.value:
        yield row("in glides", _named(raga.glide.value), _known(raga.glide))
    if raga.andolan.value:
        yield row("swings", _named(raga.andolan.value), _known(raga.andolan))
    yield row("lives in", ", ".join(raga.register.value), _known(raga.register))
    yield row("gait", ", ".join(raga.gait.value), _known(raga.gait))
    yield row("mood", ", ".join(raga.mood.value), _known(raga.mood))
    yield row("hours", _hours(raga.hours.value), _known(raga.hours))
    yield from _others(raga, "hours", lambda text: _hours(hours_of(text)))
    if raga.season:
        yield row("season", raga.season, "")
    string = _sourced(TEACHER, "your teacher") if raga.first_string else "   by its swaras"
    yield row("tanpura", f"first string {letter_name(raga.drone)}", string)


def _others(raga: Raga, field: str, told: Callable[[str], str]) -> Iterator[str]:
    """What others have for a field, one below the other."""
    for variant in raga.variants:
        if variant.of == field:
            slip = ", taken for a slip of that source" if variant.slip else ""
            yield row("  or", told(variant.value), f"   {variant.source}{slip}")


def _named(letters: Sequence[str]) -> str:
    return ", ".join(map(letter_name, letters))


def _hours(span: tuple[int, int]) -> str:
    return f"{span[0]} to {span[1]}"


# Movement.


def _movement(raga: Raga) -> Iterator[str]:
    for number, phrase in enumerate(raga.phrases):
        known = _sourced(phrase.confidence, phrase.source)
        yield row("" if number else "phrases", str(phrase), known)
    for number, forbidden in enumerate(raga.forbidden):
        known = _sourced(forbidden.confidence, forbidden.source)
        yield row("" if number else "never", in_sargam(forbidden.turn), known)
    for required in raga.required:
        turns = listed([in_sargam(turn) for turn in required.turns], "or")
        known = _sourced(required.confidence, required.source)
        yield row(f"{required.letter} only in", turns, known)


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
    return paragraph(apart, head=f"{MARGIN}{name}", deep=len(MARGIN) + NAMED)


# Words.


def _taught_otherwise(raga: Raga) -> Iterator[str]:
    for variant in raga.variants:
        if variant.of == "about":
            yield paragraph(f"{variant.value} ({variant.source})")

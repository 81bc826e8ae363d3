"""Ragas read from files: one TOML file a raga under `assets/ragas/`, its id the file's name.

`name`, `also` (other names), `about`, `season`. Then tables with what `is` known, its `confidence`
(A, B or C) and `source` (keys of `sources.toml`, or words):

    [that] [notes] [occasional] [nyas] [andolan] [glide] [register] [gait] [mood] [hours]
    [scale]     aroha, avaroha
    [vadi]      is, samvadi

and lists of tables: `[[phrase]]` (sargam), `[[near]]` (raga, apart), `[[forbidden]]` (turn),
`[[required]]` (swara, turns), `[[variant]]` (of, is, source: what others teach for a field; with
`slip = true` what one source has against all others, and which is not believed).
Swaras stand with spaces between them. `[occasional]`, `[andolan]`, `[glide]` (letters heard only
within a falling glide) and `season` may be left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from audio.errors import TuningError
from audio.tuning import SWARAS, Swara
from quizzes.errors import RagaError
from quizzes.fields import Table, read_table
from quizzes.ragas.raga import (
    GAITS,
    JATIS,
    SAPTAKS,
    Fact,
    Forbidden,
    Near,
    Phrase,
    Raga,
    Required,
    Scale,
    Variant,
    hours_of,
)

RAGAS = Path(__file__).parent.parent.parent / "assets" / "ragas"
SOURCES = "sources"
"""The name of the file that says what the keys of sources stand for."""

CONFIDENCES = ("A", "B", "C")
VARIED = ("notes", "aroha", "avaroha", "vadi", "hours", "that", "about")

_FIELDS = {
    "name", "also", "about", "season", "that", "notes", "occasional", "scale", "vadi", "nyas",
    "andolan", "glide", "register", "gait", "mood", "hours", "phrase", "near", "forbidden",
    "required", "variant",
}  # fmt: skip


def raga_ids(folder: Path = RAGAS) -> tuple[str, ...]:
    """The ids of all ragas of a folder, in the order of the alphabet."""
    return tuple(sorted(path.stem for path in folder.glob("*.toml") if path.stem != SOURCES))


def load_ragas(folder: Path = RAGAS) -> Mapping[str, Raga]:
    """All ragas of a folder by id, in the order of the alphabet. Raises RagaError."""
    paths = [folder / f"{raga}.toml" for raga in raga_ids(folder)]
    found = {path.stem: load_raga(path) for path in paths}
    for path in paths:
        for near in found[path.stem].near:
            if near.raga not in found:
                table = read_table(path, error=RagaError)
                raise table.fault("near", f"{near.raga!r} has no file {near.raga}.toml beside it")
    return MappingProxyType(found)


def load_raga(path: Path) -> Raga:
    """Read one file. Raises RagaError with file, line, field and remedy."""
    table = read_table(path, error=RagaError)
    table.only(_FIELDS)
    raga = Raga(
        id=path.stem,
        name=table.text("name"),
        also=table.texts("also", needed=False),
        about=table.text("about", needed=False),
        season=table.text("season", needed=False),
        that=read_that(table.inner("that")),
        notes=_letters(table, "notes"),
        occasional=_letters(table, "occasional", needed=False),
        scale=_scale(table.inner("scale")),
        vadi=read_vadi(table.inner("vadi")),
        nyas=_letters(table, "nyas"),
        andolan=_letters(table, "andolan", needed=False),
        glide=_letters(table, "glide", needed=False),
        register=read_words(table.inner("register"), SAPTAKS),
        gait=read_words(table.inner("gait"), GAITS),
        mood=read_mood(table.inner("mood")),
        hours=read_hours(table.inner("hours")),
        phrases=tuple(map(read_phrase, table.inners("phrase"))),
        near=tuple(map(_near, table.inners("near"))),
        forbidden=tuple(map(read_forbidden, table.inners("forbidden"))),
        required=tuple(map(read_required, table.inners("required"))),
        variants=tuple(map(read_variant, table.inners("variant"))),
    )
    _check(table, raga)
    return raga


def _check(table: Table, raga: Raga) -> None:
    """What one field says must agree with the others."""
    if not raga.phrases:
        raise table.fault("phrase", "a raga needs at least one [[phrase]]")
    scale = table.inner("scale")
    check_degrees(scale, raga.scale.value)
    for way in ("aroha", "avaroha"):
        _within(scale, way, getattr(raga.scale.value, way), raga.own, "[notes]")
    _within(table.inner("vadi"), "is", raga.vadi.value, raga.own, "[notes]")
    _within(table.inner("nyas"), "is", raga.nyas.value, raga.own, "[notes]")
    for heading in ("andolan", "glide"):
        if letters := getattr(raga, heading).value:
            _within(table.inner(heading), "is", letters, raga.own, "[notes]")
    wide = raga.allowed
    for each, phrase in zip(table.inners("phrase"), raga.phrases, strict=True):
        _within(each, "sargam", phrase.swaras, wide, "[notes] or [occasional]")
    for each, forbidden in zip(table.inners("forbidden"), raga.forbidden, strict=True):
        _within(each, "turn", forbidden.turn, wide, "[notes] or [occasional]")
    for each, required in zip(table.inners("required"), raga.required, strict=True):
        for turn in required.turns:
            _within(each, "turns", turn, wide, "[notes] or [occasional]")


def check_degrees(table: Table, scale: Scale) -> None:
    for way in ("aroha", "avaroha"):
        degrees = {swara.letter.upper() for swara in getattr(scale, way)}
        if len(degrees) not in JATIS:
            raise table.fault(way, f"has {len(degrees)} degrees; a raga has five to seven")


def _within(
    table: Table,
    field: str,
    swaras: tuple[Swara, ...] | tuple[str, ...],
    letters: frozenset[str],
    where: str,
) -> None:
    for swara in swaras:
        letter = swara if isinstance(swara, str) else swara.letter
        if letter not in letters:
            raise table.fault(field, f"{swara} should stand in {where}, or not here")


def sourced(table: Table, known: set[str]) -> tuple[str, str]:
    """The confidence and source of a table that holds these fields beside them."""
    table.only(known | {"confidence", "source"})
    confidence = table.text("confidence")
    if confidence not in CONFIDENCES:
        raise table.fault("confidence", f"should be A, B or C; given {confidence!r}")
    return confidence, table.text("source")


def _letters(table: Table, heading: str, *, needed: bool = True) -> Fact[tuple[str, ...]]:
    if not needed and heading not in table.values:
        return Fact((), "C", "none known")
    return read_letters(table.inner(heading))


def read_letters(inner: Table) -> Fact[tuple[str, ...]]:
    confidence, source = sourced(inner, {"is"})
    letters = tuple(inner.text("is").split())
    for letter in letters:
        if letter not in SWARAS:
            raise inner.fault("is", f"{letter!r} should be one of {' '.join(SWARAS)}")
    if len(set(letters)) != len(letters):
        raise inner.fault("is", "names a swara twice; remove one")
    return Fact(letters, confidence, source)


def read_words(table: Table, known: tuple[str, ...]) -> Fact[tuple[str, ...]]:
    confidence, source = sourced(table, {"is"})
    words = tuple(table.text("is").split())
    for word in words:
        if word not in known:
            raise table.fault("is", f"{word!r} should be one of {', '.join(known)}")
    return Fact(words, confidence, source)


def read_that(table: Table) -> Fact[str]:
    confidence, source = sourced(table, {"is"})
    that = table.text("is")
    return Fact("" if that == "none" else that, confidence, source)


def _scale(table: Table) -> Fact[Scale]:
    confidence, source = sourced(table, {"aroha", "avaroha"})
    scale = Scale(swaras_in(table, "aroha"), swaras_in(table, "avaroha"))
    return Fact(scale, confidence, source)


def read_vadi(table: Table) -> Fact[tuple[str, str]]:
    confidence, source = sourced(table, {"is", "samvadi"})
    return Fact((table.text("is"), table.text("samvadi")), confidence, source)


def read_mood(table: Table) -> Fact[tuple[str, ...]]:
    confidence, source = sourced(table, {"is"})
    return Fact(table.texts("is"), confidence, source)


def read_hours(table: Table) -> Fact[tuple[int, int]]:
    confidence, source = sourced(table, {"is"})
    try:
        return Fact(hours_of(table.text("is")), confidence, source)
    except ValueError as error:
        raise table.fault("is", "should be two hours of the day, such as 18-21") from error


def read_phrase(table: Table) -> Phrase:
    confidence, source = sourced(table, {"sargam"})
    return Phrase(swaras_in(table, "sargam"), confidence, source)


def _near(table: Table) -> Near:
    table.only({"raga", "apart"})
    return Near(table.text("raga"), table.text("apart"))


def read_forbidden(table: Table) -> Forbidden:
    confidence, source = sourced(table, {"turn"})
    return Forbidden(swaras_in(table, "turn"), confidence, source)


def read_required(table: Table) -> Required:
    confidence, source = sourced(table, {"swara", "turns"})
    letter = table.text("swara")
    turns = tuple(read_swaras(table, "turns", text) for text in table.texts("turns"))
    for turn in turns:
        if letter not in {swara.letter for swara in turn}:
            raise table.fault("turns", f"each should hold {letter}")
    return Required(letter, turns, confidence, source)


def read_variant(table: Table) -> Variant:
    table.only({"of", "is", "source", "slip"})
    of, value = table.text("of"), table.text("is")
    if of not in VARIED:
        raise table.fault("of", f"should be one of {', '.join(VARIED)}; given {of!r}")
    if of in ("notes", "aroha", "avaroha"):
        swaras_in(table, "is")
    if of == "vadi" and not (len(value.split()) == 2 and set(value.split()) <= set(SWARAS)):
        raise table.fault("is", "should be vadi and samvadi, such as G D")
    if of == "hours":
        try:
            hours_of(value)
        except ValueError as error:
            raise table.fault("is", "should be two hours of the day, such as 18-21") from error
    return Variant(of, value, table.text("source"), table.switch("slip"))


def swaras_in(table: Table, field: str) -> tuple[Swara, ...]:
    return read_swaras(table, field, table.text(field))


def read_swaras(table: Table, field: str, text: str) -> tuple[Swara, ...]:
    try:
        return tuple(map(Swara.read, text.split()))
    except TuningError as error:
        raise table.fault(field, str(error)) from error

"""Evidence in words and in sound: why it was not the other raga, and how that one turns."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from audio.line import BAR, Beat, Line, Tone
from audio.tuning import SWARAS, Swara
from quizzes.names import SAPTAK_NAMES, capital, listed, swara_name, swara_word
from quizzes.ragas.evidence import REST_MATRAS, Evidence, swaras_of
from quizzes.ragas.growing import within_reach
from quizzes.ragas.movement import Swaras, admits
from quizzes.ragas.raga import SAPTAKS, Raga
from quizzes.ragas.said import raga_name, raga_names
from words import say, say_many

HAS_ANOTHER_FORM = "RGmDN"
"""The natural swaras that may be komal or tivra as well."""


def letter_name(letter: str) -> str:
    """`komal Ni`."""
    return swara_word(SWARAS.index(letter))


def full_name(letter: str) -> str:
    """With `shuddha` where a swara has another form, so that it cannot be taken for that."""
    return shuddha_name(letter) if letter in HAS_ANOTHER_FORM else letter_name(letter)


def shuddha_name(letter: str) -> str:
    """`shuddha Ga` of a natural swara; one that is komal or tivra is called so."""
    name = letter_name(letter)
    return say("shuddha {swara}", swara=name) if letter in HAS_ANOTHER_FORM else name


def why(evidence: Evidence, line: Line, right: Raga, other: Raga) -> str:
    """One sentence: what was heard, and what the other raga does instead."""
    return _why(evidence, line, right, [other])


def why_all(found: Iterable[Evidence], line: Line, right: Raga, ragas: Mapping[str, Raga]) -> str:
    """What told the right raga from every other one, a sentence for each moment that did."""
    moments: dict[tuple[int, int, str], list[Evidence]] = {}
    for evidence in sorted(found, key=lambda each: (each.at, each.of, each.against)):
        moments.setdefault((evidence.at, evidence.of, evidence.by), []).append(evidence)
    return " ".join(
        _why(same[0], line, right, [ragas[each.against] for each in same])
        for same in moments.values()
    )


def _why(evidence: Evidence, line: Line, right: Raga, others: Sequence[Raga]) -> str:
    swaras = swaras_of(line)
    if evidence.by == "note":
        return _foreign(swaras[evidence.of], others)
    here, names = letter_name(swaras[evidence.of].letter), raga_names(others)
    if evidence.by == "run":
        to = swaras[evidence.of + 1]
        rises = to.steps > swaras[evidence.of].steps
        return _passed(here, letter_name(to.letter), names, len(others), rises=rises)
    raga = raga_name(right)
    if evidence.by == "rest":
        rests = listed([letter_name(letter) for letter in others[0].nyas.value])
        return say(
            "It rested on {here}, the vadi of {raga}; {other} rests on {rests}.",
            here=here,
            raga=raga,
            other=names,
            rests=rests,
        )
    if evidence.by == "register":
        mine, theirs = map(saptaks_of, (right, others[0]))
        return say(
            "It lay in {mine}, where {raga} lives; {other} lives in {theirs}.",
            mine=mine,
            raga=raga,
            other=names,
            theirs=theirs,
        )
    swara, note = capital(here), list(line.notes())[evidence.of]
    if note.tone.sway:
        return say("{swara} swung slowly; {other} holds it still.", swara=swara, other=names)
    return say("{swara} was held still; in {other} it swings slowly.", swara=swara, other=names)


def _passed(here: str, to: str, names: str, count: int, *, rises: bool) -> str:
    """What a run went through that so many other ragas leave out."""
    if rises:
        return say_many(
            "The rise to {to} passed {here}; {ragas} leaves {here} out on the way up.",
            "The rise to {to} passed {here}; {ragas} leave {here} out on the way up.",
            count,
            to=to,
            here=here,
            ragas=names,
        )
    return say_many(
        "The fall to {to} passed {here}; {ragas} leaves {here} out on the way down.",
        "The fall to {to} passed {here}; {ragas} leave {here} out on the way down.",
        count,
        to=to,
        here=here,
        ragas=names,
    )


def saptaks_of(raga: Raga) -> str:
    """The saptaks in which it mostly lives: `mandra and madhya`."""
    names = dict(zip(SAPTAKS, SAPTAK_NAMES.values(), strict=True))
    return listed([say(names[saptak]) for saptak in raga.register.value])


def _foreign(swara: Swara, others: Sequence[Raga]) -> str:
    """`Komal Re was heard; Yaman and Kedar have shuddha Re, Malkauns has none.`"""
    have: dict[tuple[str, ...], list[Raga]] = {}
    for raga in others:
        forms = (one for one in raga.notes.value if one.upper() == swara.letter.upper())
        have.setdefault(tuple(forms), []).append(raga)
    clauses = [_has(*item) for item in sorted(have.items(), key=lambda item: not item[0])]
    heard = full_name(swara.letter) if any(have) else letter_name(swara.letter)
    return say("{swara} was heard; {others}.", swara=capital(heard), others=", ".join(clauses))


def _has(forms: Sequence[str], some: Sequence[Raga]) -> str:
    """Which forms of a swara these ragas have."""
    names, count = raga_names(some), len(some)
    if not forms:
        return say_many("{ragas} has none", "{ragas} have none", count, ragas=names)
    swaras = listed(list(map(full_name, forms)))
    return say_many(
        "{ragas} has {swaras}", "{ragas} have {swaras}", count, ragas=names, swaras=swaras
    )


def as_other(evidence: Evidence, line: Line, other: Raga) -> Line:
    """The same turn as the other raga would have made it; where the turn cannot be mended so that
    the other admits it, the phrase of its own that is most like this one."""
    if evidence.by == "treatment":
        return _otherwise_swung(line, evidence.of)
    swaras = swaras_of(line)
    if evidence.by == "register":
        away = 12 if "tar" in other.register.value else -12
        return _with(line, [Swara.at(swara.steps + away) for swara in swaras])
    if evidence.by == "rest":
        return _dwelling_elsewhere(line, other)
    mended = [swara for swara in (_nearest(each, other) for each in swaras) if swara]
    if evidence.by == "run":
        mended = [swara for place, swara in enumerate(swaras) if place != evidence.of]
    mended = [s for place, s in enumerate(mended) if place == 0 or s != mended[place - 1]]
    if len(mended) >= 3 and admits(other, mended):
        return _plain(mended)
    return _plain(most_alike(swaras, other))


def most_alike(swaras: Swaras, raga: Raga) -> Swaras:
    """The raga's own phrase that shares most with these swaras in their order."""
    moved = [
        tuple(Swara.at(swara.steps + lift) for swara in phrase.swaras)
        for phrase in raga.phrases
        for lift in (-12, 0, 12)
    ]
    return max(
        (phrase for phrase in moved if within_reach(phrase)),
        key=lambda phrase: _shared(swaras, phrase) / (len(swaras) + len(phrase)),
    )


def _shared(one: Swaras, other: Swaras) -> int:
    """The length of their longest common succession."""
    row = [0] * (len(other) + 1)
    for swara in one:
        before = 0
        for place, theirs in enumerate(other, 1):
            kept = row[place]
            row[place] = before + 1 if swara == theirs else max(row[place], row[place - 1])
            before = kept
    return row[-1]


def _nearest(swara: Swara, raga: Raga) -> Swara | None:
    """The raga's own form of this swara's degree, else one that it touches; None without either."""
    forms = [form for form in raga.own if form.upper() == swara.letter.upper()]
    if swara.letter in (forms or raga.allowed):
        return swara
    return Swara(SWARAS.index(forms[0]), swara.octave) if forms else None


def _plain(swaras: Swaras) -> Line:
    beats = [Beat((Tone(swara),)) for swara in swaras]
    return Line((*beats[:-1], replace(beats[-1], matras=REST_MATRAS)))


def _with(line: Line, swaras: list[Swara]) -> Line:
    """The line with other swaras, each held as long as the one in its place."""
    notes = list(line.notes())
    return Line(
        tuple(
            Beat((replace(note.tone, swara=swara),), note.matras)
            for note, swara in zip(notes, swaras, strict=True)
        )
    )


def _otherwise_swung(line: Line, place: int) -> Line:
    letter = swaras_of(line)[place].letter
    return Line(
        tuple(
            Beat(
                (replace(note.tone, sway="" if note.tone.sway else "andolan"),)
                if note.swara.letter == letter and note.matras >= REST_MATRAS
                else (note.tone,),
                note.matras,
            )
            for note in line.notes()
        )
    )


def _dwelling_elsewhere(line: Line, other: Raga) -> Line:
    """The same swaras, held where the other raga rests, its weightiest rest first."""
    letters = {swara.letter for swara in swaras_of(line)}
    rests = [letter for letter in (*other.vadi.value, *other.nyas.value) if letter in letters]
    if not rests:
        return _plain(most_alike(swaras_of(line), other))
    notes = list(line.notes())
    return Line(
        tuple(
            Beat((note.tone,), REST_MATRAS if note.swara.letter == rests[0] else REST_MATRAS / 2)
            for note in notes
        )
    )


def spoken(line: Line) -> str:
    """The swaras of a line by name, for a sentence: `Ni, Re, Ga`."""
    return ", ".join(swara_name(swara) for swara in swaras_of(line) if str(swara) != BAR)

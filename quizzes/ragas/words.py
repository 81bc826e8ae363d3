"""Evidence in words and in sound: why it was not the other raga, and how that one turns."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from audio.line import BAR, Beat, Line, Tone
from audio.tuning import SWARAS, Swara
from quizzes.names import capital, listed, swara_name, swara_word
from quizzes.ragas.evidence import REST_MATRAS, Evidence, swaras_of
from quizzes.ragas.growing import within_reach
from quizzes.ragas.movement import Swaras, admits
from quizzes.ragas.raga import Raga


def letter_name(letter: str) -> str:
    """`komal Ni`."""
    return swara_word(SWARAS.index(letter))


def full_name(letter: str) -> str:
    """With `shuddha` where a swara has another form, so that it cannot be taken for that."""
    name = letter_name(letter)
    return name if " " in name or letter in "SP" else f"shuddha {name}"


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
    here, names = letter_name(swaras[evidence.of].letter), listed([raga.name for raga in others])
    one = len(others) == 1
    if evidence.by == "note":
        return _foreign(swaras[evidence.of], others)
    if evidence.by == "run":
        rises = swaras[evidence.of + 1].steps > swaras[evidence.of].steps
        to = letter_name(swaras[evidence.of + 1].letter)
        way, back = ("rise", "up") if rises else ("fall", "down")
        leave = "leaves" if one else "leave"
        return f"The {way} to {to} passed {here}; {names} {leave} {here} out on the way {back}."
    if evidence.by == "rest":
        rests = listed([letter_name(letter) for letter in others[0].nyas.value])
        return f"It rested on {here}, the vadi of {right.name}; {names} rests on {rests}."
    if evidence.by == "register":
        mine, theirs = (listed(list(raga.register.value)) for raga in (right, others[0]))
        return f"It lay in {mine}, where {right.name} lives; {names} lives in {theirs}."
    note = list(line.notes())[evidence.of]
    if note.tone.sway:
        return f"{capital(here)} swung slowly; {names} holds it still."
    return f"{capital(here)} was held still; in {names} it swings slowly."


def _foreign(swara: Swara, others: Sequence[Raga]) -> str:
    """`Komal Re was heard; Yaman and Kedar have shuddha Re, Malkauns has none.`"""
    have: dict[str, list[str]] = {}
    for raga in others:
        forms = [one for one in raga.notes.value if one.upper() == swara.letter.upper()]
        have.setdefault(listed(list(map(full_name, forms))) or "none", []).append(raga.name)
    clauses = [
        f"{listed(names)} {'has' if len(names) == 1 else 'have'} {what}"
        for what, names in sorted(have.items(), key=lambda item: item[0] == "none")
    ]
    plain = set(have) == {"none"}
    heard = letter_name(swara.letter) if plain else full_name(swara.letter)
    return f"{capital(heard)} was heard; {', '.join(clauses)}."


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

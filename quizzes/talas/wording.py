"""Words on talas: their form, their bols, where two of them part, where the bayan rests."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from audio.theka import BAR, REST
from audio.voices.tabla import SOUNDS, sound_of
from quizzes.names import counted, listed
from quizzes.talas.tala import Form, Tala, ThekaText

RINGING = "ge"
"""The stroke on the bayan that sings on."""
FEWEST_RESTING = 2
"""The bayan rests where it is not struck open for so many matras at least."""


def form_told(form: Form) -> str:
    """`14 matras in 3 + 4 + 3 + 4, tali on 1, 4 and 11, khali on 8`."""
    return f"{form.matras} matras in {_vibhags(form)}, {marks_told(form)}"


def _vibhags(form: Form) -> str:
    if len(set(form.vibhags)) == 1 and len(form.vibhags) > 4:
        return f"{counted(len(form.vibhags), 'vibhag')} of {form.vibhags[0]}"
    return " + ".join(map(str, form.vibhags))


def marks_told(form: Form) -> str:
    """`tali on 1, 5 and 13, khali on 9`."""
    told = []
    if form.tali:
        told.append(f"tali on {on_matras(form.tali)}")
    if form.khali:
        told.append(f"khali on {on_matras(form.khali)}")
    else:
        told.append("no khali")
    return ", ".join(told)


def on_matras(matras: Sequence[int], joint: str = "and") -> str:
    """`1, 5 and 13`."""
    return listed([str(one) for one in matras], joint)


def bols_told(theka: ThekaText) -> str:
    """The bols by vibhags, as they are written."""
    return f" {BAR} ".join(" ".join(part.split()) for part in theka.bols.strip(" |").split(BAR))


def vibhag_told(theka: ThekaText, number: int) -> str:
    """The bols of one vibhag, counted from 0, from -1 backwards."""
    return " ".join(theka.bols.strip(" |").split(BAR)[number].split())


def bols_of(theka: ThekaText, matra: int) -> str:
    """What is said on a matra; a matra in which nothing is struck is called a rest."""
    word = theka.bols.replace(BAR, " ").split()[matra - 1]
    return "a rest" if set(word) == {REST} else word


def parting_told(one: Tala, mine: ThekaText, other: Tala) -> str:
    """What tells a theka of the one from the usual one of the other, as a sentence: of talas of one
    length the first matra on which no theka of the other says the same, if there is one."""
    if one.matras != other.matras:
        return (
            f"{one.name} comes back to sam after {one.matras} matras, "
            f"{other.name} after {other.matras}."
        )
    told = f"Both have {one.matras} matras"
    if one.vibhags != other.vibhags:
        told += f", but {other.name} divides them {' + '.join(map(str, other.vibhags))}"
    for some in (other.thekas, other.thekas[:1]):
        for matra in range(1, one.matras + 1):
            if all(_heard(mine, matra) != _heard(each, matra) for each in some):
                return (
                    f"{told}; on matra {matra} {one.name} has {bols_of(mine, matra)}, "
                    f"{other.name} {bols_of(other.thekas[0], matra)}."
                )
    return f"{told}."


def _heard(theka: ThekaText, matra: int) -> list[str]:
    parts = theka.theka.matras[matra - 1]
    return [part if part == REST else sound_of(part) for part in parts]


def resting(theka: ThekaText) -> list[tuple[int, ...]]:
    """The runs of matras, round the cycle, in which the bayan is not struck open."""
    bare = [
        all(part == REST or SOUNDS[sound_of(part)][1] != RINGING for part in parts)
        for parts in theka.theka.matras
    ]
    count = len(bare)
    if all(bare) or not any(bare):
        return [tuple(range(1, count + 1))] if all(bare) else []
    begin = next(at for at in range(count) if bare[at] and not bare[at - 1])
    round_it = [(begin + step) % count for step in range(count)]
    runs = [
        tuple(at + 1 for at in some)
        for is_bare, some in groupby(round_it, key=lambda at: bare[at])
        if is_bare
    ]
    return [run for run in runs if len(run) >= FEWEST_RESTING]


def resting_told(tala: Tala, theka: ThekaText, khali: int) -> str:
    """Whether the bayan rests in the vibhag that is waved at `khali`, as a sentence."""
    start = tala.form.starts.index(khali)
    vibhag = range(khali, khali + tala.vibhags[start])
    run = next((run for run in resting(theka) if set(run) & set(vibhag)), None)
    if run is None:
        return (
            "In this theka the bayan does not rest there: khali is a gesture of the hand, "
            "found by counting from sam."
        )
    rests = f"the bayan rests on {_stretch(run)}, and its bass comes back on matra "
    rests += str(run[-1] % tala.matras + 1)
    if khali in run:
        return f"There {rests}: so this part sounds light."
    return (
        f"Khali is a gesture of the hand: matra {khali}, {bols_of(theka, khali)}, still has its "
        f"bass; {rests}."
    )


def _stretch(run: Sequence[int]) -> str:
    """`matras 10 to 13`; round sam `matras 11, 12 and 1`."""
    if run[0] + 1 < run[-1]:
        return f"matras {run[0]} to {run[-1]}"
    return f"matras {on_matras(run)}"

"""A wish in words, as it is asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from audio.sargam import parse
from quizzes.making.comparing import TREATMENT_WORDS
from quizzes.making.keeping import LEAST_VARIED
from quizzes.making.wish import Wish
from quizzes.names import counted, listed, number_word
from quizzes.ragas.pieces import within_reach
from quizzes.ragas.raga import Raga
from quizzes.ragas.words import letter_name

WHY_GRAVER = (
    "A grave mood lies low, moves slowly and is drawn with meend on few strokes; so at least it is "
    "commonly played."
)
HOW_TO_MAKE = (
    "A phrase has three different swaras or more; its raga's own are three in a row as they stand "
    "in its aroha, its avaroha or one of its phrases. Where you rest, hold the swara for two "
    "matras or longer. What the raga has to say of it is told then, but not how beautiful it is."
)
"""To be known with the first wish that is met."""


def in_words(wish: Wish, raga: Raga, known: Mapping[str, Raga]) -> str:
    """What is wished of a phrase of a raga."""
    if signs := wish.value("graver"):
        given = [note.swara for note in parse(wish.given).notes()]
        low = within_reach([replace(swara, octave=swara.octave - 1) for swara in given])
        if not low:
            return f"Play this phrase of {raga.name} in a graver mood: slower and drawn with meend."
        return (
            f"Play this phrase of {raga.name} in a graver mood: in a lower saptak, slower, drawn "
            f"with meend; {number_word(int(signs))} of these or more, and nothing livelier."
        )
    count, end = _count(wish), letter_name(wish.value("ends"))
    if taken := wish.value("takes-up"):
        return (
            f"Answer this phrase of {raga.name}: take up {counted(int(taken), 'swara')} of it in a "
            f"row, in {count}, and come home to {end}."
        )
    asked = ["begin on the swara that sounds", f"take {count}", f"end on {end}"]
    if wish.value("meend"):
        asked.insert(2, "draw one meend")
    if saptak := wish.value("reaches"):
        asked.insert(2, "go down into mandra" if saptak == "mandra" else "reach tar Sa or beyond")
    if other := wish.value("apart"):
        asked.append(f"make it clear that it is not {known[other].name}")
    own = f", {counted(int(wish.value('own')), 'swara')} in a row as the raga has them"
    return f"Make a phrase of {raga.name}{own}: {listed(asked)}."


def varying_in_words(wish: Wish) -> str:
    """What is wished of a phrase that is to be varied."""
    treatment = TREATMENT_WORDS[wish.value("only")]
    return (
        f"Play this phrase with the same swaras and vary {treatment} alone, at "
        f"{counted(LEAST_VARIED, 'swara')} or more."
    )


def _count(wish: Wish) -> str:
    fewest, _, most = wish.value("count").partition("-")
    if not most:
        return counted(int(fewest), "swara")
    return f"{number_word(int(fewest))} to {counted(int(most), 'swara')}"

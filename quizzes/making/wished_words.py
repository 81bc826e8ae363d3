"""A wish in words, as it is asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from audio.sargam import parse
from quizzes.making.comparing import TREATMENTS_SAID
from quizzes.making.keeping import LEAST_VARIED
from quizzes.making.wish import Wish
from quizzes.names import listed, number_word, swaras_counted
from quizzes.ragas.pieces import within_reach
from quizzes.ragas.raga import Raga
from quizzes.ragas.said import raga_name
from quizzes.ragas.words import letter_name
from words import say, to_say

WHY_GRAVER = to_say(
    "A grave mood lies low, moves slowly and is drawn with meend on few strokes; so at least it is "
    "commonly played."
)
HOW_TO_MAKE = to_say(
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
            return say(
                "Play this phrase of {raga} in a graver mood: slower and drawn with meend.",
                raga=raga_name(raga),
            )
        return say(
            "Play this phrase of {raga} in a graver mood: in a lower saptak, slower, drawn with "
            "meend; {number} of these or more, and nothing livelier.",
            raga=raga_name(raga),
            number=number_word(int(signs)),
        )
    count, end = _count(wish), letter_name(wish.value("ends"))
    if taken := wish.value("takes-up"):
        return say(
            "Answer this phrase of {raga}: take up {swaras} of it in a row, in {count}, and come "
            "home to {end}.",
            raga=raga_name(raga),
            swaras=swaras_counted(int(taken)),
            count=count,
            end=end,
        )
    asked = [
        say("begin on the swara that sounds"),
        say("take {swaras}", swaras=count),
        say("end on {swara}", swara=end),
    ]
    if wish.value("meend"):
        asked.insert(2, say("draw one meend"))
    if saptak := wish.value("reaches"):
        low = saptak == "mandra"
        asked.insert(2, say("go down into mandra") if low else say("reach tar Sa or beyond"))
    if other := wish.value("apart"):
        asked.append(say("make it clear that it is not {raga}", raga=raga_name(known[other])))
    return say(
        "Make a phrase of {raga}, {swaras} in a row as the raga has them: {wishes}.",
        raga=raga_name(raga),
        swaras=swaras_counted(int(wish.value("own"))),
        wishes=listed(asked),
    )


def varying_in_words(wish: Wish) -> str:
    """What is wished of a phrase that is to be varied."""
    return say(
        "Play this phrase with the same swaras and vary {treatment} alone, at {swaras} or more.",
        treatment=say(TREATMENTS_SAID[wish.value("only")]),
        swaras=swaras_counted(LEAST_VARIED),
    )


def _count(wish: Wish) -> str:
    fewest, _, most = wish.value("count").partition("-")
    if not most:
        return swaras_counted(int(fewest))
    return say(
        "{fewest} to {most}", fewest=number_word(int(fewest)), most=swaras_counted(int(most))
    )

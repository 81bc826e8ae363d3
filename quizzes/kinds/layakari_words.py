"""What is said of a theka in a layakari: which matras go into which, and how long it takes."""

from __future__ import annotations

from fractions import Fraction

from quizzes.kinds.layakari_sound import Said
from quizzes.names import listed, number_word
from quizzes.talas.cycle import mixed
from quizzes.talas.layakari import Layakari, in_words, takes
from words import say


def into(layakari: Layakari, ratio: Fraction) -> dict[str, str]:
    """Parts of what is said: in `tigun` `three` matras go into `one`."""
    return {
        "layakari": layakari.called.lower(),
        "number": number_word(ratio.numerator),
        "others": number_word(ratio.denominator),
    }


def divided(matras: int, ratio: Fraction) -> dict[str, str]:
    """Parts of what is said: `10` divided by `3`, that is `3 1/3`."""
    return {
        "matras": str(matras),
        "ratio": mixed(ratio),
        "takes": mixed(takes(matras, ratio)),
    }


def takes_told(layakari: Layakari, said: Said) -> str:
    """How long the theka takes in it, as a sentence."""
    return say(
        "In {layakari} {number} matras go into {others}: {matras} matras take {matras} divided by "
        "{ratio}, that is {takes}.",
        **into(layakari, said.ratio),
        **divided(said.tala.matras, said.ratio),
    )


def taught_otherwise(layakari: Layakari) -> list[str]:
    """What others teach under the same name, as a sentence; none where they do not."""
    if not layakari.others:
        return []
    notes = listed([in_words(other.ratio) for other in layakari.others], "or")
    return [say("Some call {notes} {layakari}.", notes=notes, layakari=layakari.called.lower())]

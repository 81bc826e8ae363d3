"""`strokes:gat:masitkhani`: which gat is played, over the theka from the matra where it begins."""

from __future__ import annotations

from collections.abc import Mapping

from audio.mizrab import Gat, mizrab
from audio.score import Score
from quizzes.bols import mizrab_bols
from quizzes.fresh import Fresh
from quizzes.kinds.strokes_named import Named, Pattern
from quizzes.names import capital
from quizzes.question import Setting
from quizzes.right_hand import Hand, fresh_hand, written
from words import kept_as_said, say, to_say

MATRAS = 16
"""Of the cycle, which a line fills by being said twice."""
HEARD_MATRAS = 27
"""From the first sam until the gat that begins latest has filled a cycle: the same for each."""
TEMPO = (104.0, 118.0)
"""Between the tempos of slow and fast gats, so that tempo does not tell one from the other."""


class Gats(Named):
    """Gats by the strokes of their line, said as often as it fills the cycle."""

    way, cluster, in_order = "gat", "strokes gat", False
    prompt = to_say("Which gat is this? Go by its strokes, not by its tempo.")
    about = to_say(
        "A gat is known by the strokes of its right hand and by where sam falls among them."
    )

    def patterns(self) -> Mapping[str, Pattern]:
        return _gats()

    def cue(self, pattern: str, fresh: Fresh, setting: Setting) -> tuple[Score, str]:
        hand = _hand(fresh, setting)
        gat = _gat(pattern)
        # The theka runs from sam whichever gat comes, and as long, so that it tells nothing.
        tabla = hand.theka(gat.tala, matras=HEARD_MATRAS + 1)
        score = hand.score(_line(gat), waits_matras=gat.from_matra - 1, tabla=tabla)
        return score, written(_line(gat), hand)

    def plain(self, pattern: str, fresh: Fresh, setting: Setting) -> Score:
        return _played(_gat(pattern), _hand(fresh, setting).explained())


def _hand(fresh: Fresh, setting: Setting) -> Hand:
    return fresh_hand(fresh, setting, tempo=TEMPO, swaras=4)


def _line(gat: Gat) -> list[str]:
    return gat.bols.split() * gat.times


def _played(gat: Gat, hand: Hand) -> Score:
    """The line over the theka, without which sam is not heard."""
    tabla = hand.theka(gat.tala, matras=MATRAS, from_matra=gat.from_matra)
    return hand.score(_line(gat), tabla=tabla)


def _gat(name: str) -> Gat:
    return next(gat for gat in mizrab().gats if gat.name == name)


@kept_as_said()
def _gats() -> Mapping[str, Pattern]:
    """By name, in the language and letters in use."""
    return {
        gat.name: Pattern(
            id=gat.name,
            name=say("the strokes of {gat}", gat=say(gat.name)),
            label=capital(say(gat.name)),
            about=_about(gat),
        )
        for gat in mizrab().gats
    }


def _about(gat: Gat) -> str:
    number = gat.on_sam(MATRAS)
    return say(
        "{gat}, {about}: {bols}. Here it begins on matra {matra} of {tala}, and bol {number}, "
        "{bol}, falls on sam.",
        gat=capital(say(gat.name)),
        about=say(gat.about),
        bols=mizrab_bols(gat.bols),
        matra=gat.from_matra,
        tala=say(gat.tala),
        number=number,
        bol=mizrab_bols(gat.bols.split()[number - 1]),
    )

"""`strokes:chikari:3` and `strokes:jhala:4-2`: how many chikari follow a note, and which jhala."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from audio.mizrab import CHIKARI, NOTE, REST, Jhala, mizrab
from audio.score import Score
from audio.tuning import SITAR_SA_HZ
from quizzes.bols import mizrab_bols
from quizzes.fresh import Fresh
from quizzes.kinds.strokes_named import Named, Pattern
from quizzes.names import capital, counted
from quizzes.question import Setting
from quizzes.right_hand import Hand, fresh_hand, written
from words import kept_as_said, say, say_as, to_say

FIRST_TEMPO = (225.0, 285.0)
"""Strokes a minute, each a matra here, until all patterns that are asked for have been met."""
TEMPO = (225.0, 420.0)
"""Later, up to near the tempo of a jhala as it is played: four strokes in some 0.6 s (common
practice)."""
STROKES = 24
"""Three times the eight strokes that each jhala fills with its groups."""
COUNT_STROKES = (20, 25)
"""Between these at random, since 2, 3, 4 and 5 strokes have no small number in common."""
HELD_MATRAS = 3
"""The last note rings on."""
EXPLAINED_STROKES = 16
EXPLAINED_SHARE = 0.7
"""Of its tempo at which an explanation plays a jhala."""
LOW_SA_HZ = SITAR_SA_HZ / 2
MIDDLE_SHARE = 0.66
"""Of all strokes, those on the chikari."""
WEAKER_DB, BRIGHTER = (0.0, 6.9), (-0.14, 0.24)
"""How much weaker the chikari are, and how much brighter the whole is played, times their share of
the strokes above the middle one: at a low Sa, and an octave higher. Without this the whole is the
brighter the more chikari there are; with it neither its centroid by amplitude nor that by power
tells (measured)."""
CHIKARI_SPREAD_DB = 1.5
"""At random from question to question, so that their level tells nothing either."""
BASIC = (3,)
"""The jhala with which others are compared."""


class _Jhala(Named):
    """Notes and chikari in groups, such as (3,) or (4, 2): so many chikari after each note."""

    def cue(self, pattern: str, fresh: Fresh, setting: Setting) -> tuple[Score, str]:
        groups = _groups(pattern)
        line = filled(groups, self.strokes(fresh))
        hand = self._hand(fresh, setting)
        spread_db = fresh.between(-CHIKARI_SPREAD_DB, CHIKARI_SPREAD_DB)
        hand = _balanced(hand, groups, spread_db)
        return hand.score(line), written(line, hand)

    def plain(self, pattern: str, fresh: Fresh, setting: Setting) -> Score:
        self.strokes(fresh)
        hand = self._hand(fresh, setting).explained(share=EXPLAINED_SHARE)
        return hand.score(filled(_groups(pattern), EXPLAINED_STROKES))

    def strokes(self, fresh: Fresh) -> int:
        raise NotImplementedError

    def _hand(self, fresh: Fresh, setting: Setting) -> Hand:
        known = {skill.id for skill in self.skills()} <= set(setting.met)
        return fresh_hand(fresh, setting, tempo=TEMPO if known else FIRST_TEMPO, swaras=5)


class Counts(_Jhala):
    """`strokes:chikari:3`: how many chikari follow each note."""

    way, cluster, in_order = "chikari", "strokes jhala", True
    prompt = to_say("How many chikari follow each note?")
    about = to_say("In a jhala the chikari, the high drone strings, are struck after each note.")

    def patterns(self) -> Mapping[str, Pattern]:
        return _counts()

    def strokes(self, fresh: Fresh) -> int:
        return fresh.one_of(range(COUNT_STROKES[0], COUNT_STROKES[1] + 1))


class Jhalas(_Jhala):
    """`strokes:jhala:4-2`: how eight strokes are grouped, such as one and four, one and two."""

    way, cluster, in_order = "jhala", "strokes jhala", False
    prompt = to_say("Which jhala is this?")
    about = to_say(
        "A jhala is one row of notes and chikari over and over, here to each eight strokes."
    )

    def patterns(self) -> Mapping[str, Pattern]:
        return _jhalas()

    def strokes(self, fresh: Fresh) -> int:
        return STROKES


@kept_as_said()
def _counts() -> Mapping[str, Pattern]:
    """By how many chikari, in the order of the data: the basic jhala first; in the language and
    letters in use."""
    named = {_groups_of(jhala.pattern): jhala for jhala in mizrab().jhalas}
    return {
        str(count): _pattern((count,), jhala, capital(_chikari(count)))
        for (count, *more), jhala in named.items()
        if not more
    }


@kept_as_said()
def _jhalas() -> Mapping[str, Pattern]:
    """Those that differ in how they group eight strokes; how many chikari is asked by itself."""
    named = {_groups_of(jhala.pattern): jhala for jhala in mizrab().jhalas}
    return {
        _id(groups): _pattern(groups, jhala, capital(say(jhala.name)))
        for groups, jhala in named.items()
        if groups == BASIC or len(groups) > 1
    }


def _pattern(groups: Sequence[int], jhala: Jhala, label: str) -> Pattern:
    return Pattern(
        id=_id(groups),
        name=say("the jhala of {jhala}", jhala=say(jhala.name)),
        label=label,
        about=say("{jhala}: {strokes}.", jhala=label, strokes=_strokes(jhala)),
    )


def _strokes(jhala: Jhala) -> str:
    """`note chikari chikari`."""
    note = say_as("a stroke on the playing string", "note")
    return " ".join(note if bol == NOTE else mizrab_bols(bol) for bol in jhala.pattern)


def filled(groups: Sequence[int], strokes: int) -> tuple[str, ...]:
    """The groups over and over, as often as they fit whole, then a note that is held to the end."""
    once = [bol for count in groups for bol in ("da", *[CHIKARI] * count)]
    line = once * (strokes // len(once))
    return (*line, "da", *[REST] * (strokes - len(line) + HELD_MATRAS))


def _balanced(hand: Hand, groups: Sequence[int], spread_db: float) -> Hand:
    """As bright whatever the groups, the chikari stronger by `spread_db` than usual."""
    over = sum(groups) / (sum(groups) + len(groups)) - MIDDLE_SHARE
    up = min(max(math.log2(hand.sa_hz / LOW_SA_HZ), 0.0), 1.0)
    weaker_db, brighter = (low + (high - low) * up for low, high in (WEAKER_DB, BRIGHTER))
    return replace(
        hand,
        chikari_db=round(spread_db - weaker_db * over, 2),
        brightness=round(hand.brightness + brighter * over, 3),
    )


def _groups_of(pattern: Sequence[str]) -> tuple[int, ...]:
    """How many chikari follow each note of a jhala's pattern."""
    notes = [at for at, bol in enumerate(pattern) if bol == NOTE]
    return tuple(end - at - 1 for at, end in pairwise([*notes, len(pattern)]))


def _id(groups: Sequence[int]) -> str:
    return "-".join(map(str, groups))


def _groups(pattern: str) -> tuple[int, ...]:
    return tuple(map(int, pattern.split("-")))


def _chikari(count: int) -> str:
    return counted(count, "{number} chikari", "{number} chikari")

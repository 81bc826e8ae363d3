"""Patterns of the right hand that have names: three ways to ask `strokes`.

Which gat, how many chikari after the note, which jhala. Whatever is right, as many matras sound
at one tempo: a pattern is said again until they are full.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import groupby, pairwise

from audio.mizrab import CHIKARI, NOTE, REST, Gat, mizrab
from audio.score import Score
from quizzes.errors import UnknownSkill
from quizzes.fresh import Fresh
from quizzes.names import capital, counted
from quizzes.question import Choice, Explanation, Mark, Question, Setting, Skill
from quizzes.right_hand import Hand, fresh_hand, written

GAT_MATRAS = 16
GAT_TEMPO = (88.0, 104.0)
"""Between the tempos of slow and fast gats, so that tempo does not tell one from the other."""
COUNTS = (1, 2, 3, 4)
COUNTS_MET = (3, 1, 2, 4)
"""In the order in which they are met: the basic jhala first."""
JHALA_TEMPO = (225.0, 285.0)
"""Strokes a minute, each a matra here."""
JHALA_STROKES = 24
"""All jhala patterns that are asked fill it exactly."""
COUNT_STROKES = (20, 25)
"""Between these at random, since 2, 3, 4 and 5 strokes have no small number in common."""
HELD_MATRAS = 3
"""The last note rings on."""
EXPLAINED_STROKES = 16
EXPLAINED_SHARE = 0.7
"""Of its tempo at which an explanation plays a jhala."""

_MOST_WRONG = 3


@dataclass(frozen=True, slots=True)
class Pattern:
    """One of the patterns that are told apart."""

    id: str
    name: str
    label: str
    strokes: str
    """What is struck, in words that stand after the label."""

    @property
    def about(self) -> str:
        return f"{self.label}: {self.strokes}."


class _Named:
    """What the three have in common; each says which patterns it has and how they are played."""

    way: str
    prompt: str
    about: str
    """What they are, in a sentence that presents them."""
    cluster: str
    in_order: bool
    """Whether the choices have an order of their own; else they are shuffled."""

    def patterns(self) -> Mapping[str, Pattern]:
        raise NotImplementedError

    def cue(self, pattern: str, fresh: Fresh, setting: Setting) -> tuple[Score, str]:
        """The cue and how it is written; draws the same whatever the pattern."""
        raise NotImplementedError

    def plain(self, pattern: str, fresh: Fresh, setting: Setting) -> Score:
        """As an explanation plays it; `fresh` is at the same place as for the cue."""
        raise NotImplementedError

    def skills(self) -> tuple[Skill, ...]:
        return tuple(
            Skill(
                id=f"strokes:{self.way}:{pattern.id}",
                kind="strokes",
                name=pattern.name,
                family="perception",
                cluster=self.cluster,
                chance=1 / min(len(self.patterns()), 1 + _MOST_WRONG),
                seconds=16.0,
            )
            for pattern in self.patterns().values()
        )

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        pattern = self._asked(skill)
        cue, sargam = self.cue(pattern.id, Fresh(skill, seed), setting)
        offered = self._offered(pattern, Fresh(f"{skill} choices", seed), setting)
        return Question(
            kind="strokes",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=self.prompt,
            choices=tuple(
                Choice(each.id, each.label, f"strokes:{self.way}:{each.id}") for each in offered
            ),
            right=(pattern.id,),
            cue=cue,
            sargam=sargam,
            possible=tuple(
                each.id
                for each in offered
                if each == pattern or f"strokes:{self.way}:{each.id}" in setting.met
            ),
        )

    def _offered(self, right: Pattern, fresh: Fresh, setting: Setting) -> list[Pattern]:
        """Rivals first, then what else has been met; never fewer than two in all."""
        known = [*setting.rivals, *fresh.shuffled(setting.met)]
        ids = [skill.rpartition(":")[2] for skill in known if self._is_ours(skill)]
        wrong = [self.patterns()[name] for name in dict.fromkeys(ids) if name != right.id]
        if not wrong:
            wrong = [fresh.one_of([p for p in self.patterns().values() if p != right])]
        offered = [right, *wrong[:_MOST_WRONG]]
        if not self.in_order:
            return fresh.shuffled(offered)
        return sorted(offered, key=lambda pattern: pattern.id)

    def _is_ours(self, skill: str) -> bool:
        head, _, name = skill.rpartition(":")
        return head == f"strokes:{self.way}" and name in self.patterns()

    def mark(self, question: Question, given: str) -> Mark:
        choice = question.choice(given)
        return Mark(1.0) if given in question.right else Mark(0.0, heard=choice.skill)

    def explain(self, question: Question, given: str) -> Explanation:
        right, answered = self._asked(question.skill), self.patterns()[given]
        why = right.about
        if answered != right:
            why += f" {answered.about}"
        return Explanation(
            right_label=right.label,
            given_label=answered.label,
            why=why,
            right_cue=self._played(question, right),
            given_cue=None if answered == right else self._played(question, answered),
        )

    def _played(self, question: Question, pattern: Pattern) -> Score:
        return self.plain(pattern.id, Fresh(question.skill, question.seed), question.setting)

    def introduce(self, question: Question) -> str:
        return f"{self.about} {self._asked(question.skill).about}"

    def _asked(self, skill: str) -> Pattern:
        """Raises UnknownSkill."""
        if not self._is_ours(skill):
            raise UnknownSkill(
                f"{skill!r} is not asked; write strokes:{self.way}: and one of "
                f"{', '.join(self.patterns())}"
            )
        return self.patterns()[skill.rpartition(":")[2]]


class Gats(_Named):
    """`strokes:gat:masitkhani`: over the theka from the matra where the gat begins."""

    way, cluster, in_order = "gat", "strokes gat", False
    prompt = "Which gat is this? Go by its strokes, not by its tempo."
    about = "A gat is known by the strokes of its right hand."

    def patterns(self) -> Mapping[str, Pattern]:
        return _gats()

    def cue(self, pattern: str, fresh: Fresh, setting: Setting) -> tuple[Score, str]:
        gat, hand = _gat(pattern), self._hand(fresh, setting)
        tabla = hand.theka(gat.tala, matras=GAT_MATRAS, from_matra=gat.from_matra)
        line = gat.bols.split() * gat.times
        return hand.score(line, tabla=tabla), written(line, hand)

    def plain(self, pattern: str, fresh: Fresh, setting: Setting) -> Score:
        return self._hand(fresh, setting).explained().score(_gat(pattern).bols.split())

    def _hand(self, fresh: Fresh, setting: Setting) -> Hand:
        return fresh_hand(fresh, setting, tempo=GAT_TEMPO, swaras=4)


def _gat(name: str) -> Gat:
    return next(gat for gat in mizrab().gats if gat.name == name)


class _Jhala(_Named):
    """Notes and chikari in groups, such as (3,) or (4, 2): so many chikari after each note."""

    def cue(self, pattern: str, fresh: Fresh, setting: Setting) -> tuple[Score, str]:
        line = filled(_groups(pattern), self.strokes(fresh))
        hand = self._hand(fresh, setting)
        return hand.score(line), written(line, hand)

    def plain(self, pattern: str, fresh: Fresh, setting: Setting) -> Score:
        self.strokes(fresh)
        hand = self._hand(fresh, setting).explained(share=EXPLAINED_SHARE)
        return hand.score(filled(_groups(pattern), EXPLAINED_STROKES))

    def strokes(self, fresh: Fresh) -> int:
        raise NotImplementedError

    def _hand(self, fresh: Fresh, setting: Setting) -> Hand:
        return fresh_hand(fresh, setting, tempo=JHALA_TEMPO, swaras=5)


class Counts(_Jhala):
    """`strokes:chikari:3`: how many chikari follow each note."""

    way, cluster, in_order = "chikari", "strokes jhala", True
    prompt = "How many chikari follow each note?"
    about = "In a jhala the chikari, the high drone strings, are struck after each note."

    def patterns(self) -> Mapping[str, Pattern]:
        return _counts()

    def strokes(self, fresh: Fresh) -> int:
        return fresh.one_of(range(COUNT_STROKES[0], COUNT_STROKES[1] + 1))


class Jhalas(_Jhala):
    """`strokes:jhala:4-2`: one note and four chikari, one note and two."""

    way, cluster, in_order = "jhala", "strokes jhala", False
    prompt = "Which jhala is this?"
    about = "A jhala is one row of notes and chikari over and over."

    def patterns(self) -> Mapping[str, Pattern]:
        return _jhalas()

    def strokes(self, fresh: Fresh) -> int:
        return JHALA_STROKES


@cache
def _gats() -> Mapping[str, Pattern]:
    return {
        gat.name: Pattern(
            gat.name,
            f"the strokes of {gat.name}",
            capital(gat.name),
            gat.bols,
        )
        for gat in mizrab().gats
    }


@cache
def _counts() -> Mapping[str, Pattern]:
    return {
        str(count): Pattern(
            str(count), _in_words((count,)), capital(_chikari(count)), _row((count,))
        )
        for count in COUNTS_MET
    }


@cache
def _jhalas() -> Mapping[str, Pattern]:
    groups = [_groups_of(jhala.pattern) for jhala in mizrab().jhalas]
    return {
        _id(each): Pattern(
            _id(each), f"the jhala of {_in_words(each)}", capital(_in_words(each)),
            _row(each),
        )
        for each in groups
    }  # fmt: skip


def filled(groups: Sequence[int], strokes: int) -> tuple[str, ...]:
    """The groups over and over, as often as they fit whole, then a note that is held to the end."""
    once = [bol for count in groups for bol in ("da", *[CHIKARI] * count)]
    line = once * (strokes // len(once))
    return (*line, "da", *[REST] * (strokes - len(line) + HELD_MATRAS))


def _groups_of(pattern: Sequence[str]) -> tuple[int, ...]:
    """How many chikari follow each note of a jhala's pattern."""
    notes = [at for at, bol in enumerate(pattern) if bol == NOTE]
    return tuple(end - at - 1 for at, end in pairwise([*notes, len(pattern)]))


def _row(groups: Sequence[int]) -> str:
    """`note chikari chikari`."""
    return " ".join(bol for count in groups for bol in (NOTE, *[CHIKARI] * count))


def _id(groups: Sequence[int]) -> str:
    return "-".join(map(str, groups))


def _groups(pattern: str) -> tuple[int, ...]:
    return tuple(map(int, pattern.split("-")))


def _chikari(count: int) -> str:
    return counted(count, "chikari").removesuffix("s")


def _in_words(groups: Sequence[int]) -> str:
    """`twice one note and two chikari, then one note and one chikari`."""
    parts = []
    for count, run in groupby(groups):
        times = len(list(run))
        often = {1: "", 2: "twice "}.get(times, f"{times} times ")
        parts.append(f"{often}one note and {_chikari(count)}")
    return ", then ".join(parts)

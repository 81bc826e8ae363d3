"""A session that asks what a test wants asked: real questions, no plan, no log, no sound."""

from __future__ import annotations

from audio.speakers import Playing
from practice import Outcome, Step, Summary
from quizzes.catalogue import kind_of, make_question
from quizzes.kept import skills_of
from quizzes.question import Setting
from tests.window import written

TWELVE = tuple(
    f"swara:{text}" for text in ["S", "r", "R", "g", "G", "m", "M", "P", "d", "D", "n", "N", "S'"]
)
FIVE = tuple(f"swara:{text}" for text in ["S", "R", "G", "m", "P"])
WIDE = (*TWELVE, *(f"swara:{text}" for text in ["P,", "D,", "N,", "R'", "G'", "m'"]))
GAPS = tuple(f"gap:{pair}:down" for pair in ["r-d", "g-d", "m-n", "M-N", "R-P"])


def skills_that_begin(beginning):
    """The ids of the skills that begin so, in their usual order."""
    skills = skills_of(beginning.partition(":")[0])
    return tuple(skill.id for skill in skills if skill.id.startswith(beginning))


def step(skill, *, met=(), number=1, new=False, names="swara", seed=3, deck=""):
    """One step of a session that asks `skill` of a student who has met the skills `met`; `deck` is
    the text of a deck's question."""
    setting = Setting(sa_hz=138.59, met=met, names=names, tuning="just", deck=deck)
    question = make_question(skill, seed=seed, setting=setting)
    return Step(
        number=number,
        question=question,
        why="heard as tivra Ma three times this week",
        introduction=kind_of(skill).introduce(question) if new else None,
        chance=question.chance,
        predicted=0.5,
        reason="settling 1",
    )


def _kind(question):
    return written if question.kind in written.KINDS else kind_of(question.skill)


SILENT = Playing(0.0)
"""Has ended as soon as it is asked for."""


class ScriptedSession:
    """Asks the steps it is given, in order; `played` says how often it was listened to."""

    def __init__(self, *steps):
        self._steps = list(steps)
        self._step = None
        self.introducing = False
        self.ready = True
        self.seconds_left = 840.0
        self.played = self.hushed = 0
        self.played_right = self.played_given = self.played_slowly = 0
        self.playing = SILENT
        self.given = []
        self.own, self.told = [], []
        """Lines and cues that were to be heard."""
        self.ended = False

    def next(self):
        self._step = self._steps.pop(0) if self._steps else None
        self.introducing = self._step is not None and self._step.introduction is not None
        return self._step

    @property
    def shown(self):
        question = self._step.question
        return _kind(question).explain(question, question.right[0]) if self.introducing else None

    def play(self):
        self.played += 1
        return self.playing

    def ask(self):
        self.introducing = False

    def answer(self, given):
        question = self._step.question
        kind = _kind(question)
        outcome = Outcome(kind.mark(question, given), kind.explain(question, given))
        self.given.append(given)
        return outcome

    def play_right(self):
        self.played_right += 1
        return self.playing

    def play_slowly(self):
        self.played_slowly += 1
        return self.playing

    def hear_own(self, line):
        self._step.question.line_given(line)
        self.own.append(line)
        return self.playing

    def play_told(self, cue):
        self.told.append(cue)
        return self.playing

    def hush(self):
        self.hushed += 1

    def seconds_of(self, score):
        return score.duration_s

    def cue_ms(self, moment):
        began_at = self.playing.ends_at - self.seconds_of(self._step.question.cue)
        return round((moment - began_at) * 1000)

    def cue_ms_at(self, second):
        return round(second * 1000)

    def play_given(self):
        self.played_given += 1
        return SILENT

    def end(self):
        self.ended = True
        return Summary(len(self.given), 0, 14.0, (), (), "Rest your ears.")

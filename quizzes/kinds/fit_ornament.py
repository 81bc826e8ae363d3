"""`fit:ornament:slow`: the same phrase with much ornament and with little; which suits a slow gat?

Both are as long and as loud, at one middle tempo, so that only the left hand tells.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from audio.line import Beat, Line, Tone
from audio.playing import chains_of
from audio.score import Score, Stroke
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.fit_way import FitWay, given_as_reason, phrase_in, played
from quizzes.names import capital, counted
from quizzes.question import Question, Setting
from quizzes.ragas.asking import label_of
from quizzes.ragas.raga import Raga
from quizzes.ragas.several import (
    one_after_another,
    place_of,
    places,
    read_apart,
    written_apart,
)
from quizzes.ragas.sounding import TEMPOS as PACES
from quizzes.ragas.sounding import cue_of, hand_of
from quizzes.ragas.tradition import ragas
from quizzes.stages.asking import raga_for
from quizzes.stages.fitting import LITTLE, MUCH, Fit
from quizzes.stages.loudness import integrated_lufs, turned
from quizzes.stages.stage import Form
from quizzes.stages.tradition import form
from words import say, say_as

GAIT = "grave"
"""Whose line has most ornament."""
DRAWN, ENOUGH = 12, 3
"""Of so many phrases the shortest with so many ornaments is taken, else the most ornamented."""
PAUSE_MATRAS = Fraction(3, 2)
TAKE_LUFS, LOUDNESS_SPREAD_LU = -25.0, 1.0
"""How loud each of the two is, without the drone, and how far from it at random."""
LOST_LU = {MUCH: 0.4, LITTLE: 0.0}
"""By how much a take is softer than it is reckoned to be: measured over 50 of each."""
TEMPOS = {"vilambit": 52.0, "madhya": 90.0, "drut": 170.0}
"""In matras a minute: at which an explanation plays a phrase, by laya."""
STAGES = {"vilambit": "vilambit-gat", "drut": "drut-gat"}


class OrnamentWay(FitWay):
    asks = "ornament"
    chance = 1 / 2
    seconds = 20.0

    def agrees(self, rule: Fit, known: Form) -> bool:
        """Whether the slow gat has more ornament than the fast one in this tradition, too."""
        slow, fast = (known.stages[STAGES[laya]].heard.ornaments for laya in ("vilambit", "drut"))
        return sum(slow) > sum(fast)

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        fresh, rule = Fresh(skill, seed), self.rule(skill, setting)
        raga = raga_for(fresh, setting, form(setting.tradition))
        takes = _takes(fresh, raga)
        order = fresh.shuffled([MUCH, LITTLE])
        lines = [takes[each] for each in order]
        return self.asked(
            skill,
            seed,
            setting,
            prompt=say(rule.best),
            choices=places(len(order)),
            right=places(len(order))[order.index(rule.suits[0])].id,
            cue=_alike(
                fresh,
                cue_of(
                    fresh,
                    one_after_another(lines, PAUSE_MATRAS),
                    sa_hz=setting.sa_hz,
                    tuning=setting.tuning,
                    drone=raga.drone,
                    tempo=PACES["medium"],
                    hand=hand_of(GAIT),
                    raga=raga,
                ),
                order,
                first=len(list(chains_of(lines[0]))),
            ),
            sargam=written_apart(lines),
            detail={"raga": raga.id},
        )

    def explain(self, question: Question, given: str) -> Explanation:
        rule, right = self.rule(question.skill, question.setting), question.right[0]
        lines = read_apart(question.sargam)
        why = [_why([ornamented(line) for line in lines], rule)]
        if given != right:
            why.append(say(rule.why_not))
        return Explanation(
            right_label=label_of(question, right),
            given_label=label_of(question, given),
            why=given_as_reason(*why),
            right_cue=_played(question, lines[place_of(right)], rule.laya),
            given_cue=None
            if given == right
            else _played(question, lines[place_of(given)], rule.laya),
            given_plays="" if given == right else say("that way of playing it at such a tempo"),
        )

    def introduce(self, question: Question) -> str:
        rule = self.rule(question.skill, question.setting)
        return f"{say(rule.about)} {given_as_reason(capital(say(rule.why)))}"


def ornamented(line: Line) -> int:
    """How many of its notes the left hand draws, touches or swings."""
    tones = [note.tone for note in line.notes()]
    return sum(bool(tone.by or tone.touches or tone.sway or tone.shaken) for tone in tones)


def _takes(fresh: Fresh, raga: Raga) -> dict[str, Line]:
    """A phrase as the raga wants it when grave, and the same swaras, as long, struck plainly."""
    drawn = [phrase_in(fresh, raga, GAIT) for _ in range(DRAWN)]
    much = max(drawn, key=lambda line: (min(ornamented(line), ENOUGH), -line.matras))
    return {MUCH: much, LITTLE: Line(tuple(map(_plain, much.items)))}


def _plain(item: Beat | str) -> Beat | str:
    if isinstance(item, str):
        return item
    parts = tuple(Tone(part.swara) if isinstance(part, Tone) else part for part in item.parts)
    return replace(item, parts=parts)


def _alike(fresh: Fresh, cue: Score, order: Sequence[str], *, first: int) -> Score:
    """The cue with its takes, of which one has the first so many strokes, equally loud: what is
    struck oftener would be louder."""
    spread = LOUDNESS_SPREAD_LU
    takes = [
        _levelled(cue, strokes, TAKE_LUFS + LOST_LU[take] + fresh.between(-spread, spread))
        for take, strokes in zip(order, (cue.strokes[:first], cue.strokes[first:]), strict=True)
    ]
    return replace(cue, strokes=tuple(stroke for take in takes for stroke in take))


def _levelled(cue: Score, strokes: tuple[Stroke, ...], lufs: float) -> tuple[Stroke, ...]:
    begins = strokes[0].onset_s
    alone = replace(
        cue,
        strokes=tuple(replace(each, onset_s=each.onset_s - begins) for each in strokes),
        drone=None,
    )
    return turned(Score(cue.sa_hz, strokes), lufs - integrated_lufs(alone)).strokes


def _why(counts: Sequence[int], rule: Fit) -> str:
    """Which of the two has more, and why that suits or does not."""
    few, many = min(counts), max(counts)
    told = {
        "many": _ornaments(many),
        "few": _ornaments(few) if few else say_as("ornaments", "none"),
        "why": say(rule.why),
    }
    if counts.index(many) == 0:
        return say("The first has {many}, the second {few}: {why}", **told)
    return say("The second has {many}, the first {few}: {why}", **told)


def _ornaments(count: int) -> str:
    return counted(count, "{number} ornament", "{number} ornaments")


def _played(question: Question, line: Line, laya: str) -> Score:
    raga = ragas(question.setting.tradition)[question.detail["raga"]]
    gait = GAIT if laya == "vilambit" else "fast"
    return played(question, raga, line, gait=gait, tempo=TEMPOS[laya])

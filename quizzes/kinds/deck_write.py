"""Questions of a deck that let a phrase be written in sargam, with what the teacher says counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from audio.line import Beat, Line, Tone
from audio.sargam import parse, write
from audio.score import Score
from audio.tuning import SWARAS, Swara
from quizzes.contours import THATS
from quizzes.decks.cues import EXPLAINED_TEMPO, sounded
from quizzes.decks.cues import explained as played_by
from quizzes.decks.deck import Asked
from quizzes.decks.posed import Posed
from quizzes.dictation.beats import over_beats
from quizzes.dictation.explaining import explained, mark_of
from quizzes.dictation.places import LENGTH, ORNAMENT, SWARA
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.deck_form import asked_in, entry_of, question_of, slow_cue, told, why_of
from quizzes.names import capital, swara_name
from quizzes.question import Choice, Mark, Question, Setting
from words import in_script, say

PARTS = {"lengths": LENGTH, "ornaments": ORNAMENT}
SIGNS = {"lengths": "lengths", "ornaments": "hands"}
"""By what counts: the part that is marked, and the signs that may be written."""
MORE_PLACES = 3
"""So many swaras too many can be written."""
READING_S, EACH_S = 8.0, 3.0


class WritePhrase:
    """The line of sargam that sounds is to be written."""

    def make(self, posed: Posed, skill: str, *, seed: int, setting: Setting) -> Question:
        entry, fresh = entry_of(posed), Fresh(skill, seed)
        line = parse(entry.cue.sargam)
        cue = sounded(fresh, entry.cue, setting)
        if "lengths" in entry.counts:
            matras = float(line.matras)
            cue = replace(cue, score=over_beats(cue.score, matras=matras, tempo=cue.tempo))
        count = _count(entry)
        return question_of(
            entry,
            skill,
            fresh,
            seed=seed,
            setting=setting,
            cue=cue,
            choices=tuple(
                Choice(letter, capital(swara_name(Swara.read(letter))))
                for letter in _letters(skill, line)
            ),
            right=(write(_unshaded(line)),),
            answer_on="sargam",
            detail={"tempo": cue.tempo},
            luck=self.chance(entry),
            places=count + MORE_PLACES,
            fewest=-(-count // 2),
            signs=("saptaks", *(SIGNS[word] for word in entry.counts)),
        )

    def mark(self, question: Question, given: str) -> Mark:
        return mark_of(question, given, _counts(question))

    def explain(self, question: Question, given: str) -> Explanation:
        over = "lengths" in asked_in(question).counts
        found = explained(
            question,
            given,
            _counts(question),
            played=partial(_played, question, over=over),
            alone=partial(_played, question, over=False),
        )
        entry = asked_in(question)
        why = why_of(entry, [found.why] if found.why else [])
        return replace(found, why=why, slow_cue=slow_cue(question))

    def introduce(self, question: Question) -> str:
        return told(
            asked_in(question), say("The phrase is {phrase}", phrase=in_script(question.right[0]))
        )

    def chance(self, entry: Asked) -> float:
        """Of any line of a scale that is as long."""
        return float(len(THATS[0].split())) ** -_count(entry)

    def seconds(self, entry: Asked) -> float:
        return READING_S + EACH_S * _count(entry) * (1 + len(entry.counts))


def _unshaded(line: Line) -> Line:
    """The line without loudness and tone, which are heard but not asked for."""
    return Line(tuple(_plain(item) if isinstance(item, Beat) else item for item in line.items))


def _plain(beat: Beat) -> Beat:
    parts = (
        replace(part, loud=0, tone=0) if isinstance(part, Tone) else part for part in beat.parts
    )
    return replace(beat, parts=tuple(parts))


def _count(entry: Asked) -> int:
    return sum(1 for _ in parse(entry.cue.sargam).notes())


def _counts(question: Question) -> tuple[str, ...]:
    return (SWARA, *(PARTS[word] for word in asked_in(question).counts))


def _letters(skill: str, line: Line) -> Sequence[str]:
    """The swaras of the phrase and those of a scale that has as many of them as any, from low to
    high; the same each time."""
    needed = {swara.letter for note in line.notes() for swara in note.tone.swaras}
    held = [len(needed & set(that.split())) for that in THATS]
    fitting = [that for that, many in zip(THATS, held, strict=True) if many == max(held)]
    offered = needed | set(Fresh(skill, seed=0).one_of(fitting).split())
    return sorted(offered, key=SWARAS.index)


def _played(question: Question, line: Line, *, over: bool) -> Score:
    """As an explanation plays it, over the beat where lengths are written."""
    cue = asked_in(question).cue
    score = played_by(write(line), cue, question.setting, question.cue)
    if not over:
        return score
    tempo = cue.tempo or EXPLAINED_TEMPO
    return over_beats(score, matras=float(line.matras), tempo=tempo, before=0)

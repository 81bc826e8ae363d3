"""What kinds share in which a phrase is made: how it is marked, and what is found of it.

Credit is 1 where the whole wish and the raga are kept; else it is what is kept of the wish times
the share of the phrase that holds in the raga and of the swaras that make a phrase at all, which
is always less, above what is earned by who reads the wish and does not know the raga. Of a phrase
that is to be varied the given one, sent as it is, earns nothing. Nothing says how well a phrase
sounds.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from audio.line import Line
from audio.playing import score_of
from audio.sargam import parse, write
from audio.score import Score
from audio.tuning import SWARAS, load_tuning
from quizzes.explanation import Explanation, Finding
from quizzes.making.keeping import Kept
from quizzes.making.opinion import OTHERWISE, RIGHT, Said
from quizzes.making.plainly import plainly
from quizzes.making.trying import Tried
from quizzes.names import capital
from quizzes.question import Choice, Question
from quizzes.ragas.asking import drawn_in
from quizzes.ragas.raga import Raga
from quizzes.ragas.sounding import tuned_to
from quizzes.ragas.words import letter_name
from words import in_script, say

PLACES = 12
"""So many swaras can be written."""
BLIND_SHARE = 0.5
"""Lines of who reads the wish and does not know the raga have of wish and raga in the mean 0.19 to
0.30 where they go at random, and 0.37 to 0.51 where they keep to Sa, Pa and what the wish names
(measured on 180 lines of each sort of wish, drawn as `luck.py` has it)."""


def keys() -> tuple[Choice, ...]:
    """All twelve swaras, so that none tells which are the raga's."""
    return tuple(Choice(letter, capital(letter_name(letter))) for letter in SWARAS)


def credit_of(kept: Sequence[Kept], found: Tried | None) -> float:
    """`found` is what the raga says, where there is one."""
    shares = {part.part.what: part.share for part in kept}
    if "swaras" in shares:
        share = math.prod(shares.values())
    else:
        share = shares["count"] * sum(shares.values()) / len(shares)
    if found is None:
        return share
    return max(0.0, (share * found.share - BLIND_SHARE) / (1.0 - BLIND_SHARE))


def explained(
    question: Question, given: str, kept: Sequence[Kept], said: Sequence[Said], *, raga: Raga | None
) -> Explanation:
    """The phrase as it was made, all that is found of it, and one that keeps the wish where this
    one does not. `said` is what the raga says, if there is one."""
    line, example = question.line_given(given), parse(question.right[0])
    right = all(part.kept for part in kept) and not any(each.mark == OTHERWISE for each in said)
    shown = line if right else example

    def played(one: Line) -> Score:
        return played_at(question, one, raga=raga)

    right_cue = played(shown)
    shown_text, line_text = in_script(write(shown)), in_script(write(line))
    return Explanation(
        right_label=shown_text,
        given_label=line_text,
        why=_why(question, said, right=right),
        right_cue=right_cue,
        given_cue=None if right else played(line),
        given_plays="" if right else say("your phrase"),
        drawn=drawn_in(shown, right_cue, (), tempo=question.detail["tempo"]),
        counted=_counted(kept, said),
        right_written=shown_text,
        given_written="" if right else line_text,
        findings=(
            *(Finding(each.told, RIGHT if each.kept else OTHERWISE) for each in kept),
            *(
                Finding(each.text, each.mark, None if each.hear is None else played(each.hear))
                for each in said
            ),
        ),
    )


def played_at(question: Question, line: Line, *, raga: Raga | None) -> Score:
    """The line at the question's Sa and tempo, over its drone; the raga's low swaras are low."""
    tuning = load_tuning(question.setting.tuning)
    return score_of(
        line,
        tuning if raga is None else tuned_to(raga, tuning),
        sa_hz=question.cue.sa_hz,
        matras_per_min=question.detail["tempo"],
        drone=question.cue.drone,
    )


def _why(question: Question, said: Sequence[Said], *, right: bool) -> str:
    """The findings tell the rest."""
    if right:
        if any(each.doubts for each in said):
            return say("The wish is kept, and nothing surely breaks the raga.")
        return say("The wish is kept, and so is the raga.") if said else say("The wish is kept.")
    return say("One way to keep the wish is {example}.", example=plainly(parse(question.right[0])))


def _counted(kept: Sequence[Kept], said: Sequence[Said]) -> str:
    """`2 of 3 parts of the wish, the raga kept`."""
    parts = say(
        "{kept} of {all} parts of the wish", kept=sum(part.kept for part in kept), all=len(kept)
    )
    if any(each.mark == OTHERWISE for each in said):
        return say("{parts}, the raga broken", parts=parts)
    if any(each.doubts for each in said):
        return say("{parts}, the raga in doubt", parts=parts)
    return say("{parts}, the raga kept", parts=parts) if said else parts

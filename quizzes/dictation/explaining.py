"""How a written phrase is marked and explained, whoever asked for it."""

from __future__ import annotations

from collections.abc import Sequence

from audio.sargam import parse, write
from quizzes.dictation.marking import counted_text, credit_of, is_right, rows_of, tallies
from quizzes.dictation.places import places_of
from quizzes.dictation.showing import Played, beside_of, why_of
from quizzes.explanation import Explanation
from quizzes.question import Mark, Question
from words import in_script


def mark_of(question: Question, given: str, counts: Sequence[str]) -> Mark:
    """Marked beside the right line that comes nearest. Raises KeyError for what could not be
    given."""
    answered = places_of(question.line_given(given))
    rights = (places_of(parse(line)) for line in question.right)
    return Mark(max(credit_of(tallies(right, answered, counts)) for right in rights))


def explained(
    question: Question,
    given: str,
    counts: Sequence[str],
    *,
    played: Played,
    alone: Played,
) -> Explanation:
    """The two lines beside each other, whole as `played` plays them and place by place as `alone`
    does; why it is wrong is the first slip, "" where there is none."""
    right = parse(question.right[0])
    answered = question.line_given(given)
    was, gave = places_of(right), places_of(answered)
    found, rows = tallies(was, gave, counts), rows_of(was, gave, counts)
    same = is_right(found)
    right_written, given_written = in_script(write(right)), in_script(write(answered))
    return Explanation(
        right_label=right_written,
        given_label=given_written,
        why=why_of(rows, counts),
        right_cue=played(right),
        given_cue=None if same else played(answered),
        counted="" if same else counted_text(found),
        right_written=right_written,
        given_written="" if same else given_written,
        beside=beside_of(was, gave, rows, counts, alone),
    )

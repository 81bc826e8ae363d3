"""What its raga says of a phrase that a student has kept, each thing with its sound.

It is said as the teacher has the raga now, which may be otherwise than when the phrase was made.
"""

from __future__ import annotations

from audio.sargam import parse
from audio.score import Score
from practice.phrases import KeptPhrase, score_of_phrase
from quizzes.explanation import Finding
from quizzes.making.opinion import opinion
from quizzes.making.phrases import Heard
from quizzes.making.trying import tried
from quizzes.ragas.raga import Raga
from quizzes.ragas.tradition import ragas


def raga_of_phrase(phrase: KeptPhrase, tradition: str = "") -> Raga | None:
    """The raga that it was made in; None where there is none, or none that is known here."""
    return ragas(tradition).get(phrase.raga)


def sound_of(phrase: KeptPhrase, tradition: str = "") -> Score:
    """The phrase as it sounded when it was made."""
    return score_of_phrase(phrase, raga=raga_of_phrase(phrase, tradition))


def said_of(phrase: KeptPhrase, tradition: str = "") -> tuple[Finding, ...]:
    """All that the raga says of it; nothing without a raga."""
    raga, heard = raga_of_phrase(phrase, tradition), Heard(parse(phrase.sargam))
    if raga is None or not heard.notes:
        return ()
    return tuple(
        Finding(
            each.text,
            each.mark,
            None if each.hear is None else score_of_phrase(phrase, raga=raga, line=each.hear),
        )
        for each in opinion(raga, heard, tried(raga, heard), ragas(tradition))
    )

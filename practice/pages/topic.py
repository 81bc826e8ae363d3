"""What the next lesson is about, as far as that is said: its ragas, and what is asked of them."""

from __future__ import annotations

from dataclasses import dataclass

from practice.lesson import next_lesson, raga_words, skills_for
from practice.standing import Standing
from quizzes.names import capital


@dataclass(frozen=True, slots=True)
class Topic:
    """Some ragas; none where no lesson is set, or not on what."""

    ragas: frozenset[str] = frozenset()
    words: str = ""
    """`Yaman and Bhupali`; "" where the course asks nothing of them."""
    skills: frozenset[str] = frozenset()
    """What the course asks of them."""


def topic_of(standing: Standing) -> Topic:
    """What the student's next lesson is about."""
    settings = standing.settings
    chosen = settings.lesson_ragas if next_lesson(settings, standing.now) is not None else ()
    skills = skills_for(standing.items, chosen)
    words = capital(raga_words(chosen, standing.given.tradition)) if skills else ""
    return Topic(frozenset(chosen), words, skills)

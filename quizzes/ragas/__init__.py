"""What is known of ragas, and its three uses: may a raga make a phrase, what tells it from another,
and a fresh phrase of it.

    ragas(tradition="") -> Mapping[str, Raga]     # by id; raga.py says what is known of each
    admits(raga, swaras) -> bool                  # by all that its file tells
    break_of(raga, swaras) -> Break | None        # what speaks against it
    surely_breaks(raga, swaras) -> Break | None   # in every teaching known
    makes(raga, swaras) -> bool                   # whether every step of it is the raga's own
    separates(line, right, other) -> Evidence | None
    why(evidence, line, right, other) -> str      # in a sentence
    as_other(evidence, line, other) -> Line       # as the other would have turned
    grow(fresh, raga, ...) -> tuple[Swara, ...]   # a phrase of it
    offered(fresh, right, ...) -> ids             # choices that tell nothing of the answer
"""

from quizzes.ragas.choosing import group_of, near_pairs, offered
from quizzes.ragas.evidence import Evidence, separates, swaras_of
from quizzes.ragas.growing import grow
from quizzes.ragas.movement import Break, admits, break_of, makes, surely_breaks
from quizzes.ragas.raga import Fact, Raga
from quizzes.ragas.tradition import ragas
from quizzes.ragas.words import as_other, why

__all__ = [
    "Break",
    "Evidence",
    "Fact",
    "Raga",
    "admits",
    "as_other",
    "break_of",
    "group_of",
    "grow",
    "makes",
    "near_pairs",
    "offered",
    "ragas",
    "separates",
    "surely_breaks",
    "swaras_of",
    "why",
]

"""Phrases that a student makes: what is wished, what is kept of it, and what a raga says of them.

    Wish, wish_of(given, **parts) -> Wish         # a wish as data; wish.py lists its parts
    kept_parts(wish, line, raga, known) -> [Kept] # which parts a line keeps, in a sentence each
    tried(raga, heard) -> Tried                   # what breaks a raga in it, surely or perhaps
    opinion(raga, heard, tried, known) -> [Said]  # all that the raga says of it
    wished(fresh, sort, raga, known) -> Wished    # a fresh wish with a line that keeps it
    varying(fresh, treatment, raga) -> Wished     # the same of a phrase to be varied

`Heard(line)` is a line as a raga hears it. Nothing here says how beautiful a phrase is.
"""

from quizzes.making.keeping import Kept, kept_parts
from quizzes.making.of_ragas import Wished, wished
from quizzes.making.opinion import Said, opinion
from quizzes.making.phrases import Heard
from quizzes.making.to_vary import varying
from quizzes.making.trying import Tried, tried
from quizzes.making.wish import Wish, wish_of

__all__ = [
    "Heard",
    "Kept",
    "Said",
    "Tried",
    "Wish",
    "Wished",
    "kept_parts",
    "opinion",
    "tried",
    "varying",
    "wish_of",
    "wished",
]

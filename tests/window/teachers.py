"""Questions of a teacher's own that take most room, or none, for pictures of each form."""

from __future__ import annotations

from quizzes.decks.deck import Asked, Before, Cue, Deck, Offered
from tests.quizzes.decks.made import AMONG, PHRASE, PHRASES, REST, STAGES, THEKA, WRITE

TEN = ("Sa", "komal Re", "Re", "komal Ga", "Ga", "Ma", "tivra Ma", "Pa", "Dha", "Ni")
LEANS = (
    "A phrase that begins on the lower Ni, climbs by step to tivra Ma, leans there for a moment, "
    "and only then comes back down to rest on {}"
)
PERFORMED = (
    "The instrument is tuned, and the tarab are swept once before anything else is played",
    "Sa alone, with long silences, and the chikari only where a phrase has ended",
    "The lower saptak is opened from Sa downwards, with the vadi kept back",
    "The middle saptak, each swara approached from below and held before the next",
    "The upper Sa is reached, circled, left, and reached again until it stands",
    "Jor: the pulse begins, at ease, without a cycle and without the tabla",
    "Jhala: the chikari is struck three times after each stroke",
    "Slow gat in tintal, with its vistar and the first tans over the theka",
    "Fast gat up to the last tihai, which lands on sam and ends it",
)

LONG = Asked(
    "long",
    "choose-one",
    "Listen to the whole phrase, then to how it comes to rest, and choose what says best what it "
    "does; think of the way down as well as of the way up, and of what is only touched.",
    "Long texts",
    Cue(sargam="N, R G M:2 G R G:3"),
    "It leans on tivra Ma, and what is touched last is not where it rests. " * 3,
    (
        Offered(LEANS.format("Ga"), True),
        Offered(LEANS.format("Re"), why="Re is passed.", sargam="N, R G M:2 G R:3"),
        Offered("None of these"),
    ),
)
SET = Asked(
    "set",
    "choose-several",
    "Which swaras does it touch?",
    "Ten at once",
    Cue(sargam="S R G P D S' D P G R S"),
    offered=tuple(Offered(one, one in ("Sa", "Re", "Ga", "Pa", "Dha")) for one in TEN),
)
WHOLE = Asked(
    "whole",
    "put-in-order",
    "Put the whole of a performance into order.",
    "Nine long things",
    why="From no pulse to pulse, from slow to fast.",
    things=PERFORMED,
)
PAIR = Asked(
    "pair",
    "put-in-order",
    "Only two of these must stand so.",
    "One pair of nine",
    things=TEN[:9],
    before=(Before("Sa", "Dha", "the raga is not begun without it"),),
)
CLIMB = Asked(
    "climb",
    "write-swaras",
    "Write all nine, through three saptaks.",
    "Nine swaras",
    Cue(sargam="P, D, S R G P D S' R'"),
    lines=("P, D, S R G P D S' R'", "P, D, S R G P D S'"),
)
BARE = Asked("bare", "true-or-false", "Tintal has sixteen matras.", "Matras", holds=True)

TAUGHT = Deck(
    "taught",
    "Taught",
    (REST, LONG, STAGES, SET, WHOLE, PAIR, WRITE, CLIMB, BARE, THEKA, PHRASE, AMONG, PHRASES),
)

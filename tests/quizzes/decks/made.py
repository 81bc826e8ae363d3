"""Decks of all forms of question, for tests: drawn by hypothesis, or always the same."""

from hypothesis import strategies as st

from quizzes.decks.deck import FORMS, Asked, Before, Cue, Deck, Narrowed, Offered
from quizzes.decks.limits import MOST_ANSWERS

WORDS = st.text("abcdefghij klmnop äṭĀ", min_size=1, max_size=12).map(
    lambda text: " ".join(text.split()) or "x"
)
TEXTS = st.lists(WORDS, min_size=2, max_size=5, unique_by=str.casefold)
WHYS = st.sampled_from(["", "It rests there.", "So it is taught"])
SARGAM = st.sampled_from(["", "S R G", "N, R/G:2 - R", "S . P"])
CUES = st.one_of(
    st.just(Cue()),
    st.builds(
        Cue,
        sargam=st.sampled_from(["S R G", "N, R G:2 - | r~ S", "S:3/2 . P' c"]),
        tempo=st.sampled_from([0.0, 48.0, 90.0]),
        tuning=st.sampled_from(["", "equal"]),
        voice=st.sampled_from(["sitar", "string"]),
        drone=st.sampled_from(["", "Sa-Ma", "none"]),
    ),
    st.builds(Cue, recording=st.just("a-0123456789abcdef.wav"), seconds=st.floats(0.5, 60.0)),
    st.builds(Cue, theka=st.sampled_from(["tintal", "rupak"]), cycles=st.integers(1, 2)),
)
SWARAS = st.sampled_from([*"SrRgGmMPdDnN", "S,", "P,", "D,", "N,", "S'", "R'", "G'"])
LINES = st.lists(SWARAS, min_size=1, max_size=6).map(" ".join)


@st.composite
def asked(draw, form=None):
    """A question of the teacher's own, such as a deck may hold."""
    form = draw(st.sampled_from(FORMS)) if form is None else form
    texts = draw(TEXTS)
    more = {}
    if form in ("choose-one", "choose-several"):
        right = draw(st.sets(st.sampled_from(texts), min_size=1, max_size=len(texts) - 1))
        more["offered"] = tuple(
            Offered(text, text in right, draw(WHYS), draw(SARGAM)) for text in texts
        )
    elif form == "true-or-false":
        more["holds"] = draw(st.booleans())
        first, *others = texts
        more["offered"] = (
            Offered(first, True, draw(WHYS), holds=more["holds"]),
            *(Offered(text, False, holds=draw(st.booleans())) for text in others),
        )
    elif form == "put-in-order":
        more["things"] = tuple(texts)
        places = st.integers(0, len(texts) - 1)
        pairs = draw(st.sets(st.tuples(places, places).filter(lambda two: two[0] < two[1])))
        more["before"] = tuple(
            Before(texts[one], texts[other], draw(WHYS)) for one, other in sorted(pairs)
        )
    elif form == "write-phrase":
        more["counts"] = draw(st.sampled_from([(), ("lengths",), ("lengths", "ornaments")]))
        cue = draw(CUES.filter(lambda cue: cue.sargam and "c" not in cue.sargam))
        return Asked("q-1", form, "What is it?", "The first", cue, draw(WHYS), **more)
    else:
        more["lines"] = tuple(draw(st.lists(LINES, min_size=1, max_size=3, unique=True)))
    return Asked("q-1", form, "What is it?", "The first", draw(CUES), draw(WHYS), **more)


def choices(*, right=1, count=4, **more):
    """Choices of which the first are right, by the names of swaras."""
    names = ("Ga", "Re", "Ma", "Pa", "Dha", "Ni", "Sa", "komal Re", "komal Ga")
    return tuple(Offered(name, at < right, **more) for at, name in enumerate(names[:count]))


REST = Asked(
    "rest",
    "choose-one",
    "On which swara does the phrase rest?",
    "Rests on Ga",
    Cue(sargam="N, R G:2 R S"),
    "It dwells on Ga.",
    (
        Offered("Ga", True),
        Offered("Re", why="Re is passed through.", sargam="N, R:2 S"),
        Offered("tivra Ma"),
    ),
)
PASSED = Asked(
    "passed",
    "choose-one",
    "Which swara is only passed?",
    "Passes Re",
    Cue(sargam="N, R G:2 R S"),
    offered=(Offered("Ga"), Offered("Re", True)),
)
STAGES = Asked(
    "stages",
    "choose-several",
    "Which have no theka?",
    "Without theka",
    why="The tabla joins with the gat.",
    offered=(
        Offered("Alap", True),
        Offered("Jor", True),
        Offered("Drut gat", why="It stands in a tala."),
        Offered("Jhala", True),
        Offered("Tan over the theka"),
    ),
)
ORDER = Asked(
    "order",
    "put-in-order",
    "In which order do they come?",
    "The order",
    things=("Alap", "Jor", "Jhala", "Gat"),
    before=(Before("Alap", "Jor", "the pulse comes after the alap."), Before("Jor", "Gat")),
)
WRITE = Asked(
    "write",
    "write-swaras",
    "Write the phrase.",
    "A phrase of Yaman",
    Cue(sargam="N, R G M D N S'"),
    "So it goes up.",
    lines=("N, R G M D N S'",),
)
PHRASE = Asked(
    "phrase",
    "write-phrase",
    "Write the phrase.",
    "A phrase with a meend",
    Cue(sargam="N, R/ G - R S", tempo=66.0),
    "It is drawn up to Ga.",
    counts=("lengths", "ornaments"),
)
THEKA = Asked(
    "theka",
    "true-or-false",
    "This theka is tintal.",
    "Tintal",
    Cue(theka="tintal", tempo=120.0),
    offered=(
        Offered("It has sixteen matras", True, holds=True),
        Offered("It has ten matras", holds=True, why="Count again."),
        Offered("It has no khali", holds=False),
    ),
    holds=True,
)
GAPS = Narrowed("gaps", "gap", "Two gaps", ("gap:R-P:down", "gap:R-P:up"))
AMONG = Narrowed("among", "swara", "Three", ("swara:R", "swara:G"), ("R", "G", "P"))
PHRASES = Narrowed(
    "phrases",
    "raga-from-phrase",
    "Two",
    (),
    ("yaman", "bhupali"),
    {"yaman": ("N, R G M D N S'", "G M D N S' N D P"), "bhupali": ("S R G P D P G R S",)},
)
GROWN = Narrowed("grown", "raga-from-phrase", "Three", (), ("yaman", "malkauns", "bhairav"))

DECK = Deck(
    "mine",
    "Mine",
    (REST, PASSED, STAGES, ORDER, WRITE, PHRASE, THEKA, GAPS, AMONG, PHRASES, GROWN),
)
assert len(DECK.entries) < MOST_ANSWERS

"""What another version of a deck changes is told, all of it and nothing else."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quizzes.decks.changes import changes
from quizzes.decks.deck import Asked, Before, Cue, Deck, Narrowed, Offered

GA, RE = Offered("Ga", right=True), Offered("Re", why="Re is passed through.")
REST = Asked("rest", "choose-one", "Where?", "Rests on Ga", Cue("N, R G"), offered=(GA, RE))
GAPS = Narrowed("gaps", "gap", "Gaps of Re", ("gap:R-P:up", "gap:R-P:down"))
DECK = Deck("first-gaps", "First gaps", (REST, GAPS))


def named(*names):
    return tuple(Asked(name, "choose-one", "?", name.upper(), offered=(GA, RE)) for name in names)


def test_the_same_deck_changes_nothing():
    assert changes(DECK, replace(DECK)) == ()


@pytest.mark.parametrize(
    ("after", "said"),
    [
        (replace(REST, prompt="Where now?"), 'In "Rests on Ga" the prompt has changed.'),
        (replace(REST, why="It is held."), 'In "Rests on Ga" the explanation has changed.'),
        (replace(REST, name="Ga"), 'In "Ga" the name in lists has changed.'),
        (
            replace(REST, cue=Cue("N, R - R G")),
            'In "Rests on Ga" the cue has changed; what is known of it stays.',
        ),
        (
            replace(REST, offered=(GA, replace(RE, right=True))),
            'In "Rests on Ga" what is right has changed; what is known of it stays.',
        ),
        (
            replace(REST, offered=(GA, RE, Offered("Ni"))),
            'In "Rests on Ga" what is offered has changed.',
        ),
        (
            replace(REST, offered=(GA, Offered("Re"))),
            'In "Rests on Ga" what is said of answers has changed.',
        ),
        (
            replace(REST, prompt="?", why="So.", offered=(Offered("Ni", right=True), RE)),
            'In "Rests on Ga" the prompt, what is right, what is offered and the explanation have '
            "changed; what is known of it stays.",
        ),
        (
            Narrowed("rest", "gap", "Rests", ("gap:R-P:up",)),
            'In "Rests" the kind of question has changed; what is known of it stays.',
        ),
    ],
)
def test_a_changed_question_says_in_what_and_that_what_is_known_stays(after, said):
    assert changes(DECK, replace(DECK, entries=(after, GAPS))) == (said,)


def test_what_a_narrowed_kind_asks_and_offers_is_told():
    fewer = replace(GAPS, skills=("gap:R-P:up",), among=("yaman",), phrases={"yaman": ("N, R",)})
    assert changes(DECK, replace(DECK, entries=(REST, fewer))) == (
        'In "Gaps of Re" what it asks, what it offers and the phrases have changed; what is known '
        "of it stays.",
    )


def test_pairs_and_verdicts_are_part_of_what_is_right():
    order = Asked("o", "put-in-order", "?", "O", things=("a", "b", "c"), before=(Before("a", "b"),))
    verdict = Asked("v", "true-or-false", "?", "V", holds=True)
    before = Deck("d", "D", (order, verdict))
    order_after = replace(order, before=(Before("a", "c"),))
    after = Deck("d", "D", (order_after, replace(verdict, holds=False)))
    assert changes(before, after) == (
        'In "O" what is right has changed; what is known of it stays.',
        'In "V" what is right has changed; what is known of it stays.',
    )
    why = replace(order, before=(Before("a", "b", "It prepares."),))
    assert changes(before, Deck("d", "D", (why, verdict))) == (
        'In "O" what is said of answers has changed.',
    )


def test_new_gone_moved_and_renamed():
    before = Deck("d", "D", named("a", "b", "c", "d"))
    after = Deck("d", "E", named("d", "a", "b", "x"), about="New.", edition=2)
    assert changes(before, after) == (
        'The deck is called "E" now, not "D".',
        "What it says of itself has changed.",
        'One question is new: "X".',
        'One question is gone: "C". What was answered stays in the log.',
        'One question moved: "D".',
        "It is edition 2, where edition 1 was.",
    )
    assert changes(before, replace(before, by="B")) == ("What it says of itself has changed.",)
    five = Deck("d", "D", named(*"abcdefghi"))
    assert changes(before, five) == ('Five questions are new: "E", "F", "G", "H" and "I".',)
    many = Deck("d", "D", named(*"abcdefghijklmno"))
    assert changes(before, many) == ('11 questions are new: "E", "F", "G", "H", "I" and 6 more.',)


ENTRY = st.builds(
    Asked,
    id=st.sampled_from("abcd"),
    form=st.sampled_from(("choose-one", "put-in-order", "true-or-false")),
    prompt=st.sampled_from("pq"),
    name=st.sampled_from("pqn"),
    cue=st.builds(Cue, sargam=st.sampled_from(("", "S")), tempo=st.sampled_from((0.0, 60.0))),
    why=st.sampled_from(("", "so")),
    offered=st.lists(
        st.builds(Offered, st.sampled_from("xyz"), st.booleans(), st.sampled_from(("", "no"))),
        max_size=3,
        unique_by=lambda each: each.text,
    ).map(tuple),
    things=st.permutations("ab").map(tuple),
    before=st.lists(st.builds(Before, st.just("a"), st.just("b"), st.sampled_from(("", "w")))).map(
        lambda pairs: tuple(pairs[:1])
    ),
    lines=st.sampled_from(((), ("S", "R"), ("R", "S"))),
    holds=st.sampled_from((None, True, False)),
)
DECKS = st.builds(
    Deck,
    id=st.just("d"),
    name=st.sampled_from("DE"),
    entries=st.lists(ENTRY, max_size=4, unique_by=lambda entry: entry.id).map(tuple),
    about=st.sampled_from(("", "x")),
    edition=st.sampled_from((1, 2)),
)


@settings(max_examples=100, deadline=None)
@given(DECKS, DECKS)
def test_a_deck_that_differs_in_anything_says_so(before, after):
    assert (changes(before, after) == ()) == (before == after)
    assert all(said.endswith(".") for said in changes(before, after))


@settings(max_examples=100, deadline=None)
@given(st.permutations("abcdef"))
def test_the_fewest_questions_are_told_as_moved(order):
    """As many as stand outside a longest increasing run, found here by trying all of them."""
    runs = [[]]
    for each in order:
        runs += [[*run, each] for run in runs if not run or run[-1] < each]
    fewest = len(order) - max(map(len, runs))
    said = changes(Deck("d", "D", named(*"abcdef")), Deck("d", "D", named(*order)))
    if not fewest:
        assert said == ()
    else:
        assert len(said) == 1
        assert said[0].count('"') == 2 * fewest

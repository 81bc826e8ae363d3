"""What is said of an answer, and of how much of a line was right."""

import re
from dataclasses import replace
from itertools import islice, permutations, product

import pytest

from quizzes import KINDS, Setting, make_question
from quizzes.decks.asking import entry_text
from quizzes.question import Mark
from screens.aligned import align, align_answer, align_order
from screens.verdict import share_of, verb_of, verdict_kind, verdict_words
from tests.quizzes.decks.made import DECK


@pytest.mark.parametrize(
    ("credit", "kind", "words"),
    [
        (1.0, "right", "Right"),
        (0.75, "partly", "Partly right"),
        (0.01, "partly", "Partly right"),
        (0.0, "otherwise", "Heard otherwise"),
    ],
)
def test_credit_between_none_and_all_is_neither_right_nor_otherwise(credit, kind, words):
    assert verdict_kind(Mark(credit)) == kind
    assert verdict_words(Mark(credit)) == words


@pytest.mark.parametrize(
    ("was", "given", "share"),
    [
        ("da ra da ra da ra da ra", "da ra da da da ra da", "6 of 8"),
        ("da ra da ra", "da da ra da ra", "4 of 4, 1 too many"),
        ("da ra", "dir dir dir dir", "0 of 2, 2 too many"),
    ],
)
def test_the_share_counts_places_of_the_line_that_was(was, given, share):
    places = align(was.split(), given.split())
    assert share_of(places)[1] == share
    assert verdict_words(Mark(0.5), places) == f"Partly right: {share}"


def test_places_that_are_right_by_luck_alone_are_counted_and_not_called_partly_right():
    places = align(["da", "ra", "da", "ra"], ["da", "da", "da", "da"])
    assert verdict_words(Mark(0.0), places) == ("Heard otherwise: 2 of 4, no more than by luck")
    assert verdict_words(Mark(0.0), align(["da"], ["ra"])) == "Heard otherwise"
    counted = {"1 of 2 found, 1 too many": ", no more than by luck", "0 of 2 found, 1 too many": ""}
    for told, luck in counted.items():
        words = verdict_words(Mark(0.0), verb="chose", counted=told, by_luck=bool(luck))
        assert words == f"Chosen otherwise: {told}{luck}"


@pytest.mark.parametrize(
    ("was", "given", "share"),
    [
        ("a b c", "b c a", "1 of 3 pairs in order"),
        ("a b c d", "a c b d", "5 of 6 pairs in order"),
        ("a b c d", "d c b a", "0 of 6 pairs in order"),
    ],
)
def test_of_an_order_the_pairs_are_counted_that_stand_the_right_way_round(was, given, share):
    places = align_order(was.split(), given.split())
    assert verdict_words(Mark(0.4), places, verb="put") == f"Partly right: {share}"


@pytest.mark.parametrize("skill", ["theka:order:dhamar", "theka:order:tintal", "raga-hours"])
def test_in_one_kind_of_order_the_same_figures_are_never_called_by_two_words(skill):
    skills = [one.id for one in KINDS[skill.partition(":")[0]].skills()]
    asked = make_question(
        next(one for one in skills if one.startswith(skill)),
        seed=1,
        setting=Setting(sa_hz=138.59),
    )
    words = {}
    orders = islice(permutations(choice.id for choice in asked.choices), 200)
    for given in {" ".join(line) for line in orders} - {*asked.right}:
        mark = KINDS[asked.kind].mark(asked, given)
        told = verdict_words(mark, align_answer(asked, given), verb="put")
        word, _, figures = told.removesuffix(", no more than by luck").partition(": ")
        words.setdefault(figures, set()).add(word)
        assert (mark.credit == 0.0 and bool(figures)) == told.endswith("no more than by luck")
    assert all(len(each) == 1 for each in words.values())
    assert len(words) > 2


@pytest.mark.parametrize(
    ("skill", "words"),
    [
        ("swara:P", "Heard otherwise"),
        ("strokes:write:dir:4", "Heard otherwise"),
        ("raga-from-phrase:note:bhupali", "Said otherwise"),
        ("raga-hours", "Put otherwise"),
        ("order:performance", "Put otherwise"),
        ("layout", "Shared otherwise"),
        ("out-of-place", "Said otherwise"),
        ("which-stage", "Heard otherwise"),
        ("layakari:hear", "Heard otherwise"),
        ("layakari:takes", "Said otherwise"),
    ],
)
def test_what_was_otherwise_is_told_as_it_was_answered(skill, words):
    skill = next(
        one.id for kind in KINDS.values() for one in kind.skills() if one.id.startswith(skill)
    )
    asked = make_question(skill, seed=1, setting=Setting(sa_hz=138.59))
    assert verdict_words(Mark(0.0), verb=verb_of(asked)) == words


@pytest.mark.parametrize(
    ("thing", "words"),
    [
        ("rest", "Said otherwise"),  # whatever the teacher asks of
        ("stages", "Chosen otherwise"),
        ("write", "Heard otherwise"),
        ("among:R", "Heard otherwise"),
        ("phrases:yaman", "Said otherwise"),
    ],
)
def test_what_was_otherwise_in_a_deck_is_told_as_it_was_answered(thing, words):
    skill = f"deck:mine:{thing}"
    setting = Setting(sa_hz=138.59, deck=entry_text(DECK, skill))
    asked = make_question(skill, seed=1, setting=setting)
    assert verdict_words(Mark(0.0), verb=verb_of(asked)) == words


WORDS = ["two", "three", "four", "five", "six", "seven", "eight"]


def slips_told(why):
    """How many slips the explanation speaks of."""
    found = re.search(r"first of (\w+) slips", why)
    return 2 + WORDS.index(found[1]) if found else int("It was" not in why)


def lines(keys):
    return [" ".join(line) for count in (1, 2, 3, 4) for line in product(keys, repeat=count)]


@pytest.mark.parametrize("skill", ["strokes:write:da-ra:4", "strokes:write:dir:4"])
def test_verdict_credit_and_sentence_speak_of_the_same_slips(skill):
    asked = make_question(skill, seed=1, setting=Setting(sa_hz=138.59))
    keys = [choice.id for choice in asked.choices]
    step = 1 if len(keys) == 2 else 11  # of three keys, some of the 9,720 pairs
    pairs = [(was, given) for was in lines(keys) if was[:2] in ("da", "di") and was.count(" ") == 3
             for given in lines(keys)]  # fmt: skip
    credits = {}
    for was, given in pairs[::step]:
        question = replace(asked, right=(was,))
        mark = KINDS["strokes"].mark(question, given)
        words = verdict_words(mark, align(was.split(), given.split()))
        if was == given:
            assert (mark.credit, words) == (1.0, "Right")
            continue
        # "Partly right: 3 of 4, 1 too many"
        right, whole, added = map(int, re.findall(r"\d+", f"{words}, 0")[:3]) if (
            ":" in words) else (0, 4, 0)  # fmt: skip
        assert whole == 4
        told = slips_told(KINDS["strokes"].explain(question, given).why)
        if right:
            assert told == whole - right + added
        assert words.startswith("Partly right") == (mark.credit > 0)
        credits.setdefault((was.split()[0], told), set()).add(round(mark.credit, 9))
    # One number of slips, one credit; and more slips never earn more.
    assert all(len(each) == 1 for each in credits.values())
    for (first, slips), (credit,) in credits.items():
        (more,) = credits.get((first, slips + 1), {0.0})
        assert more < credit or more == credit == 0.0

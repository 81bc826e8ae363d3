"""A tradition edited fact by fact: what is written is asked, and the rest of a file stays."""

import random
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quizzes.ragas import ragas
from quizzes.ragas.tradition import TEACHER
from quizzes.stages.tradition import form
from quizzes.talas import talas
from quizzes.teachable.fact import faults_of
from quizzes.teachable.of_stages import TURNED
from quizzes.tradition import read_words
from quizzes.tradition_draft import TraditionDraft

HAND_WRITTEN = """\
# What we teach.

[durga]   # the one of Bilawal
vadi = "D R"    # as my teacher had it
confirmed = [
    "nyas",     # surely
]

# Waved nowhere.
[tala.rupak]
khali = []
tali = [1, 4, 6]

[stage.jor]
name = "Jod" # so we say

[[order]]   # the other way round
first = "jor"
then = "alap"
"""


def fact_of(facts, title):
    return next(fact for fact in facts if fact.title == title)


def comments(text):
    return [line.partition("#")[2] for line in text.splitlines() if "#" in line]


def of_all(draft):
    """Some of everything that can be taught, and how its facts are had."""
    yield from ((draft.raga, one) for one in ("durga", "yaman", "bhimpalasi", "kedar"))
    yield from ((draft.tala, one) for one in ("rupak", "tintal"))
    yield from ((draft.stage, one) for one in ("jor", "alap"))


def test_what_is_written_as_it_stands_is_the_same_in_the_file_and_in_the_form():
    before = TraditionDraft("")
    for number, (_, one) in enumerate(of_all(before)):
        draft = TraditionDraft("")
        facts = [*of_all(draft)][number][0]
        for fact in facts(one):
            if fact.written.strip() and fact.fields[0] != "also":
                draft.write(fact, fact.written)
        assert draft.words().faults == ()
        again = TraditionDraft(draft.text)
        shown = {fact.title: (fact.written, fact.now) for fact in facts(one)}
        read = [*of_all(again)][number][0](one)
        assert {fact.title: (fact.written, fact.now) for fact in read} == shown
        for title, (written, now) in shown.items():
            usual = fact_of([*of_all(before)][number][0](one), title)
            assert (written, now) == (usual.written, usual.now), title
        while draft.undo():
            pass
        assert draft.text == ""


def test_what_others_teach_is_asked_when_it_is_chosen():
    luck = random.Random(5)
    for one in luck.sample(sorted(ragas()), 12):
        for fact in TraditionDraft("").raga(one):
            for saying in fact.others:
                if not saying.values:
                    continue
                draft = TraditionDraft("")
                draft.choose(fact, saying)
                now = fact_of(draft.raga(one), fact.title)
                assert now.mine
                if draft.words().faults:  # then it says what else is needed
                    assert faults_of(now, draft.words().faults)
                else:
                    assert saying.words.startswith(now.now)
                    assert now.by == "Your word."
                    assert any(back.words == fact.now for back in now.others)


def test_from_memory_it_is_confirmed_by_a_touch_and_taken_back_by_another():
    draft = TraditionDraft(HAND_WRITTEN)
    gait = fact_of(draft.raga("durga"), "Gait")
    assert gait.confirm == "gait"
    assert gait.by.startswith("From memory")
    draft.confirm(gait)
    assert tomllib.loads(draft.text)["durga"]["confirmed"] == ["nyas", "gait"]
    assert draft.ragas()["durga"].gait.confidence == TEACHER
    draft.take_back(fact_of(draft.raga("durga"), "Gait"))
    assert draft.ragas()["durga"].gait == ragas()["durga"].gait
    assert draft.text == HAND_WRITTEN


@settings(max_examples=10, deadline=None)
@given(st.integers(0, 2**32))
def test_comments_of_a_hand_written_file_survive_whatever_is_done(seed):
    luck, draft = random.Random(seed), TraditionDraft(HAND_WRITTEN)
    for _ in range(luck.randint(1, 4)):
        facts, one = luck.choice([*of_all(draft)])
        fact = luck.choice(facts(one))
        did = luck.choice(["write", "choose", "confirm"])
        if did == "choose" and fact.others:
            draft.choose(fact, luck.choice(fact.others))
        elif did == "confirm" and fact.confirm:
            draft.confirm(fact)
        else:
            draft.write(fact, luck.choice([fact.written, "S R", "3 3", "x", "none", "18-21"]))
        tomllib.loads(draft.text)
        draft.words()
    of_tables = ("What we teach.", "the one of Bilawal", "Waved nowhere.", "the other way round")
    assert {f" {said}" for said in of_tables} <= {*comments(draft.text)}
    while draft.undo():
        pass
    assert draft.text == HAND_WRITTEN


def test_the_last_word_taken_back_leaves_nothing_and_a_comment_stays():
    draft = TraditionDraft('[durga]\nvadi = "D R"\n')
    draft.take_back(fact_of(draft.raga("durga"), "Vadi and samvadi"))
    assert draft.text.strip() == ""
    draft = TraditionDraft(HAND_WRITTEN)
    for title in ("Vadi and samvadi", "Rests on"):
        draft.take_back(fact_of(draft.raga("durga"), title))
    assert "[durga]   # the one of Bilawal" in draft.text
    assert draft.words().faults == ()


def test_a_table_as_the_ragas_files_have_it_is_changed_where_it_stands():
    draft = TraditionDraft(
        '[durga.scale]\naroha = "S R m P D S\'" # up\navaroha = "S\' D P m R S"\n'
        '[[durga.phrase]]\nsargam = "R m P D"\n'
    )
    facts = draft.raga("durga")
    assert fact_of(facts, "Aroha").mine
    assert fact_of(facts, "Phrases").written == "R m P D"
    draft.write(fact_of(facts, "Avaroha"), "S' D m P m R S")
    draft.write(fact_of(draft.raga("durga"), "Phrases"), "R m P D\nP D m R")
    assert draft.words().faults == ()
    taught = draft.ragas()["durga"]
    assert " ".join(map(str, taught.scale.value.avaroha)) == "S' D m P m R S"
    assert [str(phrase) for phrase in taught.phrases] == ["R m P D", "P D m R"]


def test_two_stages_change_places_and_come_back():
    draft = TraditionDraft("")
    pair = next(pair for pair in draft.pairs("jor") if pair.then == "alap-jhala")
    for strength, told in (("free", ("free",)), (TURNED, ("usual", "alap-jhala", "jor"))):
        draft.set_pair(next(p for p in draft.pairs("jor") if {p.first, p.then} == {
            pair.first, pair.then}), strength)  # fmt: skip
        (one,) = tomllib.loads(draft.text)["order"]
        assert told in ((one["strength"],), (one["strength"], one["first"], one["then"]))
        assert not draft.words().faults
    mine = next(pair for pair in draft.pairs("jor") if pair.mine)
    assert mine.shipped.startswith("As shipped: Jor, then Jhala of the alap, always")
    draft.take_back_pair(mine)
    assert draft.form().order.told == form().order.told
    assert tomllib.loads(draft.text) == {}


def test_a_raga_is_added_with_an_id_of_its_own_and_asked_once_it_is_whole():
    draft = TraditionDraft("")
    assert draft.add_raga("Nayā Rāga!") == "naya_raga"
    assert draft.add_raga("Durga") == "durga_2"
    assert draft.add_raga("7") == "raga_7"
    assert [one for one, _ in draft.own_ragas()] == ["naya_raga", "durga_2", "raga_7"]
    draft.remove("durga_2")
    draft.remove("raga_7")
    written = {"Swaras": "S R G P D", "Aroha": "S R G P D S'", "Avaroha": "S' D P G R S",
               "Vadi and samvadi": "R D", "Phrases": "S R G R\nG P D P G R S"}  # fmt: skip
    for number, (title, text) in enumerate(written.items()):
        assert "naya_raga" not in draft.ragas(), number
        draft.write(fact_of(draft.raga("naya_raga"), title), text)
    assert draft.words().faults == ()
    assert draft.ragas()["naya_raga"].vadi.value == ("R", "D")
    assert read_words(draft.text).text == draft.text


@pytest.mark.parametrize("text", ["[durga", "x = ", 'a = "\n'])
def test_of_a_text_that_is_no_toml_it_is_said_why_and_everything_can_be_seen(text):
    draft = TraditionDraft(text)
    assert draft.wrong
    assert draft.said("durga") == {}
    assert draft.words().faults
    for facts, one in of_all(draft):
        assert not any(fact.mine for fact in facts(one))
    assert {*draft.talas()} == {*talas()}

"""A sample of what `all_palta_questions` asks at length: what is asked of paltas and prastara is
sound and fair, marked for what it is worth, and explained by what sounded."""

import random
from collections import Counter
from dataclasses import replace
from statistics import mean

import pytest

from audio.sargam import parse
from audio.tuning import Swara
from quizzes import KINDS, Setting, make_question
from quizzes.kept import skills_of
from quizzes.kinds.palta_spoilt import heights, spoilt
from quizzes.kinds.palta_third import blind_share, possible
from quizzes.names import ORDINALS
from quizzes.paltas import paltas
from quizzes.question import KEYS_APART
from screens.numbers import keyed
from tests.quizzes import palta_judges
from tests.quizzes.all_palta_questions import NAMES, SA_HZ, ask, tally
from tests.quizzes.palta_judges import JUDGES, way_of
from tests.quizzes.raga_hearing import heard, swaras
from tests.quizzes.raga_oracle import letter, line

COUNT = 420
"""Questions of each kind; `all_palta_questions` asks thousands."""


@pytest.fixture(scope="module", params=NAMES)
def asked(request):
    """One of each skill."""
    return [*ask(request.param, len(skills_of(request.param)), first=9000)]


def test_every_way_of_asking_has_a_judge():
    ways = {":".join(skill.id.split(":")[:2]) for name in NAMES for skill in skills_of(name)}
    assert ways == set(JUDGES)


@pytest.mark.parametrize("kind", NAMES)
def test_questions_are_sound_fair_and_new_and_reading_the_choices_helps_nobody(kind):
    found = tally(kind, COUNT)
    assert not found.faults
    assert found.is_clean()


def test_another_answer_marked_right_would_be_found(asked):
    missed = []
    for question in asked:
        for wrong in wrong_answers(question):
            if not palta_judges.faults(replace(question, right=(wrong,))):
                missed.append(f"{question.skill} seed {question.seed}: {wrong}")
    assert not missed


def wrong_answers(question):
    """Every other choice; of a line, it turned round and with its last key changed."""
    ids = [choice.id for choice in question.choices]
    if question.answer_on != "written":
        return [each for each in ids if each not in question.right]
    *begun, last = question.right[0].split()
    changed = KEYS_APART.join([*begun, ids[ids.index(last) - 1]])
    turned = KEYS_APART.join([last, *reversed(begun)])
    return {changed, turned} - set(question.right)


def test_what_was_is_played_and_its_place_drawn_and_so_is_what_was_answered(asked):
    for question in asked:
        wrong = next(iter(wrong_answers(question)))
        told = KINDS[question.kind].explain(question, wrong)
        played, answered = (swaras(heard(each)) for each in (told.right_cue, told.given_cue))
        assert len(told.drawn) == len(played)
        assert any(marked.deciding for marked in told.drawn)
        assert played != answered
        for cue, text in ((played, told.right_written), (answered, told.given_written)):
            assert cue == swaras_in(text)
        if way_of(question) in ("palta:continue", "palta:third"):
            first, *_, last = (at for at, marked in enumerate(told.drawn) if marked.deciding)
            chosen = wrong if question.is_line else question.choice(wrong).label
            assert played[first : last + 1] == line(told.right_label)
            assert answered[first : last + 1] == line(chosen) == line(told.given_label)


def swaras_in(text):
    """The swaras of a written line, without its rhythm."""
    return tuple(note.swara.steps for note in parse(text).notes())


def test_a_group_is_spoilt_so_that_it_goes_otherwise():
    for palta in paltas().values():
        for other in spoilt(palta.shape):
            assert len(other) == palta.swaras
            assert heights(other) != heights(palta.shape)
    # S R G with two swaras exchanged, or one a degree off so that two fall together.
    assert set(spoilt((0, 1, 2))) == {
        (1, 0, 2), (2, 1, 0), (0, 2, 1), (1, 1, 2), (0, 0, 2), (0, 2, 2), (0, 1, 1),
    }  # fmt: skip


NAMED = tuple(skill.id for skill in skills_of("palta") if ":name:" in skill.id)


@pytest.mark.parametrize("skill", NAMED)
def test_of_four_names_any_may_be_right(skill):
    right: Counter[int] = Counter()
    for seed in range(60):
        question = make_question(skill, seed=seed, setting=Setting(SA_HZ, met=(skill,)))
        ids = [choice.id for choice in question.choices]
        assert len(ids) == 4
        assert any(paltas()[each].grade == skill.rpartition(":")[2] for each in ids)
        right[ids.index(question.right[0])] += 1
    assert min(right[place] for place in range(4)) >= 6


ABLE = Setting(SA_HZ, met=tuple(f"swara:{letter}" for letter in ["S", "R'", *"gmPDnG"]))


@pytest.mark.parametrize("kind", ["palta", "prastara", "slip"])
def test_nothing_sounds_that_was_not_met(kind):
    letters = set()
    for number, skill in enumerate([each.id for each in skills_of(kind)] * 2):
        setting = replace(ABLE, met=(*ABLE.met, skill))
        question = make_question(skill, seed=number, setting=setting)
        letters |= {letter(each) for each in swaras(heard(question.cue))}
    # Of the ten thats Khamaj and Kafi are met.
    assert letters == set("SRgGmPDn")


@pytest.mark.parametrize("skill", ["palta:continue:three", "palta:altered:four", "slip:swara"])
def test_who_has_met_no_scale_is_asked_in_bilawal(skill):
    for seed in range(12):
        question = make_question(skill, seed=seed, setting=Setting(SA_HZ, met=(skill, "swara:g")))
        found = {note.swara.letter for note in parse(question.sargam).notes()}
        assert found <= set("SRGmPDN")


@pytest.mark.parametrize("way", ["missing", "next"])
def test_the_number_of_an_order_is_not_told_by_its_key(way):
    question = make_question(f"prastara:{way}:3", seed=1, setting=ABLE)
    assert [key for key, _ in keyed(question.choices)] == ["1", "2", "3", "4"]
    assert not any(any(map(str.isdecimal, choice.id)) for choice in question.choices)


def test_the_end_of_an_order_does_not_tell_what_follows_it():
    # Who picks what ends most like the order that was heard, knowing nothing of the succession.
    found = 0
    for seed in range(200):
        question = make_question("prastara:next:4", seed=seed, setting=ABLE)
        *_, order = cut_by(swaras(heard(question.cue)), 4)
        offered = {choice.id: line(choice.label) for choice in question.choices}

        def alike(each, order=order, offered=offered):
            return next((n for n in range(4) if offered[each][-1 - n] != order[-1 - n]), 4)

        found += max(offered, key=alike) in question.right
    assert found / 200 < 0.42


def cut_by(row, size):
    return [row[at : at + size] for at in range(0, len(row), size)]


@pytest.mark.parametrize("way", ["next:3", "number:3", "missing:3"])
def test_the_succession_is_laid_out_where_it_is_introduced(way):
    question = make_question(f"prastara:{way}", seed=1, setting=Setting(SA_HZ))
    # Sangitaratnakara 1.4: S R G, R S G, S G R, G S R, R G S, G R S.
    told = KINDS["prastara"].introduce(question)
    assert "S R G, R S G, S G R, G S R, R G S, G R S" in told


@pytest.mark.parametrize("raga", ["yaman", "shuddha_kalyan", "jogiya", "desh"])
def test_ragas_with_few_runs_are_asked_of_them_afresh(raga):
    skill = f"raga-palta:{raga}"
    asked = {
        (question.detail["palta"], question.right)
        for seed in range(30)
        if (question := make_question(skill, seed=seed, setting=Setting(SA_HZ, met=(skill,))))
    }
    assert len(asked) >= 9


def test_in_a_raga_no_two_swaras_of_a_pattern_fall_together():
    # Yaman up leaves Pa out, so "top, bottom, middle" would end on D M D: it is not offered.
    for number, skill in enumerate(skills_of("raga-palta")):
        for seed in (number, number + 100):
            question = make_question(skill.id, seed=seed, setting=Setting(SA_HZ))
            named = [paltas()[question.detail[each]] for each in ("palta", "other")]
            sign = 1 if question.detail["way"] == "up" else -1
            shapes = [heights([sign * each for each in palta.shape]) for palta in named]
            for choice in question.choices:
                groups = map(line, choice.label.split(" | "))
                assert {heights(group) for group in groups} <= set(shapes), choice.label


def told_wrong(question):
    """The explanation of some wrong answer."""
    wrong = next(each.id for each in question.choices if each.id not in question.right)
    return KINDS[question.kind].explain(question, wrong)


def test_what_is_told_of_the_next_order_is_what_was_heard():
    for seed in range(30):
        question = make_question("prastara:next:4", seed=seed, setting=ABLE)
        *_, before = cut_by(swaras(heard(question.cue)), 4)
        right = line(question.choice(question.right[0]).label)
        # The rule of the treatise: the first from the left with a lower one before it.
        first = next(at for at in range(4) if min(before[: at + 1]) < before[at])
        why = told_wrong(question).why
        assert f"From the left, {name_of(before[first])} is the first" in why
        assert f"it gives its place to {name_of(right[first])}," in why
        assert before[first + 1 :] == right[first + 1 :]


def test_what_is_told_of_the_place_of_an_order_counts_up_to_it():
    for seed in range(30):
        question = make_question("prastara:number:4", seed=seed, setting=ABLE)
        first, order = cut_by(swaras(heard(question.cue)), 4)
        number = int(question.right[0])
        # Each of the four stands last in six, the highest in the first six (khandameru).
        begun = 6 * (3 - first.index(order[-1]))
        why = told_wrong(question).why
        assert f"{name_of(order[-1])} stands last in numbers {begun + 1} to {begun + 6};" in why
        assert f"is the {ORDINALS[number - begun - 1]}, number {number}." in why


def name_of(swara):
    return str(Swara.at(swara))


@pytest.mark.parametrize("way", ["altered", "continue", "third"])
def test_a_run_on_its_way_down_moves_down(way):
    ways = set()
    for seed in range(12):
        skill = f"palta:{way}:three"
        question = make_question(skill, seed=seed, setting=Setting(SA_HZ, met=(skill,)))
        played = [note.swara.steps for note in parse(question.sargam).notes()]
        falls = question.detail["way"] == "down"
        assert (played[-1] < played[0]) == falls
        ways.add(falls)
    assert ways == {True, False}


def test_what_is_new_begins_near_to_sa():
    for way in ("altered", "continue", "name", "same", "third"):
        question = make_question(f"palta:{way}:three", seed=3, setting=Setting(SA_HZ))
        assert abs(swaras(heard(question.cue))[0]) <= 5


def test_the_group_that_is_altered_is_drawn_and_heard_beside_the_one_before():
    for seed in range(16):
        question = make_question("palta:altered:four", seed=seed, setting=Setting(SA_HZ))
        clean, was = (
            [line(group) for group in question.detail[each].split(" | ")]
            for each in ("clean", "heard")
        )
        (at,) = (n for n in range(4) if clean[n] != was[n])
        told = KINDS["palta"].explain(question, question.right[0])
        played = swaras(heard(told.right_cue))
        first = at - (at > 0)
        assert played == sum((*was[first : first + 2], *clean[first : first + 2]), ())
        size = len(was[0])
        places = [n - size * (at - first) for n, each in enumerate(told.drawn) if each.deciding]
        assert places == [n for n in range(size) if was[at][n] != clean[at][n]]


def test_the_pattern_that_was_chosen_in_a_raga_is_named():
    for seed in range(8):
        question = make_question("raga-palta:yaman", seed=seed, setting=Setting(SA_HZ))
        one, other = (paltas()[question.detail[each]] for each in ("palta", "other"))
        sign = 1 if question.detail["way"] == "up" else -1
        for choice in question.choices:
            group = line(choice.label.split(" | ")[0])
            is_other = heights(group) == heights([sign * each for each in other.shape])
            why = KINDS["raga-palta"].explain(question, choice.id).why
            assert (f"You chose “{other.name}”" in why) == is_other
            assert (f"it was “{one.name}”" in why) == is_other


THIRDS = tuple(skill.id for skill in skills_of("palta") if ":third:" in skill.id)


@pytest.mark.parametrize("skill", THIRDS)
def test_a_written_group_is_worth_what_it_has_above_a_blind_guess(skill):
    kind, dice, blind = KINDS["palta"], random.Random(skill), []
    for seed in range(12):
        question = make_question(skill, seed=seed, setting=Setting(SA_HZ, met=(skill,)))
        keys = [choice.id for choice in question.choices]
        right = question.right[0].split()
        lines = possible(skill.rpartition(":")[2], len(right))
        assert tuple(map(keys.index, right)) in lines
        assert sum(lines.values()) == pytest.approx(1.0)
        assert question.chance == pytest.approx(max(lines.values()), rel=0.05)
        assert kind.mark(question, question.right[0]).credit == 1.0
        slipped = [*right[:-1], keys[keys.index(right[-1]) - 1]]
        assert 0.0 < kind.mark(question, " ".join(slipped)).credit < 1.0
        for places in dice.choices(list(lines), list(lines.values()), k=8):
            blind.append(kind.mark(question, " ".join(keys[at] for at in places)).credit)
    assert mean(blind) < 0.2


def test_a_blind_guess_is_the_best_that_any_line_earns():
    # By brute force over all lines of two and of four that may be right.
    for grade, size in (("three", 2), ("back", 4)):
        lines = possible(grade, size)
        best = max(
            sum(
                often * max(0, sum(map(int.__eq__, one, guess))) / size
                for one, often in lines.items()
            )
            for guess in lines
        )
        assert blind_share(grade, size) >= best - 0.02

"""`ornament`: what was played is heard again from the path, and from the sound, by `ears` alone."""

import re
from collections import Counter, defaultdict
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest, chisquare

from audio import render
from audio.ornaments import ornaments
from quizzes import KINDS, Setting, UnknownSkill, kind_of, make_question
from quizzes.choice_sets import fair_sets
from quizzes.kept import skills_of
from quizzes.kinds.ornament import NEAR
from tests.quizzes import ears

KIND = KINDS["ornament"]
SKILLS = tuple(skill.id for skill in skills_of(KIND.name))
NAMES = tuple(ornaments())
ALL_MET = Setting(sa_hz=138.59, met=SKILLS)

# Which ornaments a learner takes for one another: common practice.
TAKEN_FOR = {
    "kan": {"sparsh", "krintan", "murki"}, "sparsh": {"kan", "krintan"},
    "gamak": {"andolan"}, "andolan": {"gamak"},
    "krintan": {"zamzama", "kan", "sparsh"}, "zamzama": {"krintan", "murki"},
    "murki": {"zamzama", "kan"}, "meend": {"ghaseet"}, "ghaseet": {"meend"},
}  # fmt: skip

seeds = st.integers(0, 2**63 - 1)
names = st.sampled_from(NAMES)


def asked(skill, seed=1, setting=ALL_MET):
    return make_question(f"ornament:{skill}", seed=seed, setting=setting)


def heard(score):
    """What is done in each stroke."""
    return [ears.ornament(ears.pitch_of(stroke)) for stroke in score.strokes]


def ornamented(score):
    """The pitch of the one stroke that is not plain."""
    (cents,) = (c for c in map(ears.pitch_of, score.strokes) if ears.ornament(c) != "plain")
    return cents


@given(names, seeds, st.sampled_from(["just", "equal"]))
def test_one_stroke_has_the_ornament_and_three_are_plain(name, seed, tuning):
    question = asked(name, seed, Setting(sa_hz=138.59, met=SKILLS, tuning=tuning))
    assert Counter(heard(question.cue)) == {"plain": 3, name: 1}
    assert question.right == (name,)


@given(names, seeds)
def test_what_is_answered_is_played_on_the_same_phrase(name, seed):
    question = asked(name, seed)
    for choice in question.choices:
        explanation = kind_of("ornament:kan").explain(question, choice.id)
        if choice.id == name:
            assert explanation.given_cue is None
            continue
        right, given = explanation.right_cue, explanation.given_cue
        assert heard(right) == [name if one == choice.id else one for one in heard(given)]
        for one, other in zip(right.strokes, given.strokes, strict=True):
            assert (one.onset_s, one.duration_s) == (other.onset_s, other.duration_s)
            if ears.ornament(ears.pitch_of(one)) == "plain":
                assert one.path == other.path
            else:  # each comes to rest on the same swara
                assert abs(rest(one) - rest(other)) < ears.STILL_CENTS or "gamak" in (
                    name,
                    choice.id,
                )


def rest(stroke):
    pitch = ears.pitch_of(stroke)
    return float(np.mean(pitch)) if ears.ornament(pitch) == "andolan" else float(pitch[-1])


@given(st.integers(1, 5), seeds, st.sampled_from(["just", "equal"]))
def test_a_meend_goes_as_many_semitones_as_its_right_answer(span, seed, tuning):
    question = asked(f"span:{span}", seed, Setting(sa_hz=138.59, met=SKILLS, tuning=tuning))
    cents = ornamented(question.cue)
    assert ears.ornament(cents) == "meend"
    assert round(abs(cents[-1] - cents[0]) / 100) == span == int(question.right[0])


@given(st.integers(1, 5), seeds)
def test_a_span_is_explained_by_a_meend_and_its_two_swaras_struck_plainly(span, seed):
    question = asked(f"span:{span}", seed)
    for choice in question.choices:
        explanation = KIND.explain(question, choice.id)
        score = explanation.given_cue or explanation.right_cue
        meend, first, last = map(ears.pitch_of, score.strokes)
        assert ears.ornament(meend) == "meend"
        assert (meend[0], meend[-1]) == pytest.approx((first[0], last[0]))
        assert round(abs(last[0] - first[0]) / 100) == int(choice.id)


@given(st.sampled_from(["kan", "meend"]), seeds)
def test_a_kan_and_a_meend_come_from_the_side_that_is_right(name, seed):
    question = asked(f"side:{name}", seed)
    cents = ornamented(question.cue)
    assert ears.ornament(cents) == name
    assert question.right == ("above" if cents[0] > cents[-1] else "below",)
    (wrong,) = {"above", "below"} - set(question.right)
    other = ornamented(KIND.explain(question, wrong).given_cue)
    assert ears.ornament(other) == name
    assert (other[0] > other[-1]) == (wrong == "above")
    assert other[-1] == pytest.approx(cents[-1])


@pytest.mark.parametrize("name", ["kan", "meend"])
def test_both_sides_are_asked_alike(name):
    sides = Counter(asked(f"side:{name}", seed).right[0] for seed in range(400))
    assert chisquare(list(sides.values())).pvalue > 1e-4


@given(names, seeds, st.lists(st.sampled_from(SKILLS), unique=True), st.booleans())
def test_only_what_was_met_is_possible_and_two_of_it_remain(name, seed, met, rival):
    rivals = tuple(met[:1]) if rival else ()
    question = asked(name, seed, Setting(sa_hz=138.59, met=tuple(met), rivals=rivals))
    known = {f"ornament:{one}" for one in NAMES} & {*met, f"ornament:{name}"}
    possible = {f"ornament:{one}" for one in question.possible}
    assert possible <= known
    assert len(possible) >= min(2, len(known))
    if len(known) > 1:
        assert possible == {choice.skill for choice in question.choices}


@pytest.mark.parametrize(
    "pair", ["kan sparsh", "kan krintan", "krintan zamzama", "gamak andolan", "meend ghaseet",
             "sparsh zamzama", "sparsh krintan", "krintan murki"]
)  # fmt: skip
def test_acts_whose_words_run_together_are_told_apart(pair):
    first, second = pair.split()
    setting = Setting(sa_hz=138.59, met=(f"ornament:{first}", f"ornament:{second}"))
    for name in (first, second):
        offered = {choice.id for choice in asked(name, 1, setting).choices}
        assert offered == {first, second}


@pytest.mark.parametrize("name", NAMES)
def test_what_is_near_is_offered_more_often_than_not(name):
    offered = [{choice.id for choice in asked(name, seed).choices} for seed in range(200)]
    assert sum(bool(one & TAKEN_FOR[name]) for one in offered) > 120
    assert {other for one in offered for other in one} == set(NAMES)


def test_what_is_confused_with_it_is_always_offered():
    setting = Setting(sa_hz=138.59, met=SKILLS, rivals=("ornament:ghaseet",))
    for seed in range(50):
        assert "ghaseet" in {choice.id for choice in asked("kan", seed, setting).choices}


def test_a_beginner_chooses_between_two_that_are_near():
    for name in NAMES:
        offered = {choice.id for choice in asked(name, 1, Setting(sa_hz=138.59)).choices}
        assert len(offered) == 2
        assert name in offered
        assert any(frozenset(offered) == pair for pair in NEAR)


def test_the_choices_alone_do_not_tell_which_is_right():
    # A listener with no ears who has learnt, of each set of choices, which was right how often. Of
    # 600 answers an excess of 7 in a hundred would be noticed nine times in ten.
    learnt, right = defaultdict(Counter), 0
    order = np.random.default_rng(3).integers(0, len(NAMES), 2400)
    for seed, index in enumerate(order):
        question = asked(NAMES[index], seed)
        offered = frozenset(choice.id for choice in question.choices)
        if seed >= 1800:
            best = max(sorted(offered), key=lambda name, at=offered: learnt[at][name])
            right += best == question.right[0]
        learnt[offered][question.right[0]] += 1
    assert binomtest(right, 600, 0.25, alternative="greater").pvalue > 1e-3


def test_a_set_of_choices_weighs_the_same_whichever_of_its_members_is_right():
    sets = fair_sets(tuple(sorted(NAMES)), 4, NEAR)
    for name in NAMES:
        whole = sum(weight for chosen, weight in sets.items() if name in chosen)
        assert whole == pytest.approx(1.0, abs=0.01)
    assert set(sets) == set(combinations(sorted(NAMES), 4))


def test_neighbours_lie_clearly_apart_in_what_makes_them_and_across_in_what_does_not():
    rates, depths, lasts = defaultdict(list), defaultdict(list), defaultdict(list)
    for seed in range(100):
        for name in ("gamak", "andolan"):
            cents = ornamented(asked(name, seed).cue)
            rates[name].append(ears.turns_hz(cents, ears.turnings(cents)))
            depths[name].append(np.ptp(cents))
        for name in ("meend", "ghaseet"):
            cents = ornamented(asked(name, seed).cue)
            lasts[name].append(ears.change_s(cents))
    assert min(rates["gamak"]) > 1.8 * max(rates["andolan"])
    assert min(depths["gamak"]) < max(depths["andolan"])
    assert min(lasts["meend"]) < max(lasts["ghaseet"])


def test_no_ornament_lies_higher_or_lower_than_another_and_none_lasts_longer():
    # By the pitch of the plain strokes, the place in the phrase and the length: seen from any of
    # these, the nine ornaments are one.
    pitches, places, lengths = defaultdict(list), defaultdict(list), defaultdict(list)
    for name in NAMES:
        for seed in range(100):
            cue = asked(name, seed).cue
            (place,) = (i for i, one in enumerate(heard(cue)) if one != "plain")
            plain = [s.path[0][1] for i, s in enumerate(cue.strokes) if i != place]
            pitches[name].append(np.mean(plain))
            places[name].append(place)
            lengths[name].append(cue.duration_s)
    for values in (pitches, lengths):
        middle = np.median(np.concatenate(list(values.values())))
        above = [sum(value > middle for value in values[name]) for name in NAMES]
        assert chisquare(above).pvalue > 1e-3
    for place in range(4):
        assert chisquare([places[name].count(place) for name in NAMES]).pvalue > 1e-3


@pytest.mark.parametrize("skill", SKILLS)
def test_explanations_name_what_was_right_and_tell_the_answers_apart(skill):
    question = make_question(skill, seed=3, setting=ALL_MET)
    whys = {choice.id: KIND.explain(question, choice.id).why for choice in question.choices}
    right = question.right[0]
    assert len(set(whys.values())) == len(whys)
    assert all(why.startswith(whys[right]) for why in whys.values())
    for why in whys.values():
        assert re.fullmatch(r"[A-Z][^.]+\.( [A-Z0-9][^.]+\.){0,3}", why), why
        assert not re.search(r"  |{|}", why)


@pytest.mark.parametrize("name", NAMES)
def test_a_choice_says_what_the_hand_does_and_never_the_word(name):
    question = asked(name)
    assert question.prompt == "What did the left hand do?"
    for choice in question.choices:
        assert not re.search("|".join(NAMES), choice.label, re.IGNORECASE)
        assert re.fullmatch(r"[A-Z][^.]+", choice.label)
        assert len(choice.label) <= 45


@pytest.mark.parametrize("name", NAMES)
def test_the_word_comes_with_the_introduction_and_the_explanation(name):
    question = asked(name)
    assert f" {name}. " in KIND.introduce(question)
    assert ornaments()[name].about in KIND.introduce(question)
    for choice in question.choices:
        explanation = KIND.explain(question, choice.id)
        assert explanation.right_label.startswith(f"{name.capitalize()}: ")
        assert explanation.given_label.startswith(f"{choice.id.capitalize()}: ")
        assert f" {name}: " in explanation.why


@given(seeds, st.sampled_from(["just", "equal"]))
def test_a_kan_is_only_touched_where_a_sparsh_or_krintan_is_held(seed, tuning):
    setting = Setting(sa_hz=138.59, met=SKILLS, tuning=tuning)
    first_s = {}
    for name in ("kan", "sparsh", "krintan"):
        cents = ornamented(asked(name, seed, setting).cue)
        half_way = (cents > (cents[0] + cents[-1]) / 2) != (cents[0] > cents[-1])
        first_s[name] = np.argmax(half_way) * ears.STEP_S
    assert first_s["kan"] < 0.12
    assert min(first_s["sparsh"], first_s["krintan"]) > 0.6


@pytest.mark.parametrize("skill", ["ornament:", "ornament:span:6", "ornament:side:gamak"])
def test_a_skill_of_no_ornament_is_refused_with_what_there_is(skill):
    with pytest.raises(UnknownSkill, match="ornament:span:1"):
        KIND.make(skill, seed=1, setting=ALL_MET)


@pytest.mark.parametrize(("name", "seed"), [*((n, 1) for n in NAMES), ("ghaseet", 2)])
def test_the_ornament_is_heard_in_the_sound_alone(name, seed):
    # By Praat, from the samples: onsets by intensity, pitch by autocorrelation. Sa is high, so that
    # Praat's window (three periods of its floor) is shorter than a kan.
    question = asked(name, seed, Setting(sa_hz=240.0, met=SKILLS))
    sound = render.render(question.cue, drone=False)
    strokes = ears.strokes_heard(sound, floor_hz=135.0, sa_hz=question.cue.sa_hz)
    assert Counter(map(ears.ornament, strokes)) == {"plain": 3, name: 1}

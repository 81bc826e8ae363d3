"""Which tala, and where in it: thekas heard, by the files of the talas and by a teacher's word."""

import re
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import ks_2samp, spearmanr

from quizzes import KINDS, Setting, UnknownSkill, make_question
from quizzes.fresh import Fresh
from quizzes.kinds.khali import waved_in
from quizzes.talas import Form, Variant, talas
from quizzes.talas.asking import asked_talas, talas_in
from quizzes.talas.likeness import may_be_taken, may_stand_together, sure_starts
from quizzes.talas.offering import offered, shared_laya
from quizzes.talas.tala import ThekaText
from quizzes.talas.waves import waves_told
from quizzes.talas.wording import before_sam_told
from quizzes.wheel import Turning

SA_HZ = 138.59
KIND_NAMES = ("tala", "sam", "khali", "matra")
FOUR = ("dadra", "jhaptal", "rupak", "tintal")

TEACHER = """
[tala.tintal]
name = "Solah"
tali = [5, 9, 13]
khali = [1]

[[tala.tintal.theka]]
bols = "tin dhin dhin dha | dha dhin dhin dha | dha dhin dhin dha | dha dhin dhin dha"

[tala.rupak]
khali = []
tali = [1, 4, 6]
"""
"""An invented teacher's: tintal otherwise named, its sam waved, spoken tin; rupak all clapped."""


def ask(skill, seed=1, **setting):
    return make_question(skill, seed=seed, setting=Setting(SA_HZ, **setting))


def explained(question, given):
    return KINDS[question.kind].explain(question, given)


def credit(question, taps_s):
    taps = " ".join(str(round(1000 * tap)) for tap in sorted(taps_s))
    return KINDS["sam"].mark(question, taps).credit


def matras_struck(score, turning, cycle):
    """The matras, from 1, on which the sitar strikes."""
    places = [
        turning.place_at(score.lead_s + stroke.onset_s + 1e-6, cycle) for stroke in score.strokes
    ]
    return [round(place, 3) + 1 for place in places]


# What sounds alike.

WORDS = st.lists(st.sampled_from(["dha", "dhin", "tin", "na", "dhage", "-ke"]), min_size=3)


@given(WORDS, st.integers(0, 20))
def test_a_theka_is_taken_for_itself_turned_and_at_another_speed(words, turn):
    at = turn % len(words)
    turned = words[at:] + words[:at]
    halves = [one + other for one, other in zip(words[::2], words[1::2], strict=False)]
    assert may_be_taken(" ".join(words), " ".join(turned), anywhere=True)
    if len(words) % 2 == 0 and not any(len(word) > 4 or "-" in word for word in words):
        assert may_be_taken(" ".join(words), " ".join(halves), anywhere=False)


@given(WORDS)
def test_a_theka_is_not_taken_for_one_with_another_stroke(words):
    other = [*words[:-1], "kat"]
    assert not may_be_taken(" ".join(words), " ".join(other), anywhere=True)
    assert not may_be_taken(" ".join(other), " ".join(words), anywhere=False)


@pytest.mark.parametrize(
    ("one", "other", "together"),
    [
        # Common practice: for some addha is a way of playing tintal, jat of fourteen is dipchandi.
        ("tintal", "addha_tintal", False),
        ("jat", "dipchandi", False),
        # Sets of one length that are told by their thekas (common practice).
        ("jhumra", "dipchandi", True),
        ("dhamar", "ada_chautal", True),
        ("tintal", "tilwada", True),
        ("rupak", "tivra", True),
        ("tivra", "pashto", True),
        ("ektal", "chautal", True),
        ("keharwa", "dhumali", True),
    ],
)
def test_talas_stand_together_unless_one_is_heard_as_the_other(one, other, together):
    known = talas()
    assert may_stand_together(known[one], known[other], anywhere=True) == together
    assert may_stand_together(known[other], known[one], anywhere=False) == together


def test_sam_is_sure_only_where_the_theka_has_one_beginning():
    tintal = talas()["tintal"]
    assert sure_starts(tintal, tintal.thekas[0], 32) == tuple(range(16))
    twice = ThekaText("dha dhin na tin " * 4, "", "")
    taught = talas(
        '[[tala.tintal.theka]]\nbols = "' + "dha dhin na tin | " * 3 + 'dha dhin na tin"'
    )
    assert sure_starts(taught["tintal"], twice, 32) == ()
    assert {"sam:mark:tintal", "sam:tap:tintal"}.isdisjoint(
        one.id for one in KINDS["sam"].skills_of(taught)
    )


# What is offered.


@pytest.mark.parametrize("anywhere", [False, True])
def test_an_offer_is_of_four_that_may_stand_together_in_one_laya(anywhere):
    known = asked_talas(talas())
    doubtful = ("tintal", "addha_tintal", "jat", "dipchandi")
    for seed, right in enumerate((*known, *doubtful * 20)):
        ids = offered(Fresh(right, seed), right, known, anywhere=anywhere, seed=seed)
        some = [known[one] for one in ids]
        assert right in ids
        assert len(ids) == 4
        assert shared_laya(some)
        for one in some:
            for other in some:
                assert one is other or may_stand_together(one, other, anywhere=anywhere)


def test_a_name_says_nothing_of_who_is_right():
    known = asked_talas(talas())
    seen, right = Counter(), Counter()
    for seed in range(24):
        for one in known:
            ids = offered(Fresh(one, seed), one, known, anywhere=False, seed=seed, met=[*known])
            seen.update(ids)
            right[one] += 1
    assert all(2.4 < seen[one] / right[one] < 5.6 for one in known)


def test_rivals_come_in_and_those_met_before_others():
    known = asked_talas(talas())
    met = tuple(f"tala:{one}" for one in FOUR)
    offers = [ask("tala:tintal", seed, met=met, rivals=("tala:ektal",)) for seed in range(20)]
    ids = [{choice.id for choice in question.choices} for question in offers]
    with_rival = sum("ektal" in some for some in ids)
    assert 8 <= with_rival < 20
    assert all(some - {"ektal"} <= {*FOUR} for some in ids)
    assert known.keys() >= set().union(*ids)


def test_neither_length_nor_tempo_of_a_cue_tells_which_of_the_offered_it_is():
    met = tuple(f"tala:{one}" for one in FOUR)
    cues = {
        one: [ask(f"tala:{one}", seed, met=met) for seed in range(100, 160)]
        for one in ("dadra", "tintal")
    }
    for trait in (
        lambda question: question.cue.duration_s - question.cue.lead_s,
        lambda question: float(Fraction(question.detail["tempo"])),
        lambda question: question.detail["matras"],
    ):
        assert ks_2samp(*([trait(one) for one in some] for some in cues.values())).pvalue > 1e-3


# Each question.


@pytest.mark.parametrize("kind", KIND_NAMES)
def test_every_skill_names_its_tala_and_is_asked_whole_cycles(kind):
    known = talas()
    for seed, skill in enumerate(KINDS[kind].skills()):
        (name,) = talas_in([skill.id], known)
        question = ask(skill.id, seed)
        assert known[name].name in skill.name
        assert question.detail["matras"] >= known[name].matras
        assert 5.0 < question.cue.duration_s < 25.0
        assert question.cue.tabla[0].onset_s == 0.0
        assert KINDS[kind].mark(question, question.right[0]).right
        assert KINDS[kind].introduce(question).endswith(".")
        turned = explained(question, question.right[0])
        assert turned.wheel.form == known[name].form
        assert isinstance(turned.wheel.turning, Turning)


@pytest.mark.parametrize(
    "skill", ["tala:low:tintal", "tala:sam", "sam:tintal", "sam:mark:a", "khali:a", "khali:a:b"]
)
def test_what_is_no_skill_of_a_kind_is_refused(skill):
    with pytest.raises(UnknownSkill):
        ask(skill)


def test_two_talas_of_one_length_are_told_by_the_matra_on_which_they_part():
    question = next(
        each
        for each in (ask("tala:jhumra", seed) for seed in range(60))
        if "dipchandi" in {choice.id for choice in each.choices}
    )
    said = explained(question, "dipchandi")
    assert "14 matras in 3 + 4 + 3 + 4, tali on 1, 4 and 11, khali on 8" in said.why
    assert "Both have 14 matras; on matra" in said.why
    ends = [score.tabla[-1].onset_s for score in (said.right_cue, said.given_cue)]
    assert ends[0] == ends[1]


@pytest.mark.parametrize("name", ["tintal", "rupak", "dhamar", "ektal"])
def test_sam_lies_where_counting_on_from_the_first_point_comes_to_it(name):
    for seed in range(6):
        question = ask(f"sam:mark:{name}", seed)
        at, point = question.detail["from"], 1
        while at != talas()[name].matras:
            at, point = at + 1, point + 1
        assert question.right == (str(point),)
        assert question.wheel.blind
        assert question.wheel.turning.from_place == question.detail["from"]
        wrong = str(point % talas()[name].matras + 1)
        said = explained(question, wrong)
        cycle = talas()[name].matras
        assert matras_struck(said.right_cue, said.wheel.turning, cycle) == [1]
        assert matras_struck(said.given_cue, said.wheel.turning, cycle) == [2]


def test_a_lucky_touch_is_as_rare_as_there_are_beginnings():
    assert ask("sam:mark:tintal").chance == 1 / 15
    assert ask("khali:tintal").chance == 1 / 16
    assert ask("khali:ektal").chance == 2 / 12
    assert ask("matra:tintal").chance == 1 / 16
    assert ask("sam:tap:dadra").chance == 1 / 5


def right_times(question):
    return [ms / 1000 for ms in question.tapped(question.right[0])]


@pytest.mark.parametrize("name", ["tintal", "jhaptal", "dadra", "pashto"])
@settings(max_examples=12)
@given(seed=st.integers(0, 10**6), offs=st.lists(st.floats(-0.45, 0.45), min_size=3, max_size=3))
def test_taps_nearest_to_sam_are_right_and_the_first_may_be_missed(name, seed, offs):
    question = ask(f"sam:tap:{name}", seed)
    sams = right_times(question)
    matra_s = 60 / float(Fraction(question.detail["tempo"]))
    cycle = talas()[name].matras
    assert matra_s > 0.42  # half of it is more than a hand errs by
    assert [round((later - sam) / matra_s, 1) for sam, later in pairwise(sams)] == [cycle] * 2
    taps = [sam + off * matra_s for sam, off in zip(sams, offs, strict=True)]
    assert credit(question, taps) == credit(question, taps[1:]) == 1.0
    told = [met.off_ms for met in explained(question, question.right[0]).met]
    assert told == pytest.approx([0, 0, 0], abs=1)


@pytest.mark.parametrize(
    ("taps", "worth"),
    [
        (lambda sams, matra: [sam + late for sam in sams for late in (0, 0.2 * matra)], 1),
        (lambda sams, matra: sams[2:], 1 / 2),
        (lambda sams, matra: [*sams, sams[0] + matra], 2 / 3),
        (lambda sams, matra: [sam + matra for sam in sams], 0),
        (lambda sams, matra: [sam + 8 * matra for sam in sams], 0),
        (lambda sams, matra: [sams[1] + n * matra for n in range(16)], 1 / 17),
        (lambda sams, matra: [-0.9, *sams[1:]], 2 / 3),
    ],
    ids=["twice", "one", "one astray", "late", "khali", "every matra", "before"],
)
def test_other_taps_are_worth_the_share_of_sams_among_what_was_asked_and_tapped(taps, worth):
    question = ask("sam:tap:tintal", 4)
    sams, matra_s = right_times(question), 60 / float(Fraction(question.detail["tempo"]))
    tapped = sorted(taps(sams, matra_s))
    assert credit(question, tapped) == pytest.approx(worth)
    given = " ".join(str(round(1000 * tap)) for tap in tapped)
    said = explained(question, given)
    assert (said.given_cue is None) == (worth == 1)
    if worth == 0:
        assert "none of three sams" in said.why


def test_tintal_is_waved_on_matra_9_though_it_is_spoken_dha():
    # Common practice: khali is a gesture; the usual theka has dha on matra 9, and the bayan rests
    # on 10 to 13. In Bengali songs ektala is waved on 7 alone, elsewhere on 3 and 7.
    for seed in range(8):
        question = ask("khali:tintal", seed)
        assert [(question.detail["from"] + int(point)) % 16 for point in question.right] == [9]
    assert "Its dha still has the bass; then the bayan rests on matras 10 to 13" in waves_told(
        talas()["tintal"], talas()["tintal"].thekas[0]
    )
    question = ask("khali:ektal")
    begun = question.detail["from"]
    assert {(begun + int(point) - 1) % 12 + 1 for point in question.right} == {3, 7}
    assert ask("khali:rupak").prompt.endswith("(Some teachers wave none; here one is waved.)")


@pytest.mark.parametrize(
    ("name", "told"),
    [
        # By hand from the printed thekas, with the open strokes of the bayan in dha, dhin, dhi, ge.
        ("ada_chautal", "On 5 the bayan rests, and it sounds light there; on 9 it rests for one m"),
        ("ada_chautal", "on 13 it still sounds, then rests."),
        ("sultal", "on 9 it plays on, and the wave is only a gesture of the hand."),
        ("jhaptal", "There the bayan rests on matras 5 to 7, so this part sounds light; the bass"),
        ("dhamar", "then the bayan rests from matra 9 round to matra 1, and the bass comes back"),
        ("tilwada", "There the bayan rests on matras 7 to 10, but the bass comes back on 11."),
    ],
)
def test_of_each_wave_it_is_said_whether_the_bayan_rests_there(name, told):
    tala = talas()[name]
    assert told in waves_told(tala, tala.thekas[0])


def test_of_every_wave_something_is_said():
    for tala in asked_talas(talas()).values():
        for theka in tala.thekas if len(tala.khali) > 1 else ():
            said = re.findall(r"\d+", waves_told(tala, theka))
            assert sorted(map(int, said)) == sorted(tala.khali)


def test_what_leads_to_sam_leads_nowhere_else():
    for tala in asked_talas(talas()).values():
        for theka in tala.thekas:
            words = 2 * re.sub("-+", "-", theka.words.replace("|", " ")).split()
            led = before_sam_told(theka).split()
            ends = [at for at in range(len(words)) if words[: at + 1][-len(led) :] == led]
            assert {(end + 1) % tala.matras for end in ends if end + 1 >= len(led)} == {0}
            assert len(led) <= 6
    # Both halves of jhaptal end alike: it is khali that tells them apart.
    assert before_sam_told(talas()["jhaptal"].thekas[0]) == "tin na dhi dhi na"


COUNTED = ("matra", "khali", "sam:mark")


@pytest.mark.parametrize("sort", COUNTED)
def test_a_beginner_counts_slowly_and_nobody_too_fast(sort):
    # Common practice: students count at 60 to 110 matras a minute; beyond 160 hardly anyone does.
    fast = []
    for skill in [one.id for one in KINDS[sort.split(":")[0]].skills() if one.id.startswith(sort)]:
        tala = talas()[skill.rpartition(":")[2]]
        several = tuple(f"{sort}:{one}" for one in (*FOUR, tala.id))
        for met in ((), (skill,), several[:-1] if tala.id not in FOUR else (), several):
            tempos = [Fraction(ask(skill, seed, met=met).detail["tempo"]) for seed in range(3)]
            assert max(tempos) <= 160
            if met != several:
                assert max(tempos) <= 110
                assert min(tempos) >= (60 if "madhya" in tala.laya else 40)
            fast += tempos if met == several else []
    assert max(fast) > 125


def test_what_any_teaching_waves_is_khali_even_if_it_counts_otherwise():
    tintal = talas()["tintal"]
    half = Variant(Form(8, (2, 2, 2, 2), (1, 3, 7), (5,)), None, "in halves", "invented")
    late = Variant(Form(16, (4, 4, 4, 4), (1, 5, 9), (13,)), None, "waved late", "invented")
    odd = Variant(Form(7, (3, 2, 2), (1, 4), (6,)), None, "no matra of sixteen", "invented")
    assert waved_in(replace(tintal, variants=(half,))) == (9,)
    assert waved_in(replace(tintal, variants=(late, half, odd))) == (9, 13)


def test_a_touch_beside_khali_is_heard_beside_it():
    question = ask("khali:jhaptal", 3)
    (right,) = question.right
    said = explained(question, str(int(right) % 10 + 1))
    assert matras_struck(said.right_cue, said.wheel.turning, 10) == [6]
    assert matras_struck(said.given_cue, said.wheel.turning, 10) == [7]


@pytest.mark.parametrize("name", ["tintal", "rupak", "tilwada"])
def test_the_sitar_strikes_exactly_on_the_matra_that_is_right(name):
    cycle = talas()[name].matras
    for seed in range(8):
        question = ask(f"matra:{name}", seed)
        (stroke,) = question.cue.strokes
        matras = Fraction(stroke.onset_s).limit_denominator(10**5) * Fraction(
            question.detail["tempo"]
        )
        at = round(matras / 60)
        assert abs(float(matras / 60) - at) < 1e-3
        assert question.right == (str(at % cycle + 1),)
        late = str((at + 1) % cycle + 1)
        assert KINDS["matra"].mark(question, late).credit == 0
        said = explained(question, late)
        assert f"{late} is one matra late" in said.why
        assert {matra for matra, _ in said.wheel.marked} == {at % cycle + 1, int(late)}


def test_no_loudness_and_no_length_tells_the_matra():
    asked = [ask("matra:jhaptal", seed) for seed in range(120)]
    right = [int(question.right[0]) for question in asked]
    assert {*right} == {*range(1, 11)}
    for trait in (
        lambda question: question.cue.strokes[0].level_db,
        lambda question: question.cue.strokes[0].duration_s,
        lambda question: question.cue.duration_s,
        lambda question: question.cue.strokes[0].path[0][1],
    ):
        assert spearmanr(right, [trait(question) for question in asked]).pvalue > 1e-3


# A teacher's word.


def test_a_teacher_renames_a_tala_changes_its_theka_and_waves_its_sam():
    taught = {"tradition": TEACHER}
    named = ask("tala:tintal", 2, **taught)
    assert "Solah" in [choice.label for choice in named.choices]
    assert named.cue.tabla[0].bol == "tin"
    why = explained(named, "tintal").why
    assert "tali on 5, 9 and 13, khali on 1: tin dhin dhin dha |" in why
    other = next(choice.id for choice in named.choices if choice.id != "tintal")
    assert "Solah" in explained(named, other).why

    khali = ask("khali:tintal", 2, **taught)
    assert [(khali.detail["from"] + int(point) - 1) % 16 for point in khali.right] == [0]
    assert KINDS["khali"].mark(khali, khali.right[0]).right
    former = str((8 - khali.detail["from"]) % 16 + 1)
    assert not KINDS["khali"].mark(khali, former).right
    assert "waves on matra 1." in explained(khali, former).why
    assert explained(khali, former).given_label == f"Point {former}, matra 9"

    sam = ask("sam:mark:tintal", 2, **taught)
    assert "Solah" in sam.prompt
    said = explained(sam, sam.right[0])
    assert "Sam, tin, comes" in said.why
    assert said.right_label == f"Point {sam.right[0]}, matra 1"
    assert "Solah" in KINDS["matra"].introduce(ask("matra:tintal", 2, **taught))


def test_where_a_teacher_waves_nothing_khali_is_not_asked():
    assert KINDS["khali"].asked("khali:rupak", "")
    assert not KINDS["khali"].asked("khali:rupak", TEACHER)
    assert KINDS["sam"].asked("sam:tap:rupak", TEACHER)

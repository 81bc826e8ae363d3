"""Questions of decks: what is right, what a part of it is worth, what sounds, what is kept."""

import json
from collections import Counter
from dataclasses import replace
from itertools import combinations, permutations, product

import numpy as np
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from scipy.stats import chisquare

from audio import render
from audio.sargam import parse, write
from audio.tuning import Swara
from quizzes import KINDS, Setting, UnknownSkill, make_question, skill_of
from quizzes.decks.asking import entry_text, skills_of
from quizzes.decks.deck import Asked, Before, Cue, Deck, Narrowed, Offered, as_json, from_json
from quizzes.decks.narrowing import check_narrowed
from quizzes.decks.posed import ids_of, read
from quizzes.kinds.deck_narrowed import KindAmong
from quizzes.kinds.deck_swaras import credit_of
from quizzes.ragas import ragas, separates
from quizzes.ragas.evidence import swaras_of
from tests.quizzes.decks.made import (
    AMONG,
    DECK,
    GAPS,
    PASSED,
    PHRASE,
    REST,
    STAGES,
    THEKA,
    WRITE,
    asked,
    choices,
)
from tests.quizzes.ears import strokes_heard

KIND = KINDS["deck"]
SA_HZ = 220.0
SEEDS = st.integers(0, 2**63 - 1)


def deck_of(*entries):
    return Deck("mine", "Mine", entries)


def ask(entry, seed=1, *, thing="", deck=None, **setting):
    deck = deck or deck_of(entry)
    skill = f"mine:{entry.id}" + (f":{thing}" if thing else "")
    text = entry_text(deck, f"deck:{skill}")
    return make_question(f"deck:{skill}", seed=seed, setting=Setting(SA_HZ, deck=text, **setting))


def credit(question, given):
    return KIND.mark(question, given).credit


def every_answer(question, entry):
    """All that can be given, but for lines of swaras: those with one swara changed."""
    ids = [choice.id for choice in question.choices]
    if question.answer_on == "order":
        return [" ".join(each) for each in permutations(ids)]
    if question.answer_on == "several":
        chosen = product([False, True], repeat=len(ids))
        sets = [[one for one, taken in zip(ids, each, strict=True) if taken] for each in chosen]
        return [" ".join(each) for each in sets if each]
    if question.answer_on == "choices":
        return ids
    if question.answer_on == "sargam":
        return [*question.right, ids[0], " ".join(ids[: question.places])]
    rows = [line.split() for line in entry.lines]
    changed = [[*row[:at], key, *row[at + 1 :]] for row in rows for at in (0, -1) for key in ids]
    return [" ".join(row[: question.places]) for row in changed if row]


def told_right(entry, question, given):
    """Whether a teacher would call it right, by the words of the deck alone."""
    labels = {choice.id: choice.label for choice in question.choices}
    if entry.form == "write-swaras":
        return given in entry.lines
    if entry.form == "write-phrase":
        return given == write(parse(entry.cue.sargam))
    if entry.form == "put-in-order":
        at = {labels[each]: place for place, each in enumerate(given.split())}
        pairs = [(pair.first, pair.then) for pair in entry.before]
        pairs = pairs or list(zip(entry.things, entry.things[1:], strict=False))
        return all(at[one] < at[other] for one, other in pairs)
    if entry.form == "true-or-false":
        right = next(one.text for one in entry.offered if one.right)
        return labels[given] == f"{entry.holds}: {right}"
    rights = {one.text for one in entry.offered if one.right}
    chosen = {labels[each] for each in given.split()}
    return chosen <= rights if entry.form == "choose-one" else chosen == rights


@given(asked(), SEEDS)
@settings(max_examples=80)
def test_what_the_teacher_calls_right_is_marked_so_and_nothing_else(entry, seed):
    question = ask(entry, seed)
    answers = every_answer(question, entry)
    for answer in answers:
        mark = KIND.mark(question, answer)
        assert mark.right == told_right(entry, question, answer)
        assert 0.0 <= mark.credit <= 1.0
    assert all(KIND.mark(question, answer).right for answer in question.right)
    for answer in {answers[0], answers[-1], *question.right[:1]}:
        told = KIND.explain(question, answer)
        assert told.right_label
        assert told.given_label
        assert told.why.startswith(entry.why)
    assert KIND.introduce(question).startswith(entry.prompt)


def test_shades_of_a_phrase_to_write_are_heard_and_not_asked_for():
    entry = replace(PHRASE, cue=replace(PHRASE.cue, sargam="N,_ R^/ G - R*"))
    question = ask(entry)
    assert question.right == ("N, R/ G - R",)
    assert credit(question, "N, R/ G - R") == credit(question, "N,_ R^/ G - R*") == 1.0
    beside = KIND.explain(question, "S").beside
    assert not any(sign in row.was for row in beside for sign in "^_*")
    assert ask(PHRASE).cue.strokes != question.cue.strokes


@given(asked(), SEEDS)
def test_the_chance_of_a_guess_is_the_share_of_answers_that_are_right(entry, seed):
    assume(not entry.form.startswith("write-"))
    question = ask(entry, seed)
    answers = every_answer(question, entry)
    right = sum(KIND.mark(question, answer).right for answer in answers)
    offered = " ".join(choice.id for choice in question.choices)
    if entry.form == "put-in-order" and not KIND.mark(question, offered).right:
        answers.remove(offered)  # nobody leaves a list as it stands, unless it is right
    best = right / len(answers)
    if entry.form == "true-or-false":  # or one picks the verdict first
        mine = [answer for answer in answers if answer.startswith(str(entry.holds).lower())]
        best = max(best, right / len(mine) / 2)
    assert question.chance == pytest.approx(best)
    assert question.chance == pytest.approx(skills_of(deck_of(entry))[0].chance)


@given(asked("write-swaras"), SEEDS)
def test_the_chance_of_a_line_is_that_of_the_length_at_which_a_guess_is_best(entry, seed):
    question = ask(entry, seed)
    short = [line.split() for line in entry.lines if len(line.split()) <= 2]
    keys, lengths = [choice.id for choice in question.choices], {len(line) for line in short}
    for size in lengths:
        lines = [" ".join(line) for line in product(keys, repeat=size)]
        right = sum(line in entry.lines for line in lines)
        assert question.chance >= right / len(lines) * (1 - 1e-9)
    if len(short) == len(entry.lines) and len(lengths) == 1:
        assert question.chance == pytest.approx(right / len(lines))
    assert question.chance == skills_of(deck_of(entry))[0].chance


def test_a_short_line_among_long_ones_is_guessed_as_often_as_if_it_stood_alone():
    lines = ("S", "S R G M P D N")
    question = ask(replace(WRITE, lines=lines))
    assert question.chance == 1 / len(question.choices) == 1 / 10


@given(asked(), SEEDS)
def test_a_question_is_made_again_from_its_log_row_alone(entry, seed):
    assert from_json(json.loads(json.dumps(as_json(entry)))) == entry
    question = ask(entry, seed)
    row = json.loads(json.dumps(question.setting.as_json()))
    again = make_question(question.skill, seed=seed, setting=Setting.from_json(row))
    assert again == question
    assert len({choice.id for choice in question.choices}) == len(question.choices)
    assert not any(set(choice.id) & set(" \n\t") for choice in question.choices)


@given(asked("choose-several"), SEEDS)
def test_a_part_of_several_is_worth_what_is_above_luck(entry, seed):
    question = ask(entry, seed)
    ids = [choice.id for choice in question.choices]
    rights = set(question.right[0].split())
    whole = sum(credit(question, each) for each in (" ".join(ids), question.right[0]))
    assert whole == 1.0  # to choose all earns nothing
    for answer in every_answer(question, entry):
        chosen = set(answer.split())
        for more in set(ids) - chosen:
            wider = " ".join(each for each in ids if each in chosen | {more})
            change = credit(question, wider) - credit(question, answer)
            assert change >= 0 if more in rights else change <= 0


def test_what_several_choices_are_worth():
    question = ask(STAGES)  # three are right, two are not
    labels = {choice.label: choice.id for choice in question.choices}

    def worth(*names):
        given = [choice.id for choice in question.choices if choice.label in names]
        assert len(given) == len(names) <= len(labels)
        return credit(question, " ".join(given))

    # Youden's J by hand: hits of the right ones less false alarms of the wrong ones.
    assert worth("Alap", "Jor") == pytest.approx(2 / 3)
    assert worth("Alap", "Jor", "Jhala", "Drut gat") == pytest.approx(1 / 2)
    assert worth("Alap", "Drut gat") == 0.0


@given(asked("put-in-order"), SEEDS)
def test_the_credit_of_an_order_is_the_share_of_pairs_that_every_right_order_keeps(entry, seed):
    question = ask(entry, seed)
    names = {choice.id: choice.label for choice in question.choices}
    allowed = [each for each in permutations(names) if told_right(entry, question, " ".join(each))]
    ordered = [
        (one, other)
        for one, other in permutations(names, 2)
        if all(each.index(one) < each.index(other) for each in allowed)
    ]
    assert {tuple(right.split()) for right in question.right} == set(allowed)
    for order in permutations(names):
        kept = sum(order.index(one) < order.index(other) for one, other in ordered)
        assert credit(question, " ".join(order)) == pytest.approx(kept / len(ordered))


def test_of_more_orders_than_can_be_listed_each_is_right_all_the_same():
    things, pair = tuple("abcdefghijkl"), (Before("l", "a"),)
    assert ask(Asked("full", "put-in-order", "?", "Full", things=things)).right == (
        " ".join(things),
    )
    question = ask(Asked("many", "put-in-order", "?", "Many", things=things, before=pair))
    # Half of the 12! orders have l before a.
    assert question.chance == pytest.approx(0.5, rel=1e-6)
    assert credit(question, " ".join("lkjihgfedcba")) == 1.0
    assert credit(question, " ".join("abcdefghijkl")) == 0.0
    told = KIND.explain(question, " ".join("bcdefghijkal"))
    assert told.counted == "0 of 1 pair in order"
    assert told.nearest == " ".join("bcdefghijkla")  # of all right orders the nearest
    assert told.why == "“l” comes before a."
    assert KIND.explain(question, " ".join("lkjihgfedcba")).right_label == ", ".join("lkjihgfedcba")


def test_of_many_broken_pairs_the_first_are_told():
    entry = Asked("q", "put-in-order", "?", "Q", why="So.", things=tuple("abcdefg"))
    told = KIND.explain(ask(entry), " ".join("gfedcba")).why.split("\n")
    assert told == ["So.", *(f"“{one}” comes before {two}." for one, two in ("ab", "bc", "cd"))]
    assert KIND.explain(ask(entry), " ".join("abcdefg")).why == "So."


@given(asked("put-in-order"), SEEDS, st.data())
def test_beside_an_order_stands_the_right_one_nearest_to_it(entry, seed, data):
    question = ask(entry, seed)
    put = data.draw(st.permutations([choice.id for choice in question.choices]))
    told = KIND.explain(question, " ".join(put))
    turned = {right: _turned(right.split(), put) for right in question.right}
    assert turned[told.nearest] == min(turned.values())


def test_the_nearest_of_very_many_right_orders_is_found_at_once():
    things = "abcdefghijkl"
    entry = Asked("q", "put-in-order", "?", "Q", things=tuple(things), before=(Before("a", "l"),))
    question = ask(entry)
    for put, near in (
        ("lbcdefghijka", "bcdefghijkal"),
        ("bcdlaefghijk", "bcdalefghijk"),
        (things, things),
    ):
        told = KIND.explain(question, " ".join(put))
        assert _turned(told.nearest.split(), put) == _turned(near, put)


def _turned(order, put):
    """How many pairs stand the other way round (Kendall 1938)."""
    return sum(order.index(one) > order.index(other) for one, other in combinations(put, 2))


def test_texts_with_commas_or_of_several_words_can_be_told_apart():
    things = ("Sa, alone", "The lower saptak", "Jor")
    question = ask(Asked("q", "put-in-order", "Put them.", "Q", things=things))
    introduced = "Put them. The order is: Sa, alone; The lower saptak; Jor."
    assert KIND.introduce(question) == introduced
    long = Asked("q", "put-in-order", "So:", "Q", why="Why.", things=("a" * 50, "b" * 50))
    one, other = long.things
    assert KIND.introduce(ask(long)) == f"So: The order is:\n1. {one}\n2. {other}\nWhy."
    told = KIND.explain(question, "the-lower-saptak sa,-alone jor")
    assert told.given_label == "The lower saptak; Sa, alone; Jor"
    assert told.why == "“Sa, alone” comes before “The lower saptak”."
    both = (Offered("Of ten", right=True), Offered("Five", right=True), Offered("Six"))
    question = ask(Asked("q", "choose-several", "?", "Q", offered=both))
    told = KIND.explain(question, question.right[0])
    assert told.right_label in ("“Of ten” and Five", "Five and “Of ten”")
    assert not told.why  # what was right stands beside it


def test_what_nothing_in_a_phrase_rules_out_is_said_to_be_left():
    # Yaman has every swara of Bhupali (any handbook of ragas).
    phrases = {"bhupali": ("S R G P G R S",), "yaman": ("N, R G M P",), "bhairav": ("m G r S",)}
    entry = Narrowed("q", "raga-from-phrase", "Q", (), tuple(phrases), phrases)
    question = ask(entry, thing="bhupali")
    left = "Nothing in it rules out Yaman; your teacher gives it as a phrase of Bhupali."
    assert KIND.explain(question, "bhupali").why.endswith(f"Bhairav has komal Re. {left}")
    assert KIND.explain(question, "yaman").why.startswith(left)
    assert "Yaman" not in KIND.explain(question, "bhairav").why
    assert "rules out" not in KIND.explain(ask(entry, thing="yaman"), "yaman").why


@given(st.lists(st.sampled_from("SRGP"), min_size=2, max_size=6), st.data())
def test_one_swara_over_and_over_earns_nothing_and_each_slip_costs(line, data):
    for swara in "SRGPN":
        assert credit_of(line, [swara] * len(line)) in (0.0, float(set(line) == {swara}))
    at = data.draw(st.integers(0, len(line) - 1))
    once = [*line[:at], "N", *line[at + 1 :]]
    assert credit_of(line, once) < credit_of(line, line) == 1.0
    assert credit_of(line, ["N"] * len(line)) <= credit_of(line, once)


@given(asked("write-swaras"), SEEDS)
def test_the_pad_has_every_swara_that_is_needed_and_some_near_ones_that_are_not(entry, seed):
    question = ask(entry, seed)
    keys = [choice.id for choice in question.choices]
    needed = {word for line in entry.lines for word in line.split()}
    assert needed < set(keys)
    assert max(8, len(needed) + 3) == len(keys) <= 27
    steps = [Swara.read(key).steps for key in keys]
    assert steps == sorted(steps)  # as on the string: their order tells nothing
    assert steps[0] >= -12
    assert steps[-1] < 24
    assert [choice.id for choice in ask(entry, seed + 1).choices] == keys


def test_a_pad_of_all_swaras_has_no_key_besides():
    lines = tuple(" ".join(each + mark for each in "SrRgGmMPdDnN") for mark in (",", "", "'"))
    question = ask(replace(WRITE, lines=lines))
    assert [choice.id for choice in question.choices] == " ".join(lines).split()
    assert question.chance == pytest.approx(3 / 36**12)


def test_a_right_verdict_for_a_wrong_reason_is_half_right():
    question = ask(THEKA)
    worth = {choice.label: credit(question, choice.id) for choice in question.choices}
    assert worth == {
        "True: It has sixteen matras": 1.0,
        "True: It has ten matras": 0.5,
        "False: It has no khali": 0.0,
    }
    told = {each.id: KIND.explain(question, each.id) for each in question.choices}
    assert told["true-it-has-ten-matras"].why.endswith("Count again.")
    assert sorted(each.counted for each in told.values()) == [
        *("", ""),
        "the verdict, but not the reason",
    ]


def test_verdicts_and_their_reasons_stand_in_any_order():
    lists = [[choice.label for choice in ask(THEKA, seed).choices] for seed in range(40)]
    true, ten = "True: It has sixteen matras", "True: It has ten matras"
    false = "False: It has no khali"
    assert {tuple(each) for each in lists} == {
        (*pair, false) if last else (false, *pair)
        for pair in ((true, ten), (ten, true))
        for last in (True, False)
    }


def test_of_several_right_lines_the_nearest_is_told():
    question = ask(replace(WRITE, lines=("S R G", "P D N S'")))
    told = KIND.explain(question, "P D N R")
    assert told.right_label == "P D N S'"
    assert told.why.endswith("Swara 4 was S'; you wrote R.")


def test_a_verdict_may_stand_without_reasons():
    bare = Asked("so", "true-or-false", "It is so.", "So", holds=False)
    question = ask(bare)
    assert {choice.label: credit(question, choice.id) for choice in question.choices} == {
        "True": 0.0,
        "False": 1.0,
    }


@pytest.mark.parametrize("form", ["choose-one", "put-in-order"])
def test_the_order_of_choices_is_drawn_and_not_the_files(form):
    entry = (
        Asked("q", form, "?", "Q", offered=choices(count=4))
        if form == "choose-one"
        else Asked("q", form, "?", "Q", things=("a", "b", "c", "d"))
    )
    counts = Counter()
    for seed in range(400):
        question = ask(entry, seed)
        first = question.right[0].split()[0]
        counts[[choice.id for choice in question.choices].index(first)] += 1
    # Chi-square against the even spread (Pearson 1900). Of 24 orders the right one is not offered.
    even = [1, 1, 1, 1] if form == "choose-one" else [5, 6, 6, 6]
    even = np.array(even) * 400 / sum(even)
    assert chisquare([counts[place] for place in range(4)], even).pvalue > 1e-4


def test_what_is_chosen_wrongly_is_told_and_played():
    question = ask(REST, deck=DECK)
    told = KIND.explain(question, "re")
    assert told.why == "It dwells on Ga.\nRe is passed through."
    assert (told.right_label, told.given_label) == ("Ga", "Re")
    assert told.given_cue is not None
    assert told.right_cue.sa_hz == told.given_cue.sa_hz == question.cue.sa_hz
    assert (len(told.right_cue.strokes), len(told.given_cue.strokes)) == (5, 3)
    assert KIND.explain(question, "ga").given_cue is None


def test_where_several_are_right_the_one_that_was_given_is_told():
    question = ask(Asked("q", "choose-one", "?", "Q", offered=choices(right=2)))
    assert KIND.explain(question, "re").right_label == "Re"
    assert set(KIND.explain(question, "ma").right_label.split(" or ")) == {"Ga", "Re"}


def test_a_question_taken_for_another_of_the_deck_is_kept_by_that():
    question = ask(REST, deck=DECK)
    heard = {choice.id: KIND.mark(question, choice.id).heard for choice in question.choices}
    assert heard == {"ga": None, "re": "deck:mine:passed", "tivra-ma": None}
    # Where the other question does not offer "Ga", nobody took that one for this.
    apart = replace(PASSED, offered=(Offered("Pa"), Offered("Re", True)))
    question = ask(REST, deck=deck_of(REST, apart))
    assert {KIND.mark(question, choice.id).heard for choice in question.choices} == {None}
    # Moved to another place, or beside another choice, an answer is still the same one.
    assert ids_of(["Tivra  Ma", "Re"]) == ["tivra-ma", "re"]
    assert ids_of(["Re!", "Re!", "re!"]) == ["re!", "re!-2", "re!-3"]


@given(asked(), SEEDS)
def test_the_cue_is_what_the_deck_says(entry, seed):
    cue, score = entry.cue, ask(entry, seed).cue
    assert render.frames_of(score) > 0  # silence, too, is played
    assert score.is_silent == (cue == Cue() or not (cue.sargam or cue.theka or cue.recording))
    assert [(clip.name, clip.seconds) for clip in score.clips] == (
        [(cue.recording, cue.seconds)] if cue.recording else []
    )
    drones = {"Sa-Ma": "m", "Sa-Pa": "P", "Sa-Ni": "N", "none": None}
    usual = "P" if cue.sargam or cue.theka else None
    assert (score.drone and score.drone.first) == drones.get(cue.drone, usual)
    if cue.sargam:
        line = parse(cue.sargam)
        strokes = [each for each in score.strokes if each.voice != "chikari"]
        assert {each.voice for each in strokes} == {cue.voice}
        assert all(abs(each.level_db) <= 1.0 for each in strokes)
        last = [note.onset for note in line.notes()][-1]
        begins_s = score.tabla[4].onset_s if score.tabla else 0.0  # after four beats
        tempo = float(last) * 60.0 / (strokes[-1].onset_s - begins_s)
        assert cue.tempo in (0.0, pytest.approx(tempo, rel=0.01))
        assert 40.0 < tempo < 100.0
    if cue.theka:
        assert len(score.tabla) >= cue.cycles * {"tintal": 16, "rupak": 7}[cue.theka]


def test_a_skill_takes_the_time_of_its_cue_and_of_its_answer():
    def seconds(**cue):
        return skills_of(deck_of(replace(REST, cue=Cue(**cue))))[0].seconds

    silent = seconds()
    assert seconds(theka="rupak", cycles=2, tempo=60.0) == silent + 14.0
    assert seconds(sargam="S R:3", tempo=60.0) == silent + 4.0
    assert seconds(recording="a.wav", seconds=2.5) == silent + 2.5


def test_what_sounds_is_the_sargam():
    # Pitch as Praat hears it; just ratios (5/4 and so on) from memory, a Bohlen table has the same.
    entry = Asked("w", "write-swaras", "?", "W", Cue(sargam="S G P m r", tempo=60.0), lines=("S",))
    question = ask(entry, 5)
    sounds = render.render(question.cue, drone=False)
    heard = strokes_heard(sounds, floor_hz=question.cue.sa_hz * 0.7, sa_hz=question.cue.sa_hz)
    ratios = [1, 5 / 4, 3 / 2, 4 / 3, 16 / 15]
    cents = [float(np.median(each)) for each in heard if len(each) > 20]
    assert cents == pytest.approx([1200 * np.log2(ratio) for ratio in ratios], abs=6.0)


@pytest.mark.parametrize(("tuning", "cents"), [("equal", 400.0), ("", 386.31), ("just", 386.31)])
def test_a_cue_sounds_in_its_own_tuning_and_else_in_the_students(tuning, cents):
    # Ga is 5/4 when just (from memory).
    entry = replace(REST, cue=Cue(sargam="S G", tuning=tuning))
    for setting in ("just", "equal") if tuning else ("just",):
        question = ask(entry, tuning=setting)
        told = KIND.explain(question, "ga")
        for score in (question.cue, told.right_cue, told.slow_cue):
            assert score.strokes[-1].path[-1][1] == pytest.approx(cents, abs=0.01)


def test_sa_moves_within_three_semitones_and_not_at_all_without_a_drone():
    def moves(drone):
        asked = [ask(replace(REST, cue=replace(REST.cue, drone=drone)), seed) for seed in range(20)]
        return [12 * np.log2(question.cue.sa_hz / SA_HZ) for question in asked]

    assert moves("none") == [0.0] * 20  # nothing else says where Sa is
    assert 0.0 not in moves("Sa-Ma")
    assert max(map(abs, moves("Sa-Ma"))) <= 3.0


def test_an_explanation_plays_evenly_what_was_asked_with_small_differences():
    question = ask(REST)
    told = KIND.explain(question, "ga")
    assert len({stroke.level_db for stroke in question.cue.strokes}) > 1
    for score in (told.right_cue, told.slow_cue):
        assert len({stroke.level_db for stroke in score.strokes}) == 1


def test_nothing_sounds_twice_the_same_but_a_recording():
    assert len({ask(WRITE, seed).cue for seed in range(20)}) == 20
    assert len({ask(WRITE, seed).cue.sa_hz for seed in range(20)}) == 20
    recorded = Asked(
        "r", "choose-one", "?", "R", Cue(recording="a.wav", seconds=2.0), "", choices()
    )
    assert len({ask(recorded, seed).cue for seed in range(5)}) == 1


def test_a_narrowed_kind_asks_the_kinds_own_skills():
    assert skills_of(deck_of(GAPS)) == tuple(map(skill_of, GAPS.skills))
    again = replace(GAPS, id="again", skills=GAPS.skills[:1])
    assert skills_of(deck_of(GAPS, again)) == skills_of(deck_of(GAPS))


def test_a_narrowed_question_without_a_name_is_called_by_what_it_asks():
    phrases = next(each for each in DECK.entries if each.id == "phrases")
    for entry, unnamed in ((AMONG, "Re"), (phrases, "Yaman from a phrase")):
        names = [skill.name for skill in skills_of(deck_of(entry))]
        assert all(name.startswith(f"{entry.name}: ") for name in names)
        titled = replace(entry, name=KINDS[entry.kind].title)
        assert skills_of(deck_of(titled))[0].name == unnamed


def test_a_deck_asks_each_of_its_skills_and_knows_no_other():
    skills = skills_of(DECK)
    assert len({skill.id for skill in skills}) == len(skills) == 16
    assert {skill.kin for skill in skills if skill.kind == "deck"} == {"deck:mine"}
    for skill in skills:
        text = entry_text(DECK, skill.id) if skill.kind == "deck" else ""
        question = make_question(skill.id, seed=3, setting=Setting(SA_HZ, deck=text))
        assert (question.skill, question.kind) == (skill.id, skill.kind)
    with pytest.raises(UnknownSkill, match="not asked by the deck"):
        entry_text(DECK, "deck:mine:other")
    with pytest.raises(UnknownSkill, match=r"Setting\.deck"):
        make_question("deck:mine:rest", seed=1, setting=Setting(SA_HZ))
    text = entry_text(DECK, "deck:mine:order")
    with pytest.raises(UnknownSkill, match="not asked by the question"):
        make_question("deck:mine:rest", seed=1, setting=Setting(SA_HZ, deck=text))


@given(st.sampled_from(["R", "G"]), SEEDS)
def test_what_is_offered_is_what_the_teacher_names(thing, seed):
    question = ask(AMONG, seed, thing=thing)
    assert {choice.id for choice in question.choices} == {"R", "G", "P"}
    assert question.right == (thing,)
    assert question.answer_on == "string"
    other = {"R": "G", "G": "R"}[thing]
    assert KIND.mark(question, other).heard == f"deck:mine:among:{other}"
    assert KIND.mark(question, "P").heard is None
    assert KIND.explain(question, other).given_cue is not None


STAGES_AMONG = Narrowed(
    "for", "what-for", "For", ("what-for:named:alap",), ("alap", "jor", "tihai")
)


def test_a_kind_is_drawn_again_until_it_offers_what_is_named():
    assert check_narrowed(STAGES_AMONG) == []
    full = 0
    for seed in range(12):
        question = ask(STAGES_AMONG, seed, thing="named:alap")
        full += len(question.choices) == len(STAGES_AMONG.among)
        offered = {choice.id for choice in question.choices}
        assert {"alap"} < offered <= set(STAGES_AMONG.among)
        assert set(question.possible) <= offered
        assert question.chance == 1 / len(question.possible)
    assert full >= 10  # mostly all that is named: what is left out could tell what is right
    (skill,) = skills_of(deck_of(STAGES_AMONG))
    assert skill.chance == 1 / 3


def test_a_narrowed_kind_is_asked_as_its_own_skills_are():
    seen = []

    class Spy:
        def make(self, skill, *, seed, setting):
            seen.append((skill, setting))
            return KINDS["swara"].make(skill, seed=seed, setting=setting)

    text = entry_text(deck_of(AMONG), "deck:mine:among:R")
    setting = Setting(SA_HZ, deck=text, rivals=("deck:mine:among:G",), met=("deck:mine:among:R",))
    KindAmong({"swara": Spy()}).make(read(text), "deck:mine:among:R", seed=1, setting=setting)
    ((skill, inner), *_) = seen
    assert (skill, inner.deck, inner.rivals) == ("swara:R", "", ("swara:G",))
    assert {"swara:R", "swara:G", "swara:P"} <= set(inner.met)


def test_where_the_kind_draws_too_few_of_what_is_named_another_stands_beside_the_right_one():
    # A deck may have been made with another edition of what Kaan asks.
    question = ask(replace(AMONG, among=("G", "nothing")), 2, thing="R")
    assert {"R", "G"} == {choice.id for choice in question.choices}
    assert credit(question, "R") == 1.0
    question = ask(replace(AMONG, among=("R", "nothing")), 2, thing="R")
    assert len(question.choices) == 2
    assert credit(question, "R") == 1.0


@given(st.sampled_from(["yaman", "bhupali"]), SEEDS)
def test_of_ragas_with_phrases_one_of_these_sounds(raga, seed):
    entry = next(each for each in DECK.entries if each.id == "phrases")
    question = ask(entry, seed, thing=raga)
    assert question.sargam in entry.phrases[raga]
    other = ({"yaman", "bhupali"} - {raga}).pop()
    mark = KIND.mark(question, other)
    assert (mark.credit, mark.heard) == (0.0, f"deck:mine:phrases:{other}")
    told = KIND.explain(question, other)
    assert told.given_cue is not None
    assert told.given_label == ragas()[other].name


def test_every_phrase_of_the_teacher_is_drawn_at_another_sa():
    entry = next(each for each in DECK.entries if each.id == "phrases")
    asked_ones = [ask(entry, seed, thing="yaman") for seed in range(12)]
    assert {each.sargam for each in asked_ones} == set(entry.phrases["yaman"])
    assert len({each.cue.sa_hz for each in asked_ones}) == 12


@given(st.sampled_from(["yaman", "malkauns", "bhairav"]), SEEDS)
@example("malkauns", 1)
@settings(max_examples=15)
def test_a_grown_phrase_tells_the_raga_from_all_that_are_offered(raga, seed):
    entry = next(each for each in DECK.entries if each.id == "grown")
    question = ask(entry, seed, thing=raga)
    line, known = parse(question.sargam), ragas()
    assert {choice.id for choice in question.choices} == set(entry.among)
    # The tanpuras of the three share no first string: Sa itself stays where it is known.
    assert (question.cue.drone, question.cue.sa_hz) == (None, SA_HZ)
    for other in set(entry.among) - {raga}:
        assert separates(line, known[raga], known[other]) is not None
        # By the letters alone it is not that raga: it lacks one of them.
        assert not {each.letter for each in swaras_of(line)} <= known[other].own


def test_what_cannot_be_offered_is_told():
    def told(**changes):
        return check_narrowed(replace(AMONG, **changes))

    assert told() == []
    assert told(among=()) == []
    ((field, wrong, remedy),) = told(among=("R", "Q"))
    assert field == "among"
    assert "swara:R" in wrong
    assert "name ids of its answers, such as" in remedy
    ((_, wrong, remedy),) = told(
        kind="order", skills=(next(s.id for s in KINDS["order"].skills()),), among=("alap", "jor")
    )
    assert wrong.endswith("has no answers to choose from")
    assert remedy == "leave among out"


def test_a_row_of_the_log_holds_of_phrases_what_may_sound_and_no_more():
    lines = {one: tuple(f"S R G:{n} R S" for n in range(1, 21)) for one in ("bhupali", "yaman")}
    entry = Narrowed("q", "raga-from-phrase", "Q", (), tuple(lines), lines)
    held = read(entry_text(Deck("d", "D", (entry,)), "deck:d:q:yaman")).entry
    assert held.phrases == {"yaman": lines["yaman"], "bhupali": lines["bhupali"][:1]}

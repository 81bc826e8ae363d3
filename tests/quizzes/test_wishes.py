"""Wishes for phrases: each part counted again, each example kept, luck as it is measured."""

import random
from dataclasses import replace
from fractions import Fraction
from itertools import groupby

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio.format import SAMPLE_RATE
from audio.line import Line
from audio.render import render
from audio.sargam import parse, write
from quizzes import KINDS, Setting, make_question
from quizzes.fresh import Fresh
from quizzes.kept import skills_of
from quizzes.making.comparing import signs_of
from quizzes.making.keeping import PARTS, kept_parts
from quizzes.making.luck import luck_in_mood
from quizzes.making.marking import explained, played_at
from quizzes.making.of_ragas import SORTS
from quizzes.making.opinion import Said
from quizzes.making.plainly import plainly
from quizzes.making.to_vary import TREATMENTS, varying
from quizzes.making.wish import Wish, wish_of
from quizzes.ragas import ragas
from tests.audio.meters import centroid_hz, k_weighted_lufs, onsets_s
from tests.audio.test_sargam import lines
from tests.quizzes import raga_oracle as oracle
from tests.quizzes.raga_make_judge import read
from tests.quizzes.raga_oracle import letter

ALL = ragas()
WINDOW = round(0.25 * SAMPLE_RATE)
SETTING = Setting(sa_hz=138.59)
MAKE, RAGA_MAKE = KINDS["make"], KINDS["raga-make"]
ASKED = [skill.id for skill in skills_of("raga-make")]
SOME = ASKED[::19]


def kept(wish, text, raga=None):
    return [part.kept for part in kept_parts(wish, parse(text), raga, ALL)]


plain_lines = st.lists(
    st.tuples(st.sampled_from("SrRgGmMPdDnN"), st.sampled_from(["", "", ",", "'"])),
    min_size=1,
    max_size=8,
).map(lambda notes: " ".join(swara + octave for swara, octave in notes))


@given(plain_lines, plain_lines, st.integers(1, 8), st.sampled_from("SrRgGmMPdDnN"))
def test_each_part_is_kept_as_it_is_counted(text, given_text, count, last):
    notes, others = read(text), [letter(note.swara) for note in read(given_text)]
    steps, letters = [note.swara for note in notes], [letter(note.swara) for note in notes]
    rows = {tuple(others[at : at + 3]) for at in range(len(others) - 2)}
    counted = {
        "begins": text.split()[0] == given_text.split()[0],
        "count": any(count <= some <= count + 2 for some in (len(steps), len(list(groupby(steps)))))
        and len(set(letters)) >= 3,
        "ends": letters[-1] == last,
        "meend": False,
        "reaches": min(steps) < 0,
        "takes-up": any(tuple(letters[at : at + 3]) in rows for at in range(len(letters) - 2)),
        "swaras": text == given_text,
    }
    wish = wish_of(
        given_text,
        begins=given_text.split()[0],
        count=f"{count}-{count + 2}",
        ends=last,
        meend=1,
        reaches="mandra",
        takes_up=3,
        swaras="same",
    )
    found = {part.part.what: part.kept for part in kept_parts(wish, parse(text))}
    assert found == counted
    assert kept(wish_of(reaches="tar"), text) == [max(steps) >= 12]
    assert Wish.from_json(wish.as_json()) == wish


# What a teacher would count (common practice).
@pytest.mark.parametrize(
    ("text", "meends"),
    [("S R G", 0), (r"S/R G", 1), (r"S/R\S G", 1), (r"S/R G\R S", 2), ("S//P", 0), ("S<R G>R", 0)],
)
def test_a_meend_up_and_back_on_one_stroke_is_one(text, meends):
    assert kept(wish_of(meend=meends), text) == [True]
    assert kept(wish_of(meend=meends + 1), text) == [False]


@pytest.mark.parametrize(
    ("text", "graver", "lighter"),
    [
        ("S R G R S", [], []),
        ("S, R, G, R, S,", ["lower"], []),
        ("S:2 R:2 G:2 R:2 S:2", ["slower"], []),
        ("SR GR S", [], ["faster"]),
        (r"S R G\R S", ["with more meend"], []),
        ("S R G>R S", [], []),
        ("S' R' G' R' S'", [], ["higher"]),
        (r"S:2 R:2 G\:2 R:2 S:4", ["slower", "with more meend"], []),
        ("S R G R S R S", [], []),
    ],
)
def test_what_is_graver_lies_lower_moves_slower_or_is_drawn(text, graver, lighter):
    # Common practice; see quizzes/making/comparing.py.
    assert signs_of(parse("S R G R S"), parse(text)) == (graver, lighter)


@pytest.mark.parametrize(
    ("treatment", "text", "is_kept"),
    [
        ("timing", "S:2 R G:1/2 R", True),
        ("timing", "S - R G:2 R", True),
        ("timing", "S:2 R G R", False),  # one alone
        ("timing", "S:2 R^ G:2 R", False),
        ("timing", "S:2 R G:2 S", False),  # another swara
        ("loudness", "S^ R G_ R", True),
        ("loudness", "S^ R* G_ R", False),
        ("loudness", "S R G R", False),
        ("tone", "S* R Go R", True),
        ("tone", "S* R Go R:2", True),  # how long the last one rings is not heard
        ("tone", "S* R:2 Go R", False),
        ("timing", "S:2 R G R:2", False),
        ("timing", "S . R . G R", True),  # the next one comes late
        ("loudness", "S^ . R G_ R", False),
        ("loudness", "S^ R G_c R", False),
        ("loudness", ". S^ R G_ R", True),  # the whole a matra later
        ("timing", "S:2 R:2 G:2 R:2", False),  # all alike: within it nothing moves
        ("timing", "S . R . G . R", False),
        ("loudness", "S^ R^ G^ R^", False),
        ("loudness", "S^ R^ G^ R", True),
        ("tone", "S*/R Go R", False),  # joined
    ],
)
def test_one_thing_alone_is_varied(treatment, text, is_kept):
    wish = wish_of("S R G R", swaras="same", only=treatment)
    assert all(kept(wish, text)) is is_kept


@pytest.mark.parametrize(
    ("treatment", "text", "told"),
    [
        ("timing", "S R^ G:2 R", "The loudness varies, too; the timing alone was to vary."),
        ("tone", "S^ R< G R", "The loudness and what the left hand does vary; the tone alone was"),
        ("timing", "S . R . G R", "a rest follows the first swara and a rest follows the second"),
        ("timing", "S R G R:3", "varies nowhere; two swaras were wished. How long the last one"),
        ("loudness", "S_ R_ G_ R_", "All is changed alike: within the phrase the loudness does"),
    ],
)
def test_what_was_varied_is_told_in_good_english(treatment, text, told):
    wish = wish_of("S R G R", swaras="same", only=treatment)
    assert any(told in part.told for part in kept_parts(wish, parse(text)))


def test_who_varies_as_wished_and_lets_a_second_thing_slip_earns_as_much_as_with_a_wrong_swara():
    question = make_question("make:loudness", seed=1, setting=replace(SETTING, ragas=("yaman",)))
    first, second, *more = question.told.split()
    other = next(one for one in "SRG" if one not in first)

    def credit(*begins):
        return MAKE.mark(question, " ".join([*begins, *more])).credit

    assert credit(f"{first}^", f"{second}_") == 1.0
    assert 1.0 > credit(f"{first}^*", f"{second}_") >= credit(f"{other}^", f"{second}_") > 0.5
    assert credit(f"{first}*", second) == 0.0


@given(st.sampled_from(TREATMENTS), st.integers(0, 10_000), st.sampled_from([None, *sorted(ALL)]))
def test_the_example_of_what_is_varied_keeps_the_wish_and_no_other(treatment, seed, raga):
    found = varying(Fresh("", seed), treatment, ALL.get(raga))
    assert all(kept(found.wish, write(found.example)))
    for other in set(TREATMENTS) - {treatment}:
        assert not all(kept(replace(found.wish, parts=wish_of(only=other).parts),
                            write(found.example)))  # fmt: skip


@pytest.mark.parametrize(
    ("text", "share", "told"),
    [
        ("N R' N D P P", 1.0, "It has six swaras."),  # a stroke more is a swara more, or none
        ("N R' N D M G G", 1.0, "It has seven swaras."),
        ("N R' N D P", 5 / 6, "It has five swaras; six were wished."),
        (
            "P P P P P P",
            1 / 18,
            "It has six swaras, but only Pa; a phrase has three different ones",
        ),
    ],
)
def test_a_swara_that_is_struck_again_counts_once_or_twice(text, share, told):
    (found,) = kept_parts(wish_of(count=6), parse(text))
    assert found.share == pytest.approx(share)
    assert found.told.startswith(told)


def test_the_same_swaras_are_those_of_the_same_saptak():
    assert kept(wish_of("S R G", swaras="same"), "S, R, G,") == [False]
    assert kept(wish_of("S R G", swaras="lower"), "S, R, G,") == [True]
    assert kept(wish_of("S R G", swaras="lower"), "S, R, G") == [False]


@pytest.mark.parametrize(
    ("wish", "text", "share"),
    [
        (wish_of(begins="N,"), "N R G", 0.5),  # in another saptak
        (wish_of(begins="N,"), "S R G", 0.0),
        (wish_of("S R G m P", takes_up=3), "P D R G S", 2 / 3),
        (wish_of("S R G R", swaras="lower"), "S, R, G, S,", 0.75),
        (wish_of("S R G R", swaras="lower"), "S R G S", 0.75),
    ],
)
def test_what_is_kept_in_part_counts_in_part(wish, text, share):
    (found,) = kept_parts(wish, parse(text))
    assert found.share == pytest.approx(share)


def test_a_phrase_is_lower_by_the_time_that_it_lies_low():
    given = parse("S R G R S")
    assert signs_of(given, parse("S, R G R S"))[0] == []
    assert signs_of(given, parse("S,:8 R G R S"))[0] == ["lower", "slower"]


def test_two_or_three_swaras_are_varied_in_examples():
    counts = set()
    for seed in range(12):
        found = varying(Fresh("", seed), "tone", ALL["yaman"])
        counts.add(sum(bool(note.tone.tone) for note in found.example.notes()))
    assert counts == {2, 3}


def test_who_reads_that_a_meend_is_wished_draws_one():
    skills = [skill for skill in ASKED if ":meend:" in skill][::12]
    chances = [make_question(skill, seed=1, setting=SETTING).chance for skill in skills]
    assert 0.0025 < max(chances) < 0.1  # who draws none never keeps it: 0.5 / 26 / 12


def test_what_the_wish_tells_of_the_end_the_raga_does_not_tell_again():
    question = make_question("raga-make:ends:yaman", seed=1, setting=SETTING)
    told = [each.text for each in RAGA_MAKE.explain(question, question.right[0]).findings]
    assert "It ends on Pa." in told
    assert not [each for each in told if "comes to rest" in each]


def test_a_phrase_in_doubt_is_right_and_told_so():
    question = make_question("raga-make:graver:yaman", seed=1, setting=SETTING)
    doubt = Said("In doubt: as it may be.", doubts=True)
    told = explained(question, question.right[0], [], [doubt], raga=ALL["yaman"])
    assert told.given_cue is None
    assert told.why == "The wish is kept, and nothing surely breaks the raga."
    assert told.counted.endswith("the raga in doubt")


def test_a_wish_for_what_is_the_ragas_own_is_kept_by_a_turn_of_three():
    own = wish_of(own=3)
    (found,) = kept_parts(own, parse("N, R G R S"), ALL["yaman"], ALL)
    assert (found.share, found.told) == (1.0, "It has three swaras in a row of Yaman's own.")
    # Single steps of it, no turn.
    (found,) = kept_parts(own, parse("G R P D"), ALL["yaman"], ALL)
    assert found.share < 1.0
    assert found.told == "No three swaras in a row stand so in Yaman's ways or phrases."


@pytest.mark.parametrize(
    ("text", "share"),
    [("S R G:2 R S", 0.0), (r"S:2 R:2 G\:2 R:2 S:2", 1.0), (r"S' R' G'\R' S'", 0.0)],
)
def test_one_sign_of_a_grave_mood_is_half_and_any_of_a_light_one_is_nothing(text, share):
    (found,) = kept_parts(wish_of("S R G R S", graver=2), parse(text))
    assert found.share == share
    (half,) = kept_parts(wish_of("S R G R S", graver=2), parse(r"S R G\ R S"))
    assert half.share == 0.5


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("N R' S' N D P:2", "“N R' S' N D P” (with the last held two matras)"),
        ("m P d N r'~:2", "“m P d N r'” (with the last held two matras and swinging slowly)"),
        (
            "P G^ M_* r:1/2",
            "“P G M r” (with Ga stronger, tivra Ma softer and brighter and the last held "
            "half a matra)",
        ),
        (r"S:2 R:2 G\:2 R:2", "“S R G R” (with each held two matras and a meend from Ga to Re)"),
        ("S R G", "S R G"),
    ],
)
def test_an_example_can_be_read_by_who_does_not_know_the_signs(text, plain):
    assert plainly(parse(text)) == plain


def test_how_a_phrase_that_is_to_be_told_apart_begins_and_ends_gives_nothing_away():
    for raga in ("khambavati", "malkauns", "ramkali", "yaman", "bhupali"):
        question = make_question(f"raga-make:apart:{raga}", seed=2, setting=SETTING)
        wish = Wish.from_json(question.detail["wish"])
        other = oracle.all_ragas()[wish.value("apart")]
        assert {wish.value("begins").rstrip(",'"), wish.value("ends")} <= other.any_letters


def test_lower_is_not_wished_where_the_string_ends():
    for seed in range(12):
        question = make_question("raga-make:graver:khamaj", seed=seed, setting=SETTING)
        lowest = min(note.swara.steps for note in parse(question.told).notes()) - 12
        assert ("in a lower saptak" in question.prompt) == (lowest >= -7)  # mandra Ma, open
        assert min(note.swara.steps for note in parse(question.right[0]).notes()) >= -7


def test_every_part_of_a_wish_is_wished_somewhere():
    wished = {
        part
        for skill in (*SOME, *(f"make:{each}" for each in TREATMENTS))
        for part, _ in make_question(skill, seed=1, setting=SETTING).detail["wish"]["parts"]
    }
    assert wished == set(PARTS)


def test_all_ragas_are_asked_for_phrases_to_a_rest():
    asked = {sort: [s.id for s in skills_of("raga-make") if f":{sort}:" in s.id] for sort in SORTS}
    assert len(asked["ends"]) == len(asked["meend"]) == len(asked["graver"]) == len(ALL)
    assert all(len(some) > 0.9 * len(ALL) for some in asked.values())


@pytest.mark.parametrize("skill", SOME)
def test_what_keeps_the_wish_earns_all_and_what_does_not_earns_less(skill):
    question = make_question(skill, seed=3, setting=SETTING)
    right = question.right[0]
    steps = [note.swara.steps for note in parse(right).notes()]
    assert len({step % 12 for step in steps}) >= 3
    assert ":answer:" in skill or ":graver:" in skill or len(list(groupby(steps))) == len(steps)
    assert RAGA_MAKE.mark(question, right).credit == 1.0
    told = RAGA_MAKE.explain(question, right)
    assert all(each.mark != "otherwise" for each in told.findings)
    for wrong in (f"{right} S,", f"{right} r M", "S r R g"):
        mark, told = RAGA_MAKE.mark(question, wrong), RAGA_MAKE.explain(question, wrong)
        assert 0.0 <= mark.credit < 1.0 or all(each.mark != "otherwise" for each in told.findings)
        kept = [each.mark == "right" for each in told.findings[: len(Wish.from_json(
            question.detail["wish"]).parts)]]  # fmt: skip
        assert told.counted.startswith(f"{sum(kept)} of {len(kept)} parts of the wish, the raga ")
        assert told.why.startswith("The wish is kept" if mark.right else "One way to keep the wish")


def test_a_phrase_that_is_sent_as_it_was_given_earns_nothing():
    for skill in ("make:timing", "make:loudness", "make:tone", "raga-make:graver:yaman"):
        question = make_question(skill, seed=4, setting=SETTING)
        assert question.told
        assert KINDS[question.kind].mark(question, question.told).credit == 0.0


def test_a_phrase_that_is_another_ragas_is_taken_for_that():
    question = make_question("raga-make:ends:bhupali", seed=0, setting=SETTING)
    assert RAGA_MAKE.mark(question, "S R g P g R S").heard == "raga-make:ends:shivranjani"
    assert RAGA_MAKE.mark(question, "S R G P G R S").heard is None


STUCK = [skill.id for skill in skills_of("raga-make") if ":graver:" not in skill.id][::13]


@pytest.mark.parametrize("skill", STUCK)
def test_a_swara_struck_over_and_over_is_no_phrase(skill):
    for seed in (1, 2):
        question = make_question(skill, seed=seed, setting=SETTING)
        wish = Wish.from_json(question.detail["wish"])
        end, first = wish.value("ends"), wish.value("begins") or wish.given.split()[0]
        for stuck in (end, f"{end} {end}'", f"{first} {end}"):
            line = " ".join((stuck.split() * question.places)[: question.fewest - 1])
            again = " ".join([first, *[end] * (question.fewest - 1)])
            assert RAGA_MAKE.mark(question, f"{line} {end}").credit < 0.5
            assert RAGA_MAKE.mark(question, again).credit == 0.0


@pytest.mark.parametrize("raga", ["bhairav", "darbari"])
def test_an_example_swings_what_its_raga_swings_and_no_fault_is_found_with_it(raga):
    for sort in SORTS:
        if f"raga-make:{sort}:{raga}" not in ASKED:
            continue
        for seed in (0, 1):
            question = make_question(f"raga-make:{sort}:{raga}", seed=seed, setting=SETTING)
            found = RAGA_MAKE.explain(question, question.right[0]).findings
            assert not [each.text for each in found if "held still" in each.text]
            assert not [each.text for each in found if "leans to" in each.text]


def test_what_tells_a_raga_apart_is_said_once():
    question = make_question("raga-make:apart:bhairav", seed=1, setting=SETTING)
    found = RAGA_MAKE.explain(question, "S' N d~:2 P m").findings
    told = [each.text for each in found if "Kalingada" in each.text]
    assert told == ["It rested on komal Dha, the vadi of Bhairav; Kalingada rests on Pa and Ga."]
    assert not [each.text for each in found if "dwells" in each.text or "By that" in each.text]


def test_the_chance_of_a_skill_is_about_what_its_questions_say():
    for sort in SORTS:
        skills = [skill for skill in skills_of("raga-make") if f":{sort}:" in skill.id][::15]
        said = [make_question(skill.id, seed=1, setting=SETTING).chance for skill in skills]
        assert skills[0].chance == pytest.approx(sum(said) / len(said), abs=0.02)
    for skill in skills_of("make"):
        assert skill.chance == pytest.approx(
            make_question(skill.id, seed=1, setting=SETTING).chance, abs=0.02
        )


def test_a_phrase_to_vary_is_of_the_raga_as_the_teacher_has_it(monkeypatch):
    asked = []
    monkeypatch.setattr("quizzes.kinds.make.ragas", lambda name="": asked.append(name) or ALL)
    make_question("make:tone", seed=1, setting=replace(SETTING, ragas=("yaman",)))
    assert asked == [SETTING.tradition]


@given(lines, st.sampled_from([*SOME, "make:timing", "make:loudness", "make:tone"]))
def test_any_line_that_can_be_sent_is_marked_and_explained(line, skill):
    question = make_question(skill, seed=1, setting=SETTING)
    kind, text = KINDS[question.kind], write(line)
    if not 1 <= len(list(line.notes())) <= question.places:
        with pytest.raises(KeyError):
            kind.mark(question, text)
        return
    mark, told = kind.mark(question, text), kind.explain(question, text)
    assert mark.right == (told.given_cue is None)
    assert told.findings


# Luck, measured afresh: by other random lines, of another maker.


def random_line(luck, question):
    """Who reads the wish, knows twelve swaras and not the raga, and guesses the first."""
    wish = Wish.from_json(question.detail["wish"])
    fewest, _, most = wish.value("count").partition("-")
    count = luck.randint(int(fewest), int(most or fewest))
    steps = [luck.randrange(12)]
    while len(steps) < count:
        steps.append(min(max(steps[-1] + luck.randint(-5, 5), -7), 17))
    words = [letter(step) + ("'" * (step // 12) if step >= 0 else ",") for step in steps]
    words[-1] = wish.value("ends")
    return " ".join(words)


@pytest.mark.parametrize("sort", ["ends", "reaches", "answer", "apart"])
def test_who_does_not_know_the_raga_seldom_keeps_the_wish_and_earns_little(sort):
    luck, earned, chances = random.Random(sort), [], []
    for skill in [skill.id for skill in skills_of("raga-make") if f":{sort}:" in skill.id][::5]:
        question = make_question(skill, seed=1, setting=SETTING)
        lines_sent = [random_line(luck, question) for _ in range(12)]
        earned += [RAGA_MAKE.mark(question, line).credit for line in lines_sent]
        chances.append(question.chance)
    said = sum(chances) / len(chances)
    assert 0 < said < 0.05
    assert earned.count(1.0) <= 3 * said * len(earned) + 3
    assert sum(earned) / len(earned) < 0.12


@pytest.mark.parametrize("text", ["S R G", "N, r G M D", "P D m P G m R S"])
def test_luck_of_a_graver_mood_is_the_same_for_every_phrase(text):
    assert luck_in_mood(text) == luck_in_mood()


def test_the_phrase_that_was_made_is_heard_at_the_tempo_of_the_question():
    question = make_question("raga-make:ends:yaman", seed=2, setting=SETTING)
    told = RAGA_MAKE.explain(question, "S R G:2")
    matra_s = 60.0 / question.detail["tempo"]
    onsets = [stroke.onset_s for stroke in told.given_cue.strokes]
    assert onsets == pytest.approx([0.0, matra_s, 2 * matra_s])
    assert told.given_cue.sa_hz == question.cue.sa_hz
    assert told.given_cue.drone == question.cue.drone
    assert isinstance(parse(told.given_written), Line)
    assert Fraction(2) in [note.matras for note in parse(told.given_written).notes()]


@pytest.mark.parametrize("treatment", TREATMENTS)
def test_the_ear_finds_what_was_varied_and_nothing_else(treatment):
    question = make_question(f"make:{treatment}", seed=6, setting=SETTING)
    matra_s = 60.0 / question.detail["tempo"]
    found = []
    for text in (question.told, question.right[0]):
        line = parse(text)
        score = replace(played_at(question, line, raga=None), drone=None)
        sound = render(score).astype(float)
        begins = [float(note.onset) * matra_s for note in line.notes()]
        # What is heard of each note before the shortest is over.
        parts = [sound[round((at + 0.02) * SAMPLE_RATE) :][:WINDOW] for at in begins]
        loud = [k_weighted_lufs(part, WINDOW / SAMPLE_RATE) for part in parts]
        found.append((onsets_s(sound), loud, [float(np.log2(centroid_hz(part))) for part in parts]))
    (struck, loud, bright), (struck_now, loud_now, bright_now) = found
    assert len(struck) == len(loud)
    varied = {
        # A soft stroke beside a strong one the meter may miss; none is anywhere else.
        "timing": np.abs(struck_now[:, None] - struck).min(axis=1) > 0.01,
        "loudness": np.abs(np.subtract(loud_now, loud)) > 3.0,
        "tone": np.abs(np.subtract(bright_now, bright)) > np.log2(1.15),
    }
    assert {what for what, places in varied.items() if places.any()} == {treatment}

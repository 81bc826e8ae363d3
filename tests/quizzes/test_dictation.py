"""Dictation: what is written is laid beside what sounded by least edits, marked part by part."""

import math
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from rapidfuzz.distance import Levenshtein

from audio.errors import SargamError
from audio.line import Beat, Line, Tone
from audio.playing import score_of
from audio.sargam import parse, write
from audio.tuning import JUST, SWARAS, Swara, load_tuning
from quizzes import Setting, UnknownSkill, kind_of, make_question
from quizzes.dictation.marking import (
    GAP,
    PRICES,
    credit_of,
    distance,
    is_right,
    price_of,
    rows_of,
    tallies,
)
from quizzes.dictation.places import PARTS, places_of
from quizzes.dictation.showing import ADDED, LEFT_OUT
from quizzes.dictation.showing import written as place_written
from quizzes.dictation.telling import course_of, hands_of
from quizzes.kept import skills_of
from quizzes.kinds.write import WAYS, asked
from quizzes.ragas import ragas
from tests.quizzes.all_written_phrases import MET, STUDENTS, blind_credit, likeliest
from tests.quizzes.raga_oracle import all_ragas
from tests.quizzes.raga_oracle import line as steps_in

SKILLS = [skill.id for skill in skills_of("write")]
BEGUN = Setting(sa_hz=138.59, met=MET, ragas=("yaman", "bihag", "darbari", "bhupali"))
SWARA_ALONE = ("swara",)


def line_of(letters):
    return places_of(parse(" ".join(letters)))


letters = st.lists(st.sampled_from("SRGmPDN"), min_size=1, max_size=9)


@st.composite
def lines(draw, most=4):
    """Short lines of few swaras in two saptaks, of unlike lengths, some with an ornament."""
    beats = []
    for _ in range(draw(st.integers(1, most))):
        swara = Swara.read(draw(st.sampled_from(["S", "R", "G", "S'", "R'"])))
        tone = Tone(swara, sway=draw(st.sampled_from(["", "", "andolan"])))
        beats.append(Beat((tone,), draw(st.sampled_from([Fraction(1), Fraction(2)]))))
    return places_of(Line(tuple(beats)))


def every_alignment(right, given):
    """All ways of laying two rows side by side: the first places against each other, or one of
    them against nothing."""
    if not right and not given:
        yield []
        return
    if right and given:
        for rest in every_alignment(right[1:], given[1:]):
            yield [(right[0], given[0]), *rest]
    if right:
        for rest in every_alignment(right[1:], given):
            yield [(right[0], None), *rest]
    if given:
        for rest in every_alignment(right, given[1:]):
            yield [(None, given[0]), *rest]


def price_of_all(pairs, counts):
    return sum(GAP if None in pair else price_of(*pair, counts) for pair in pairs)


@given(lines(), lines(), st.sampled_from([SWARA_ALONE, ("swara", "length"), PARTS]))
def test_lines_are_laid_side_by_side_as_cheaply_as_any_way_of_laying_them_is(
    right, written, counts
):
    cheapest = min(price_of_all(pairs, counts) for pairs in every_alignment(right, written))
    laid = [(was, gave) for was, gave, _ in rows_of(right, written, counts)]
    assert distance(right, written, counts) == price_of_all(laid, counts) == cheapest
    assert [was for was, _ in laid if was is not None] == list(right)
    assert [gave for _, gave in laid if gave is not None] == list(written)


@given(letters, letters)
def test_of_plain_swaras_the_distance_is_that_of_levenshtein(right, written):
    # Against rapidfuzz (Levenshtein 1966): one edit is one swara.
    edits = distance(line_of(right), line_of(written), SWARA_ALONE)
    assert edits == PRICES["swara"] * Levenshtein.distance(right, written)


@given(letters, letters)
def test_of_a_line_in_one_length_nothing_but_swaras_is_wrong(right, written):
    found = rows_of(line_of(right), line_of(written))
    assert all(set(words) <= {"swara"} for was, gave, words in found if was and gave)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("S - R", "S:2 R"),
        ("SR G", "S:1/2 R:1/2 G"),
        ("S -R G", "S:3/2 R:1/2 G"),
        ("S R", "S R -"),  # how long the last one rings cannot be heard
        ("S/ R", "S/R:2"),
        ("SRG m", "S:1/3 R:1/3 G:1/3 | m"),
    ],
)
def test_what_sounds_the_same_is_the_same_however_it_is_written(one, other):
    assert all(tally.is_right for tally in tallies(places_of(parse(one)), places_of(parse(other))))


WORDS = ["S", "R", "S:2", "S -", ". S", ".", "-", "SR", "S-R", "S/R", "S< R", "(R)S", "r~", "{SR}",
         "S:1/2 R:1/2", "S .:1/2 -:1/2", "Sc", "S/ R", "S/R:2"]  # fmt: skip


@given(
    st.lists(st.sampled_from(WORDS), min_size=1, max_size=3),
    st.lists(st.sampled_from(WORDS), max_size=3),
)
@settings(max_examples=100)
def test_lines_are_one_just_where_their_scores_are(right, written):
    """The score knows nothing of places; a last swara of a matra stands behind each, since how long
    the last one rings does not count."""
    both = []
    for words in (right, written):
        try:
            both.append(parse(" ".join([*words, "P"])))
        except SargamError:
            assume(False)
    scores = [score_of(line, JUST, sa_hz=220.0) for line in both]
    places = [places_of(line) for line in both]
    assume(len(places[0]) > 1)  # one swara alone is never asked, since its length does not count
    assert is_right(tallies(*places)) == (scores[0].strokes == scores[1].strokes)


@pytest.mark.parametrize(
    ("right", "written", "words"),
    [
        ("S R G", "S r G", ("swara",)),
        ("S R G", "S R' G", ("saptak",)),
        ("S R G", "S R:2 G", ("length",)),
        ("S R G", "S RG", ("length",)),
        ("S - G", "S . G", ("length",)),
        ("S R G", ". S R G", ("length",)),
        ("S R G", "S Rc G", ("length",)),
        ("S R/ G", "S R G", ("ornament",)),
        ("S R/ G", "S R< G", ("ornament",)),
        ("S R/ G", "S R// G", ("ornament",)),
        ("S (G)R G", "S (m)R G", ("ornament",)),
        ("S R~ G", "S R~~ G", ("ornament",)),
        ("S {RG} G", "S R G", ("ornament",)),
        ("S R/ G m", "S R\\ r m", ("swara",)),  # a meend all the same
    ],
)
def test_what_differs_at_one_place_is_told_apart(right, written, words):
    rows = rows_of(places_of(parse(right)), places_of(parse(written)))
    assert [found for _, _, found in rows if found] == [words]


def heard(question):
    """The swaras of a cue from its score alone: of every stroke the pitch at which it begins and
    the one at which it ends, each by the nearest swara, and when it begins, in matras."""
    cents = {Swara.at(steps): 0.0 for steps in range(-12, 25)}
    tuning = load_tuning(question.setting.tuning)
    cents = {swara: tuning.cents_of(swara) for swara in cents}
    matra_s = 60.0 / question.detail["tempo"]
    found = []
    for stroke in question.cue.strokes:
        ends = [
            min(cents, key=lambda swara, at=at: abs(cents[swara] - at))
            for at in (stroke.path[0][1], stroke.path[-1][1])
        ]
        found.append((*ends, stroke.onset_s / matra_s))
    return found


@pytest.mark.parametrize("skill", SKILLS)
def test_what_is_right_is_what_sounds(skill):
    what = asked(skill)[0]
    for seed in range(6):
        question = make_question(skill, seed=seed, setting=BEGUN)
        places = places_of(parse(question.right[0]))
        assert len(places) == asked(skill)[1].count
        chains = [[]]
        for place in places:
            if place.tone.by or not chains[-1]:
                chains[-1].append(place)
            else:
                chains.append([place])
        sounding = heard(question)
        assert len(sounding) == len(chains)
        begins = sounding[0][2]
        at = Fraction(0)
        for (first, last, onset), chain in zip(sounding, chains, strict=True):
            assert math.isclose(onset - begins, at, abs_tol=0.01)
            at += sum(place.span for place in chain)
            if not any(place.tone.sway for place in chain):
                assert first == (*chain[0].tone.touches, chain[0].swara)[0]
                assert last == chain[-1].swara
        if what in ("lengths", "all"):  # four beats before the first swara, and one to each matra
            beats = [stroke.onset_s for stroke in question.cue.tabla]
            assert question.cue.strokes[0].onset_s == pytest.approx(beats[4], abs=1e-3)
            assert beats[-1] >= question.cue.strokes[-1].onset_s - 1e-3
            gaps = [later - earlier for earlier, later in pairwise(beats)]
            assert gaps == pytest.approx([60.0 / question.detail["tempo"]] * len(gaps), abs=1e-3)
        else:
            assert not question.cue.tabla
            assert {place.span for place in places} == {1}
        assert places[-1].span == 1
        for place, after in pairwise(places):  # what the hand does has time
            assert place.span >= 1 or (place.is_plain and not after.tone.by)
        if what in ("swaras", "saptaks", "lengths"):
            assert not any(stroke.tags for stroke in question.cue.strokes)
        else:
            assert any(stroke.tags for stroke in question.cue.strokes)
        assert any(place.swara.octave for place in places) == ("saptaks" in question.signs)


def test_phrases_of_ragas_break_none_of_their_rules():
    heard_of = 0
    for seed, (name, raga) in enumerate(all_ragas().items()):
        for skill in ("write:swaras:5", "write:saptaks:7"):
            setting = Setting(sa_hz=138.59, ragas=(name,))
            question = make_question(skill, seed=seed, setting=setting)
            if f"of {ragas()[name].name} (" in question.prompt:
                heard_of += 1
                assert raga.admits(steps_in(question.right[0])), (name, question.right[0])
    assert heard_of > 80


def edits_of(text):
    """Every line that one slip of a student makes of this one: which place, what is wrong there,
    and the line."""
    beats = [Beat((note.tone,), note.matras) for note in parse(text).notes()]
    last = len(beats) - 1

    def with_beat(at, *others):
        return write(Line((*beats[:at], *others, *beats[at + 1 :])))

    for at, beat in enumerate(beats):
        tone = beat.parts[0]
        joined = tone.by or (at < last and beats[at + 1].parts[0].by)
        if not joined:
            letter = "S" if tone.swara.letter != "S" else "P"
            other = Swara(SWARAS.index(letter), tone.swara.octave)
            near = {beats[each].parts[0].swara for each in (at - 1, at + 1) if 0 <= each <= last}
            if other not in near and not tone.touches:
                changed = Tone(other, sway=tone.sway)
                yield at, "swara", with_beat(at, Beat((changed,), beat.matras))
                lifted = Swara(tone.swara.semitone, 1 - abs(tone.swara.octave))
                yield (
                    at,
                    "saptak",
                    with_beat(at, Beat((Tone(lifted, sway=tone.sway),), beat.matras)),
                )
                yield at, ADDED, with_beat(at, beat, Beat((Tone(other),), Fraction(1)))
            if last:
                yield at, LEFT_OUT, with_beat(at)
        if at < last:
            yield at, "length", with_beat(at, Beat(beat.parts, beat.matras + 1))
        bare = Tone(tone.swara)
        if tone != bare:
            yield at, "ornament", with_beat(at, Beat((bare,), beat.matras))


@pytest.mark.parametrize("skill", ["write:all:6", "write:all:8", "write:swaras:7", "write:hands:5"])
def test_each_single_slip_is_shown_in_its_place_and_costs_something(skill):
    counts = WAYS[asked(skill)[0]].counts
    met = set()
    for seed in range(4):
        question = make_question(skill, seed=seed, setting=BEGUN)
        kind, right = kind_of(skill), question.right[0]
        for at, wrong, written in edits_of(right):
            if wrong in ("length", "ornament") and wrong not in counts:
                continue
            explained = kind.explain(question, written)
            slips = [row for row in explained.beside if row.wrong]
            assert [row.wrong for row in slips] == [(wrong,)], (right, written, wrong)
            place = explained.beside.index(slips[0])
            assert place == at + (wrong == ADDED)
            assert 0.0 < kind.mark(question, written).credit < 1.0 or len(explained.beside) < 4
            assert explained.counted
            signs = [row.was.partition(":")[0] for row in explained.beside if row.was]
            for sign, here in zip(signs, places_of(parse(right)), strict=True):
                shown = here.tone if "ornament" in counts else Tone(here.swara)
                assert sign == shown.by + write(Line((Beat((replace(shown, by=""),)),)))
            assert (slips[0].was_cue is None) == (slips[0].was == "") == (wrong == ADDED)
            assert (slips[0].given_cue is None) == (slips[0].given == "") == (wrong == LEFT_OUT)
            met.add(wrong)
    assert {"swara", "saptak", ADDED, LEFT_OUT} <= met
    assert {"length", "ornament"} & met == {"length", "ornament"} & set(counts)


@pytest.mark.parametrize("skill", SKILLS[2::3])
@pytest.mark.parametrize("student", STUDENTS)
def test_writing_without_hearing_earns_about_nothing(skill, student):
    size = asked(skill)[1].count
    earned = blind_credit(skill, STUDENTS[student], 30)
    # Of 400 questions each the best earned at most .19 with three swaras or fewer, .12 with four
    # and .08 with more (`all_written_phrases`).
    assert max(earned.values()) < (0.2 if size < 4 else 0.12 if size == 4 else 0.08)
    assert earned["Sa alone"] < 0.02


@pytest.mark.parametrize("skill", ["write:swaras:4", "write:hands:4", "write:saptaks:5"])
@pytest.mark.parametrize("student", STUDENTS)
def test_phrases_stay_fresh(skill, student):
    often, luck = likeliest(skill, STUDENTS[student], 60)
    assert often < 0.12
    assert 0.0 < luck < 0.12


SWARAS_ASKED = [skill.id for skill in skills_of("swara")]


@given(st.sampled_from(SKILLS), st.integers(0, 2**64), st.sets(st.sampled_from(SWARAS_ASKED)))
def test_whatever_is_met_there_is_a_phrase(skill, seed, met):
    question = make_question(skill, seed=seed, setting=Setting(138.59, met=tuple(sorted(met))))
    assert len(places_of(parse(question.right[0]))) == asked(skill)[1].count


def test_swaras_far_apart_make_a_phrase_too():
    met = ("swara:S", "swara:r'", "swara:D,")
    for seed in range(40):
        make_question("write:hands:4", seed=seed, setting=Setting(271.7, met=met))


@given(st.sampled_from(SKILLS), st.integers(0, 2**32), st.data())
def test_every_line_of_the_offered_swaras_is_marked_and_shown(skill, seed, data):
    question = make_question(skill, seed=seed, setting=BEGUN)
    offered = [choice.id for choice in question.choices]
    words = data.draw(st.lists(st.sampled_from(offered), min_size=1, max_size=question.places))
    kind, written = kind_of(skill), " ".join(words)
    mark, explained = kind.mark(question, written), kind.explain(question, written)
    assert mark.right == (explained.given_cue is None) == (not explained.counted)
    assert mark.right == (not any(row.wrong for row in explained.beside))
    assert [row.given for row in explained.beside if row.given] == words
    assert len([row for row in explained.beside if row.was]) == asked(skill)[1].count


def test_parts_are_told_and_marked_apart():
    question = next(
        made
        for seed in range(200)
        if (made := make_question("write:all:6", seed=seed, setting=BEGUN))
        and sum(not place.is_plain for place in places_of(parse(made.right[0]))) == 2
    )
    kind = kind_of("write:all:6")
    plain = " ".join(str(place.swara) for place in places_of(parse(question.right[0])))
    explained = kind.explain(question, plain)
    assert explained.counted.startswith("6 of 6 swaras, ")
    assert explained.counted.endswith("of 5 lengths, 0 of 2 ornaments")
    assert 0.45 < kind.mark(question, plain).credit < 0.75


def test_an_ornament_too_many_costs_as_much_as_one_that_is_missing():
    right = places_of(parse("S R/ G m/ P"))
    for written, told, credit in (
        ("S R/ G m/ P", "2 of 2 ornaments", 1.0),
        ("S R/ G m P", "1 of 2 ornaments", 0.5),
        ("S~~ R/ G m/ P", "2 of 2 ornaments", 0.5),
        ("S~~ R/ G m P", "1 of 2 ornaments", 0.0),
    ):
        *_, ornaments = tallies(right, places_of(parse(written)))
        assert (ornaments.told, ornaments.credit) == (told, credit)


def worth(right, written, counts=PARTS):
    return credit_of(tallies(places_of(parse(right)), places_of(parse(written)), counts))


def test_a_phrase_an_octave_off_keeps_the_greater_part_of_its_swaras():
    assert worth("P, D, N, D,", "P D N D", SWARA_ALONE) == pytest.approx(2 / 3)
    assert worth("G R S R G", "G' R' S' R' G'", SWARA_ALONE) == pytest.approx(2 / 3)
    assert worth("G R S R G", "G R S' R G", SWARA_ALONE) == pytest.approx(1 - 1 / 15)
    question = make_question("write:saptaks:4", seed=1, setting=BEGUN)
    lower = parse(question.right[0])
    beats = [Beat((Tone(Swara(s.semitone, s.octave + 1)),)) for s in line_swaras(lower)]
    told = kind_of("write").explain(question, write(Line(tuple(beats))))
    assert told.why == "It was a saptak lower than you wrote it."
    assert told.counted == "4 of 4 swaras, all of them in another saptak"


def line_swaras(line):
    return [place.swara for place in places_of(line)]


@given(
    st.lists(st.sampled_from("SRGm"), min_size=3, max_size=9).filter(
        lambda row: all(one != other for one, other in pairwise(row))
    ),
    st.integers(0, 8),
)
def test_a_swara_too_many_never_costs_more_than_the_whole_rhythm(row, at):
    right = " ".join([*(f"{letter}:2" for letter in row[:-1]), row[-1]])
    at %= len(row)
    one_more = [*(f"{letter}:2" for letter in row[:at]), "P:2"]
    one_more += [f"{letter}:2" for letter in row[at:-1]] + row[-1:]
    no_rhythm = " ".join(row)
    for counts in (("swara", "length"), PARTS):
        assert worth(right, no_rhythm, counts) <= worth(right, " ".join(one_more), counts) < 1.0


@pytest.mark.parametrize(
    ("right", "written", "laid"),
    [
        # The same swara in another saptak lies beside it, where another one and a gap cost as much.
        ("S R G", "R' G", ["S|", "R|R'", "G|G"]),
        # A wrong length or ornament moves nothing.
        ("S:2 R G~", "S R:2 G", ["S:2|S", "R|R:2", "G~|G"]),
        ("S:2 R/ G~ m", "S R:2 G m:2", ["S:2|S", "R|R:2", "/G~|G", "m|m:2"]),
    ],
)
def test_prices_lay_swara_by_swara(right, written, laid):
    rows = rows_of(places_of(parse(right)), places_of(parse(written)))
    assert [f"{shown(was)}|{shown(gave)}" for was, gave, _ in rows] == laid


def shown(place):
    return "" if place is None else place_written(place, PARTS).rstrip()


def test_two_neighbours_that_changed_places_are_one_slip():
    # As one edit in the distance of Damerau (1964).
    right = "G R S R G"
    one_slip = worth(right, "G S R G", SWARA_ALONE)
    assert worth(right, "G S R R G", SWARA_ALONE) == pytest.approx(one_slip) == 0.6
    assert worth(right, "G R P P G", SWARA_ALONE) == pytest.approx(0.2)


@pytest.mark.parametrize(("skill", "seed"), [("write:hands:3", 5), ("write:hands:4", 7)])
def test_every_right_line_can_be_written_with_the_signs_that_are_offered(skill, seed):
    for name in all_ragas():
        question = make_question(skill, seed=seed, setting=Setting(sa_hz=138.59, ragas=(name,)))
        offered = {choice.id for choice in question.choices}
        swaras = [s for note in parse(question.right[0]).notes() for s in note.tone.swaras]
        assert {swara.letter for swara in swaras} <= offered
        assert not any(swara.octave for swara in swaras), question.right


def test_who_wrote_all_is_told_where_the_phrase_goes():
    assert (
        course_of(parse("G, R S' P"))
        == "It begins on mandra Ga, goes up to tar Sa, and ends on Pa."
    )
    assert course_of(parse("G R S R")) == "It begins on Ga, goes down to Sa, and ends on Re."
    assert course_of(parse("S R G")) == "It begins on Sa and ends on Ga."
    assert hands_of(parse("S R/ G m~")) == ": Ga has a meend to it; Ma has an andolan"


@pytest.mark.parametrize("skill", ["write:lengths:5", "write:all:6"])
def test_what_is_heard_first_is_said_first(skill):
    prompt = make_question(skill, seed=1, setting=BEGUN).prompt
    assert prompt.startswith("Four beats give the matra, then a phrase of ")
    assert prompt.endswith("the last one's length does not count.")


def test_the_scale_is_of_swaras_met_so_far():
    met = tuple(f"swara:{letter}" for letter in ("S", "r", "G", "m", "P"))
    for seed in range(20):
        question = make_question("write:swaras:5", seed=seed, setting=Setting(138.59, met=met))
        assert {choice.id for choice in question.choices} == {"S", "r", "G", "m", "P"}


@pytest.mark.parametrize("skill", ["write:", "write:swaras:10", "write:loud:3", "write:all:5"])
def test_what_is_not_asked_is_told_with_what_is(skill):
    with pytest.raises(UnknownSkill, match="write write: and swaras: and one of 2 3 4"):
        make_question(skill, seed=0, setting=Setting(138.59))


@given(letters)
def test_nothing_differs_where_the_lines_are_one(right):
    assert all(was == gave and not words for was, gave, words in rows_of(*[line_of(right)] * 2))

"""What a raga says of a made phrase: held to the oracle, worked examples, and plain counting."""

import random
import re
from itertools import pairwise, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rapidfuzz.distance import Indel, Levenshtein

from audio.sargam import parse, write
from quizzes.making.likeness import SWAPPED, edits_within, held_phrases, stretches
from quizzes.making.opinion import OTHERWISE, RIGHT, TOLD, opinion
from quizzes.making.phrases import Heard
from quizzes.making.resting import led_on, rests_in
from quizzes.making.trying import own_row, tried
from quizzes.ragas import admits, ragas
from quizzes.ragas.movement import makes
from quizzes.ragas.sounding import plain_line
from quizzes.ragas.stock import stock
from tests.quizzes import raga_oracle as oracle
from tests.quizzes.all_made_phrases import faults, line_of, near_phrase

ALL = ragas()
ORACLE = oracle.all_ragas()


def heard(text):
    return Heard(parse(text))


def said(raga, text):
    phrase = heard(text)
    return opinion(ALL[raga], phrase, tried(ALL[raga], phrase), ALL)


def texts(raga, text, mark=None):
    return [each.text for each in said(raga, text) if mark is None or each.mark == mark]


@st.composite
def phrases_near(draw):
    """A raga, and swaras mostly of its own that move by small steps: half of them break it."""
    raga = ALL[draw(st.sampled_from(sorted(ALL)))]
    return raga, near_phrase(random.Random(draw(st.integers(0, 2**32))), raga)


@given(phrases_near())
def test_what_is_surely_forbidden_the_oracle_has_not_and_what_is_welcome_it_has(phrase):
    assert not faults(*phrase)


@pytest.mark.parametrize("raga", ["yaman", "desh", "gaud_sarang", "pahadi", "bhairavi", "kedar"])
def test_a_raga_welcomes_its_own_phrases_and_lets_them_be_found_in_themselves(raga):
    for phrase in ALL[raga].phrases:
        alone = Heard(plain_line(phrase.swaras))
        assert tried(ALL[raga], alone).is_welcome
        if len(phrase.swaras) >= 3:
            assert any(held.is_whole for held in held_phrases(ALL[raga], alone))
        assert not any(each.mark == OTHERWISE for each in opinion(
            ALL[raga], alone, tried(ALL[raga], alone), ALL
        ))  # fmt: skip


# What a teacher would say (common practice, and what each raga's file tells of it).
SAID = [
    ("bhupali", "S R G m G R S", OTHERWISE, "Bhupali does not touch Ma (the fourth swara)."),
    ("yaman", "N, R G m P", OTHERWISE, "Yaman has tivra Ma, not shuddha Ma (the fourth swara)."),
    ("bihag", "S R G m P", OTHERWISE, "Bihag leaves Re out on the way up; here the climb to Ga"),
    ("bhupali", "G R S", RIGHT, "G R S is the raga's own way down."),
    ("darbari", "n, S R g m", RIGHT, "n, S R g m is the raga's own way up."),
    ("bhimpalasi", "n D P m g", RIGHT, "n D P m g is the raga's own way down."),
    ("yaman", "N, R G R S", RIGHT, "It holds the raga's phrase N, R G R S."),
    ("desh", "R m P n S'", TOLD, "In doubt: Desh usually leaves komal Ni out on the way up; here"),
    ("yaman", "R G M P", TOLD, "It comes near to the raga's phrase N, R G M P."),
    ("kafi", "S S R R g g m m P", RIGHT, "It holds the raga's phrase S S R R g g m m P."),
    ("yaman", "N, N, R R G G R R S", RIGHT, "It holds the raga's phrase N, R G R S."),
    ("shri", "r r P M P d P", RIGHT, "It holds the raga's phrase r r P."),
    ("kamod", "S R G m P", TOLD, "could play this as it stands."),
    ("bhimpalasi", "n S g R S", TOLD, "Komal Ni down to Sa (the second swara; was mandra komal Ni"),
    ("bageshri", "S R S m P D:2", RIGHT, "m P D stands so in its avaroha."),
    ("gaud_sarang", "S R G m P", TOLD, "of Gaud Sarang, whose aroha is vakra."),
    ("bhairav", "G m r~:2 S", RIGHT, "Komal Re swings slowly (the third swara)"),
    ("bhairav", "G m r:2 S", TOLD, "Komal Re is held still (the third swara); Bhairav lets it"),
    ("yaman", "S R G M P D:2", TOLD, "It stops on Dha; Yaman rests on Re, Ga, Pa, Ni and Sa."),
    ("bhupali", "S R G D", TOLD, "It could go on to Pa."),
    ("bihag", "G m P N D", TOLD, "It stops on Dha, which Bihag only passes; it rests on Ga, Pa"),
    ("gaud_sarang", "S R G m P", TOLD, "In doubt: it goes straight up in S R G m P (from the"),
    ("bhupali", "S D, R S D, P,", TOLD, "Ga, the vadi of Bhupali, is not heard in it."),
    ("bhupali", "G R P G R S", RIGHT, "No other raga that we know takes each of its steps."),
    ("bhupali", "S R G P", TOLD, "could play the same phrase."),
    ("deshkar", "S' D P D:2", RIGHT, "Deshkar and not Bhupali: it rested on Dha, the vadi"),
    ("deshkar", "S' D P D:2", RIGHT, "The rest on Dha tells it from Pahadi, too."),
    ("bhupali", "S' D P D:2", TOLD, "It leans to Deshkar: it rested on Dha, the vadi of Deshkar"),
    ("yaman", "N, R G:2 R S:2", RIGHT, "It dwells on Ga (the third swara), its vadi."),
    ("yaman", "N, R P:2 R S:2", RIGHT, "It dwells on Pa (the third swara), where Yaman may rest."),
    ("bihag", "S' N D:2 P", TOLD, "It dwells on shuddha Dha (the third swara); Bihag only passes"),
    ("bhupali", "S (m)G R S", OTHERWISE, "Shuddha Ma is touched at the second swara; Bhupali has"),
]  # fmt: skip


@pytest.mark.parametrize(("raga", "text", "mark", "wanted"), SAID)
def test_a_phrase_is_answered_as_a_teacher_would(raga, text, mark, wanted):
    assert any(wanted in each for each in texts(raga, text, mark)), texts(raga, text)


def test_what_is_only_doubtful_is_told_and_takes_nothing():
    sure, doubtful, kept = (
        tried(ALL[raga], heard(text))
        for raga, text in (("bihag", "S R G m P"), ("gaud_sarang", "S R G m P"), ("yaman", "S R G"))
    )
    assert sure.surely_broken
    assert doubtful.is_doubtful
    assert not doubtful.surely_broken
    assert not kept.is_doubtful
    assert 0 < sure.share < doubtful.share == kept.share == 1.0
    assert any(each.startswith("In doubt: ") for each in texts("gaud_sarang", "S R G m P"))


def test_two_of_a_ragas_own_phrases_after_one_another_cost_nothing():
    pairs = [
        (raga, Heard(plain_line((*one.swaras, *other.swaras))))
        for raga in ALL.values()
        for one, other in permutations(raga.phrases, 2)
        if abs(one.swaras[-1].steps - other.swaras[0].steps) <= 7
    ]
    broken = [raga.name for raga, phrase in pairs if tried(raga, phrase).share < 1.0]
    assert len(pairs) > 1000
    # Where the one ends and the other goes on, a swara may be passed that no teaching passes.
    assert len(broken) < len(pairs) / 100
    pakad = "R g R S N, S D, n, R"  # of Jaijaiwanti (common practice)
    assert tried(ALL["jaijaiwanti"], heard(pakad)).share == 1.0


def test_facts_from_memory_alone_decide_nothing_against_a_phrase():
    for raga in ALL.values():
        for forbidden in raga.forbidden:
            found = tried(raga, Heard(plain_line(forbidden.turn)))
            decided = [each for each in found.against if each.why == "turn" and each.how != "free"]
            assert bool(decided) <= (forbidden.confidence != "C")


def test_a_silence_ends_a_phrase_so_that_no_run_leads_over_it():
    bhimpalasi = ALL["bhimpalasi"]  # it climbs without Re
    assert tried(bhimpalasi, heard("S R g m")).surely_broken
    assert not tried(bhimpalasi, heard("m g R . g m P")).surely_broken
    assert [list(part) for part in heard("m g R . g m P").phrases] == [[0, 1, 2], [3, 4, 5]]


@pytest.mark.parametrize(
    "text", ["N . D . P . m . G . R . S", "S . R . G . m . P", "S R . G m . P", "S . R G m P"]
)
def test_who_rests_after_each_swara_still_runs(text):
    plain = text.replace(" . ", " ")
    for raga in ("desh", "bihag"):
        assert tried(ALL[raga], heard(text)) == tried(ALL[raga], heard(plain))
    assert tried(ALL["bihag"], heard(text)).surely_broken or text.startswith("N")


# The swara that is missing, or wrong, makes the phrase (common practice).
@pytest.mark.parametrize(
    ("raga", "text"),
    [
        ("kamod", "S R G m P"),
        ("kedar", "S R G m P"),
        ("kedar", "S R m P"),
        ("darbari", "g R S"),
        ("jaijaiwanti", "S g R S"),
        ("jaijaiwanti", "R m P N S'"),
        ("yaman", "N, R G m P"),
        ("yaman", "N, r G M P"),
        ("malkauns", "g m D n S'"),
        ("bhairav", "g m r S"),
    ],
)
def test_a_phrase_is_not_near_where_what_makes_it_is_wanting(raga, text):
    assert not [each for each in texts(raga, text) if "near to" in each or "most of" in each]


# Pakads and ways as handbooks print them (common practice).
@pytest.mark.parametrize(
    ("raga", "text"),
    [
        ("tilak_kamod", "P, N, S R G S R P m G S N,"),
        ("jaijaiwanti", "R g R S n, D, P, R:2"),
        ("alhaiya_bilawal", "G P m G m R S:2"),
        ("bihag", "P M G m G"),
    ],
)
def test_no_doubt_is_cast_on_a_seam_or_on_a_way_that_others_teach(raga, text):
    assert not [each for each in texts(raga, text) if "In doubt" in each or "straight" in each]


def test_a_phrase_with_repeats_is_not_held_by_two_swaras():
    assert not [each for each in texts("shri", "S r P M P") if "r r P" in each]


def test_what_is_doubted_is_not_praised_and_nothing_is_said_twice():
    assert not [each for each in texts("jaijaiwanti", "S g R S") if "g R S is" in each]
    told = texts("bhairav", "P m G P m G m r S")
    assert len(told) == len(set(told))


def test_a_vadi_that_is_heard_is_not_missed():
    for raga in list(ALL.values())[::5]:
        for line in stock(raga, 6)[::40]:
            missed = [
                each for each in texts(raga.id, " ".join(map(str, line))) if "not heard" in each
            ]
            assert bool(missed) <= (raga.vadi.value[0] not in {swara.letter for swara in line})


@given(phrases_near())
def test_every_step_is_said_to_be_its_own_where_it_makes_the_phrase_and_of_no_other(phrase):
    raga, steps = phrase
    found = Heard(line_of(steps))
    told = [each.text for each in opinion(raga, found, tried(raga, found), ALL)]
    is_made = makes(raga, found.swaras) and len(set(steps)) > 1
    assert (f"Every step in it is one that {raga.name} takes." in told) == is_made
    assert ("No other raga that we know takes each of its steps." in told) <= is_made


def test_of_ragas_that_could_play_it_those_near_come_first():
    (told,) = [each for each in texts("bhupali", "S R G P") if "could play" in each]
    assert told.startswith("Deshkar")  # Bhupali's own neighbour in every handbook


def test_doubts_beside_what_is_surely_broken_are_not_told():
    assert not [each for each in texts("kamod", "S R G m P") if "In doubt" in each]


def test_steps_of_its_own_may_still_make_a_doubtful_run():
    assert tried(ALL["bihag"], heard("D P G R")).is_doubtful
    assert not tried(ALL["jaijaiwanti"], heard("R S n,")).is_doubtful  # it goes through Sa


def test_another_swara_in_the_place_of_one_makes_no_near_phrase():
    assert not [each for each in texts("yaman", "N, S G M P") if "near to" in each]


def test_a_phrase_is_led_on_by_one_swara_or_more_and_not_against_the_raga():
    ends = [
        (ALL[raga], tuple(note.swara for note in parse(text).notes()))
        for raga, text in (("adana", "m P d"), ("marwa", "M S M"), ("rageshri", "m D R"))
    ]
    found = [led_on(raga, swaras) for raga, swaras in ends]
    assert [len(more) for more in found] == [2, 2, 0]
    assert all(admits(raga, (*line, *more)) for (raga, line), more in zip(ends, found, strict=True))


def test_nobody_is_told_that_some_teach_a_single_step():
    assert not [each for each in texts("yaman", "S R G M P") if "some teach" in each]


def test_the_same_mend_is_told_once():
    told = texts("bhupali", "S R g P n D P")
    assert len([each for each in told if "It could go " in each]) == 1


def test_where_it_lies_proves_nothing_of_few_swaras_or_beside_a_third_raga():
    for raga, text in (
        ("darbari", "P d n S'"),
        ("kamod", "S m P"),
        ("khamaj", "G m P D n D P"),
        ("darbari", "P, P, m, m, m,"),
        ("darbari", "m P g m R S"),
        ("bhimpalasi", "P g m P g m"),
    ):
        assert not [each for each in texts(raga, text) if "lives" in each]
    (lay,) = [each for each in texts("darbari", "m P d n P m P g m R S:2") if "lives" in each]
    assert "it lay in madhya, where Darbari lives; Adana lives in tar" in lay


def test_what_is_a_raga_s_own_stands_three_in_a_row_in_its_ways_or_phrases():
    luck = random.Random(0)
    for name in ("yaman", "desh", "darbari", "kedar"):
        for _ in range(60):
            steps = near_phrase(luck, ALL[name])
            row = [swara.steps for swara in own_row(ALL[name], Heard(line_of(steps)))]
            struck = oracle.once(steps)
            own = any(ORACLE[name].is_own(struck[at : at + 3]) for at in range(len(struck) - 2))
            taught = ALL[name].others("aroha") + ALL[name].others("avaroha")
            assert (len(row) >= 3) >= own
            assert len(row) < 3 or taught or own


@pytest.mark.parametrize("text", ["S' G' R' G'", "S' G' R' R' G'", "S' S' G' G' R' G' G'"])
def test_a_forbidden_turn_is_no_other_where_its_swaras_are_struck_twice(text):
    found = tried(ALL["deshkar"], heard(text))  # its file forbids G R G
    assert [each.why for each in found.against] == ["turn"]
    assert not found.is_welcome
    told = texts("deshkar", text)
    assert any("Deshkar does not go Ga to Re to Ga" in each for each in told)


def test_one_swara_struck_again_takes_no_step():
    assert texts("yaman", "S S S S S", RIGHT) == ["It comes to rest on Sa."]


def test_slow_and_even_is_not_told_to_dwell():
    assert not [each for each in texts("yaman", "N,:2 R:2 G:2 M:2 D:2 N:2") if "dwell" in each]


WRITTEN = re.compile(r"(?<![A-Za-z])(?:[SRGMPDNrgmdn][,']* ){2,}[SRGMPDNrgmdn][,']*(?![a-z])")


@given(phrases_near())
def test_what_a_raga_says_of_a_phrase_names_no_swara_that_is_in_neither(phrase):
    raga, steps = phrase
    found = Heard(line_of(steps))
    for each in opinion(raga, found, tried(raga, found), ALL):
        if "own way" in each.text or "straight" in each.text:
            for line in WRITTEN.findall(each.text):
                assert {*line.split()} <= {*map(str, found.swaras)}


@given(
    st.lists(st.integers(0, 4), min_size=1, max_size=5),
    st.lists(st.integers(0, 4), min_size=1, max_size=8),
)
def test_the_nearest_stretch_of_a_line_is_the_nearest_of_all(phrase, line):
    parts = [line[at:to] for at in range(len(line) + 1) for to in range(at, len(line) + 1)]
    assert edits_within(phrase, line) == min(Levenshtein.distance(phrase, part) for part in parts)
    assert edits_within(phrase, line, SWAPPED) == min(
        Indel.distance(phrase, part) for part in parts
    )


@given(phrases_near())
def test_stretches_stand_in_the_ways_and_phrases_of_the_raga(phrase):
    raga, steps = phrase
    judge = ORACLE[raga.id]
    found = stretches(raga, Heard(line_of(steps)))
    assert all(one.end - 1 <= other.start for one, other in pairwise(found))
    for each in found:
        lines = {"up": (judge.aroha,), "down": (judge.avaroha,), "phrase": judge.phrases}[each.of]
        part = steps[each.start : each.end]
        struck = oracle.once(part)
        assert len(struck) >= 3
        assert any(oracle.in_any_saptak(struck, oracle.once(line)) for line in lines)


@given(phrases_near())
def test_what_is_said_can_be_heard_within_reach_and_ends_as_a_sentence(phrase):
    raga, steps = phrase
    found = Heard(line_of(steps))
    for each in opinion(raga, found, tried(raga, found), ALL):
        assert each.text.endswith(".")
        assert "  " not in each.text
        assert each.mark != OTHERWISE or tried(raga, found).surely_broken
        if each.hear is not None:
            assert parse(write(each.hear)) == each.hear
            assert all(-8 <= note.swara.steps <= 20 for note in each.hear.notes())


@pytest.mark.parametrize("raga", sorted(ALL)[::9])
def test_a_phrase_is_led_on_to_a_rest_by_steps_of_the_raga(raga):
    for line in stock(ALL[raga], 5)[::20]:
        begun = line[:-1]
        more = led_on(ALL[raga], begun)
        if begun[-1].letter in rests_in(ALL[raga]):
            assert more == ()
        elif more:
            assert more[-1].letter in {*ORACLE[raga].nyas, "S"}
            assert admits(ALL[raga], (*begun, *more))

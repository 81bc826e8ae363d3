"""What the files of the stages say, against sources outside them and against one another."""

import re
from itertools import combinations, pairwise, permutations
from pathlib import Path

import pytest

from audio.mizrab import mizrab
from quizzes.stages.reading import load_form
from quizzes.talas import tala_ids

FORM = load_form()
STAGES, DIVISIONS, ORDER = FORM.stages, FORM.divisions, FORM.order
FACTS = Path(__file__).with_name("stage_facts.txt")
PERFORMANCE = DIVISIONS["performance"].parts
ORDERED = [each for each in DIVISIONS.values() if each.ordered]
GATS = {gat.name: gat for gat in mizrab().gats}
JHALAS = {jhala.name: jhala for jhala in mizrab().jhalas}

# Matras a minute, as the CompMusic Hindustani rhythm set has them (its description in mirdata).
LAYAS = {"vilambit": (10, 60), "madhya": (60, 150), "drut": (150, 1000)}


def laya_of(heard):
    """The laya in which the whole of its tempo lies."""
    (found,) = (
        name
        for name, (slowest, fastest) in LAYAS.items()
        if slowest <= heard.tempo[0] and heard.tempo[1] <= fastest
    )
    return found


def names_of(stage):
    return (stage.name, *stage.also)


# Facts against the sources


def facts_of_sources():
    """Of the stages, and of the pairs."""
    stages, pairs = {}, {}
    for line in FACTS.read_text("utf-8").splitlines():
        if not line or line.startswith("#") or " needs " in line:
            continue
        subject, said = line.split(": ")
        if " < " in subject:
            first, later = subject.split(" < ")
            pairs.update({(first, then): said for then in later.split()})
        else:
            stages[subject] = said
    return stages, pairs


def fact_of(stage):
    """What its file says of a stage, in the words of the facts."""
    heard = stage.heard
    said = [stage.confidence, "pulse" if heard.pulse else "no pulse"]
    said.append("tabla" if heard.tabla else "no tabla")
    if heard.tabla and not heard.ends:
        said.append(laya_of(heard))
    if heard.chikari[0] > 0.5:
        said.append("chikari")
    if heard.bols in GATS:
        said.append(heard.bols)
    if heard.run:
        said.append("run")
    if heard.ends:
        said.append(heard.ends)
    if heard.confidence != "C":
        said.append(" ".join(heard.register))
    return ", ".join(said)


def test_every_stage_of_confidence_A_and_B_is_as_its_sources_have_it():
    sure = {name: fact_of(stage) for name, stage in STAGES.items() if stage.confidence != "C"}
    assert sure == facts_of_sources()[0]


def test_every_pair_of_confidence_A_and_B_is_as_its_sources_have_it():
    sure = {
        (pair.first, pair.then): f"{pair.confidence}, {pair.strength}"
        for pair in ORDER.told
        if pair.confidence != "C"
    }
    assert sure == facts_of_sources()[1]


def test_what_a_stage_needs_is_as_its_sources_have_it():
    said = [
        f"{name} needs {' '.join(stage.needs)}{', may lack' * stage.may_lack}"
        for name, stage in STAGES.items()
        if stage.needs
    ]
    assert said == [x for x in FACTS.read_text("utf-8").splitlines() if " needs " in x]
    for name, stage in STAGES.items():
        assert all(ORDER.pair(one, name).strength == "fixed" for one in stage.needs)


def test_what_is_from_memory_is_held_for_no_more():
    for each in (*STAGES.values(), *ORDER.told):
        assert each.confidence == "C" or "from memory" not in each.source, each
        assert each.confidence != "A" or re.search("; |pages|guides", each.source), each


@pytest.mark.parametrize(
    ("term", "stage"),
    [
        ("alap", "alap"),
        ("jor", "jor"),
        ("jhala", "alap-jhala"),
        ("jhala", "closing-jhala"),
        ("masitkhani gat", "vilambit-gat"),
        ("razakhani gat", "drut-gat"),
        ("tan", "gat-tans"),
        ("toda", "gat-tans"),
    ],
)
def test_the_terms_of_a_syllabus_are_names_of_stages(term, stage):
    # India's central school board, melodic instruments (035), classes IX to XII, 2020 to 2025.
    assert any(term in name.lower() for name in names_of(STAGES[stage]))


@pytest.mark.parametrize(
    "order",
    [
        # "Aalap, Jor, Jhala" of class XII, with "Razakhani Gat with Toda and Jhala" after it.
        ("alap", "jor", "alap-jhala", "vilambit-gat", "drut-gat", "closing-jhala"),
        # A public beginners' outline of a sitar recital.
        ("alap", "jor", "alap-jhala", "vilambit-gat", "madhya-gat", "drut-gat"),
        # A performance may begin with a short alap and end after one gat (common practice).
        ("prelude", "madhya-gat", "closing-jhala", "tihai"),
        ("alap", "jor", "alap-jhala", "vilambit-gat", "tihai"),
        # The four tuks (an encyclopaedia's article on the alap).
        ("tuk-sthayi", "tuk-antara", "tuk-sanchari", "tuk-abhog"),
    ],
)
def test_an_order_that_is_taught_is_allowed(order):
    assert ORDER.allows(order)


@pytest.mark.parametrize("stage", ["vilambit-gat", "madhya-gat", "drut-gat"])
def test_a_gat_goes_at_the_laya_of_its_name(stage):
    assert laya_of(STAGES[stage].heard) == stage.removesuffix("-gat")


@pytest.mark.parametrize("name", [name for name, each in STAGES.items() if each.heard.bols])
def test_strokes_are_played_in_their_tala_at_their_laya_with_their_chikari(name):
    heard = STAGES[name].heard
    if heard.bols in GATS:
        gat = GATS[heard.bols]
        assert heard.talas == (gat.tala,)
        assert gat.laya[0] <= heard.tempo[0] <= heard.tempo[1] <= gat.laya[1]
    else:
        strokes = JHALAS[heard.bols].pattern
        share = strokes.count("chikari") / len(strokes)
        assert heard.chikari[0] <= share <= heard.chikari[1]


# The order


def test_stages_without_the_tabla_come_before_those_with_it():
    # Common practice: once the tabla has come in it stays.
    for one, other in permutations(PERFORMANCE, 2):
        if STAGES[other].heard.tabla > STAGES[one].heard.tabla:
            assert ORDER.pair(one, other).strength == "fixed", (one, other)


def test_a_performance_grows_faster_where_pulse_or_theka_go_on():
    # Common practice; the tihai closes at the tempo that there is.
    for one, other in combinations([each for each in PERFORMANCE if each != "tihai"], 2):
        first, then = STAGES[one].heard, STAGES[other].heard
        if first.tabla == then.tabla and first.pulse and then.pulse:
            assert ORDER.pair(one, other)
            assert first.tempo <= then.tempo


@pytest.mark.parametrize("division", ORDERED, ids=lambda each: each.id)
def test_of_two_parts_it_is_told_which_comes_first_or_why_either_may(division):
    free = {frozenset((pair.first, pair.then)) for pair in ORDER.told if pair.strength == "free"}
    for one, other in combinations(division.parts, 2):
        ways = [ORDER.pair(one, other), ORDER.pair(other, one)].count(None)
        apart = one in STAGES[other].instead_of or other in STAGES[one].instead_of
        open_ = apart or frozenset((one, other)) in free
        assert ways == (2 if open_ else 1), (one, other)


@pytest.mark.parametrize(
    ("division", "orders"),
    # Counted by hand: antara may stand at any place after manjha (common practice).
    [("performance", 1), ("alap-registers", 1), ("tuks", 1), ("jor-parts", 1), ("slow-gat", 6)],
)
def test_a_division_has_so_many_orders(division, orders):
    parts = DIVISIONS[division].parts
    replaced = {each for part in parts for each in STAGES[part].instead_of}
    whole = [part for part in parts if not STAGES[part].instead_of]
    short = [part for part in parts if part not in replaced]
    for some in (whole, short):
        found = list(ORDER.orders(some))
        assert len(found) == orders
        assert tuple(some) in found


def test_every_ordered_division_is_tried():
    assert {each.id for each in ORDERED} == {
        "performance", "alap-registers", "tuks", "jor-parts", "slow-gat",
    }  # fmt: skip
    assert ORDER.circle() == ()


@pytest.mark.parametrize("division", [each for each in DIVISIONS.values() if not each.ordered])
def test_sorts_of_one_thing_follow_no_order(division):
    assert ORDER.pairs(division.parts) == ()


# Words


def test_a_stage_is_part_of_one_division_and_a_name_of_one_stage():
    parts = [part for division in DIVISIONS.values() for part in division.parts]
    assert sorted(parts) == sorted(STAGES)
    names = [name.casefold() for stage in STAGES.values() for name in names_of(stage)]
    assert len(names) == len(set(names))


_SMALL = re.findall(
    r"\w+",
    """a all an and another any around as at back be before beside between but by comes each every
    first for from give go goes good has have how in into is it its lets long made makes many more
    most much new of off on once one only or other out over own put set so some take than that the
    them then there these they this three through to two under up upon where which while whose with
    without""",
)


def words_of(text):
    return {word.removesuffix("s") for word in re.findall(r"[a-z]+", text.lower())} - {*_SMALL}


@pytest.mark.parametrize("stage", STAGES.values(), ids=lambda each: each.id)
def test_what_a_stage_is_and_is_for_does_not_say_its_name(stage):
    named = {word for name in names_of(stage) for word in words_of(name)}
    told = words_of(stage.about) | words_of(stage.purpose)
    assert named & told <= {"swara", "saptak", "middle", "slow"}, stage.id


@pytest.mark.parametrize("field", ["about", "purpose"])
def test_texts_go_on_from_a_sentence_and_differ(field):
    texts = [getattr(stage, field) for stage in STAGES.values()]
    for text in texts:
        assert re.fullmatch(r"[a-z].*\w", text), text
    for one, other in combinations(texts, 2):
        shared, both = words_of(one) & words_of(other), words_of(one) | words_of(other)
        assert len(shared) <= len(both) / 2, (one, other)


def test_a_reason_goes_on_from_a_colon():
    for pair in ORDER.told:
        assert re.fullmatch(r"[a-z].*\w", pair.why), pair


# What is heard


@pytest.mark.parametrize("stage", STAGES.values(), ids=lambda each: each.id)
def test_what_is_heard_can_be(stage):
    heard = stage.heard
    assert heard.pulse or not heard.tabla
    assert not heard.bols or heard.pulse
    assert ("jhala" in stage.id) == (heard.chikari[0] > 0.5)
    assert ("jhala" in stage.id) == (heard.bols in JHALAS)
    assert ("jhala" in stage.id) or heard.chikari[1] < 0.5
    assert set(heard.talas) <= set(tala_ids())
    assert 0 < heard.strokes[0] < heard.strokes[1]


def test_the_alap_climbs_through_the_saptaks_and_sanchari_stays_below():
    assert [STAGES[f"alap-{each}"].heard.register for each in ("mandra", "madhya", "tar")] == [
        ("mandra",),
        ("madhya",),
        ("tar",),
    ]
    # Sanchari does not use the upper octave (a public page on the four parts of a dhrupad).
    for tuk in DIVISIONS["tuks"].parts:
        assert ("tar" in STAGES[tuk].heard.register) == (tuk in ("tuk-antara", "tuk-abhog"))


@pytest.mark.parametrize(
    "slower_first",
    [("vilambit-gat", "madhya-gat", "drut-gat", "closing-jhala"), ("alap", "jor", "alap-jhala")],
)
def test_the_slower_the_more_ornament(slower_first):
    # Common practice; an article on laya has it that from slow to fast alap gives way to tan.
    found = [STAGES[stage].heard.ornaments for stage in slower_first]
    for slower, faster in pairwise(found):
        assert slower[0] >= faster[0]
        assert slower[1] >= faster[1]


def test_what_may_stand_for_others_may_be_left_out_and_stands_where_they_do():
    for stage in STAGES.values():
        if stage.instead_of:
            assert stage.may_lack
            assert {*stage.instead_of, stage.id} <= set(FORM.whole_of(stage.id).parts)

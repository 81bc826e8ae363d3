"""Paltas: the data, what is said of data at fault, and how they run and are laid out."""

from collections import Counter
from fractions import Fraction
from itertools import pairwise

import pytest

from audio.sargam import parse, write
from audio.tuning import Swara
from quizzes.contours import THATS
from quizzes.errors import PaltaError
from quizzes.paltas import (
    grades,
    group_from,
    lay,
    layouts,
    of_grade,
    paltas,
    run_in_raga,
    run_in_scale,
    straights,
)
from quizzes.paltas.reading import FILE, load_library
from quizzes.ragas import admits, ragas
from quizzes.ragas.movement import surely_breaks
from tests.quizzes import raga_oracle
from tests.quizzes.all_palta_runs import faults_of, runs_of, shapes_of

BILAWAL = "SRGmPDN"
FEW = 10
"""Fewer paltas run in a raga of which a way turns on itself."""
MANY = 18
"""So many run in any that goes straight."""


def joined(groups):
    return " ".join("".join(map(str, group)) for group in groups)


def test_there_are_forty_and_more_in_grades_that_each_have_several():
    by_grade = Counter(palta.grade for palta in paltas().values())
    assert len(paltas()) >= 40
    assert list(by_grade) == [grade.id for grade in grades()]
    assert min(by_grade.values()) >= 6
    assert [len(of_grade(grade)) for grade in by_grade] == list(by_grade.values())


def test_shapes_begin_at_nought_and_no_two_are_one():
    assert all(palta.shape[0] == 0 for palta in paltas().values())
    assert len({palta.shape for palta in paltas().values()}) == len(paltas())


# The lines as they are printed in lists for beginners (singerspassion.wordpress.com, 3 to 8;
# learnraagabasics.blogspot.com, alankars 2 to 6), and of the Sangitaratnakara 1.6.61-62 (as
# te.wikibooks.org explains it), in letters of Bilawal; the treatise stops at Ni.
PRINTED = {
    "twice": "SS RR GG mm PP DD NN S'S' S'S' NN DD PP mm GG RR SS",
    "two-up": "SR RG Gm mP PD DN NS' S'N ND DP Pm mG GR RS",
    "three-up": "SRG RGm GmP mPD PDN DNS' S'ND NDP DPm PmG mGR GRS",
    "four-up": "SRGm RGmP GmPD mPDN PDNS' S'NDP NDPm DPmG PmGR mGRS",
    "five-up": "SRGmP RGmPD GmPDN mPDNS' S'NDPm NDPmG DPmGR PmGRS",
    "thirds": "SG Rm GP mD PN DS' S'D NP Dm PG mR GS",
    "fourths": "Sm RP GD mN PS' S'P Nm DG PR mS",
    "two-and-three": ("SRSRG RGRGm GmGmP mPmPD PDPDN DNDNS' S'NS'ND NDNDP DPDPm PmPmG mGmGR GRGRS"),
}
TREATISE = {
    "third-twice": "SGSG RmRm GPGP mDmD PNPN",
    "two-steps-shaken": "SRSRGRGR RGRGmGmG GmGmPmPm mPmPDPDP PDPDNDND",
    "third-shaken": "SSGSG RRmRm GGPGP mmDmD PPNPN",
}


@pytest.mark.parametrize("name", PRINTED)
def test_a_palta_runs_as_it_is_printed(name):
    assert joined(run_in_scale(paltas()[name], BILAWAL).groups) == PRINTED[name]


@pytest.mark.parametrize("name", TREATISE)
def test_a_palta_climbs_as_the_treatise_has_it(name):
    assert joined(run_in_scale(paltas()[name], BILAWAL).up[:5]) == TREATISE[name]


@pytest.mark.parametrize("scale", [*THATS, "S R G P D"])
def test_in_a_scale_each_group_has_the_shape_and_the_way_down_mirrors_the_way_up(scale):
    letters = scale.split()
    degrees = {letter: place for place, letter in enumerate(letters)}
    ladder = {Swara.read(letter): place for letter, place in degrees.items()}
    top = len(letters)
    ladder[Swara.read("S'")] = top
    for palta in paltas().values():
        run = run_in_scale(palta, letters)
        assert (run is None) == (top - palta.span < 2)
        if run is None:
            continue
        up = [[ladder[swara] for swara in group] for group in run.up]
        down = [[ladder[swara] for swara in group] for group in run.down]
        assert [[top - place for place in group] for group in down] == up
        for group in up:
            assert tuple(place - group[0] for place in group) == palta.shape
        assert {after[0] - before[0] for before, after in pairwise(up)} == {1}
        assert min(map(min, up)) == 0
        assert max(map(max, up)) == top


def test_a_bare_shape_runs_as_well():
    assert joined(run_in_scale((0, 2, 1), BILAWAL).up) == "SGR RmG GPm mDP PND DS'N"
    assert run_in_scale((0, 7), BILAWAL) is None
    assert run_in_scale((0, 1), "RGm") is None


def test_a_group_is_played_from_another_swara():
    assert joined([group_from((0, 2, 1), "SRGPD", Swara.read("P,"))]) == "P,SD,"
    assert joined([group_from((0, 2, 1), "SRGPD", Swara.read("S"), falling=True)]) == "SP,D,"
    assert group_from((0, 2, 1), "SRGPD", Swara.read("m")) is None
    assert group_from((0, 2, 1), "SRGPD", Swara.read("P'")) is None


def test_every_run_in_every_raga_stays_in_it_and_on_the_string():
    """By the movement of the ragas, and by the oracle that reads their files alone."""
    assert len(raga_oracle.all_ragas()) == len(ragas()) == 91
    found = Counter()
    for name, shape, run in runs_of([palta.shape for palta in paltas().values()], ragas()):
        found[name] += 1
        if run.straight is None and not ragas()[name].required:
            assert all(admits(ragas()[name], group) for group in run.groups)
        assert faults_of(name, shape, run) == []
    for name, raga in ragas().items():
        if name in straights():
            assert found[name] >= MANY
        elif raga.vakra_up or raga.vakra_down:
            assert found[name] < FEW
        elif not (raga.required or raga.forbidden):
            assert found[name] >= MANY


def test_orders_of_a_prastara_run_as_well_where_they_run():
    """A sample of what `tests.quizzes.all_palta_runs` tries."""
    names = list(ragas())[::7]
    for name, shape, run in runs_of(shapes_of(3) + shapes_of(4)[::3], names):
        assert faults_of(name, shape, run) == []


def test_where_both_ways_are_one_scale_a_raga_runs_as_that_scale_does():
    plain = [
        raga
        for raga in ragas().values()
        if raga.scale.value.aroha[::-1] == raga.scale.value.avaroha
        and raga.scale.value.aroha[0] == Swara(0)
        and not raga.vakra_up
        and not raga.required
        and not raga.forbidden
    ]
    assert len(plain) > 10
    for raga in plain:
        letters = [swara.letter for swara in raga.scale.value.aroha[:-1]]
        for palta in paltas().values():
            assert run_in_raga(palta.shape, raga) == run_in_scale(palta, letters)


@pytest.mark.parametrize(
    ("raga", "palta", "runs"),
    [
        # A gap is stepped over.
        ("bhupali", "three-up", "SRG RGP GPD PDS' S'DP DPG PGR GRS"),
        # Ga and Dha are left out on the way up (way up and way down as in the raga's file).
        ("desh", "three-up", "SRm RmP mPN PNS' S'nD nDP DPm PmG mGR GRS"),
        # The way up begins on mandra Ni: N, R G M D N S'.
        ("yaman", "three-up", "N,RG RGM GMD MDN DNS' S'ND NDP DPM PMG MGR GRS"),
        # Its own way down turns; straight tans come down with shuddha Ma alone (bimma.in).
        ("bihag", "three-up", "N,SG SGm GmP mPN PNS' S'ND NDP DPm PmG mGR GRS"),
        # Each group begins anew, as after a breath: Ni after Dha is no climb (a teacher's word).
        ("bhimpalasi", "three-up", "n,Sg Sgm gmP mPn PnS' S'nD nDP DPm Pmg mgR gRS"),
    ],
)  # fmt: skip
def test_a_palta_goes_the_ways_of_its_raga(raga, palta, runs):
    assert joined(run_in_raga(paltas()[palta], ragas()[raga]).groups) == runs


def test_a_palta_that_would_break_its_raga_does_not_run_there():
    # Dha rises to nothing in Bhimpalasi: one up and back from it cannot be.
    assert run_in_raga(paltas()["up-and-back"], ragas()["bhimpalasi"]) is None


@pytest.mark.parametrize("raga", ["gaud_sarang", "kedar", "kamod", "shankara", "nand", "hamir"])
@pytest.mark.parametrize("palta", ["three-up", "four-up", "thirds", "two-up"])
def test_a_raga_that_goes_by_its_phrases_takes_no_scalar_palta(raga, palta):
    # A teacher's word: in ragas so vakra a phrase is repeated, and no scale is run.
    assert run_in_raga(paltas()[palta], ragas()[raga]) is None


@pytest.mark.parametrize(
    ("layout", "line"),
    [
        ("two", "SR GR Gm"),
        ("three", "SRG RGm"),
        ("four", "SRGR Gm--"),
        ("long-short", "S-RG R-Gm"),
        ("short-long", "SRG- RGm-"),
        ("dotted", "S--R G--R G--m"),
        ("whole", "SR G- RG m-"),
        ("held", "SR G- - RG m- -"),
    ],
)
def test_groups_are_laid_out_in_rhythm(layout, line):
    groups = run_in_scale(paltas()["three-up"], BILAWAL).up[:2]
    assert write(lay(groups, layouts()[layout])) == line


def test_every_layout_of_every_palta_sounds_each_swara_once_and_fills_whole_matras():
    for palta in paltas().values():
        run = run_in_scale(palta, BILAWAL)
        assert len(palta.layouts) >= 2
        for name in palta.layouts:
            line = lay(run.groups, layouts()[name])
            assert tuple(note.swara for note in line.notes()) == run.swaras
            assert line.matras.denominator == 1
            assert parse(write(line)) == line
            shortest = min(note.matras for note in line.notes())
            assert shortest >= Fraction(1, len(layouts()[name].matra))


AT_FAULT = [
    ('id = "two-up"', 'id = "Two up"', "palta 2, id: 'Two up' should be small letters"),
    ('id = "two-up"', 'id = "twice"', "palta 2, id: 'twice' is there already; choose another"),
    ('name = "two up"', 'name = "each swara twice"', "palta 2, name: .* is there already"),
    ('shape = "0 1 2"', 'shape = "1 2 3"', "palta 3, shape: '1 2 3' should be degrees from"),
    ('shape = "0 1 2"', 'shape = "0"', "palta 3, shape: it has 1 swaras; from 2 to 12 may stand"),
    ('shape = "0 1 2"', 'shape = "0 9"', "palta 3, shape: '0 9' should span 7 degrees at most"),
    ('shape = "0 1 2"', 'shape = "0 1"', "palta 3, shape: is that of 'two-up'; change one"),
    ('shape = "0 1 2"', 'shape = "0 1 2"\nlevel = 1', "palta 3, level: is not known; known are"),
    ('grade = "four"', 'grade = "fours"', "grade: 'fours' is not known; it should be one of"),
    ('layouts = ["two"', 'layouts = ["too"', "palta 1, layouts: 'too' is not known; known are two"),
    ('"two", "four", "dotted"', '"two"', "layouts: should name 2 or more, each once"),
    ('matra = "x-xx"', 'matra = "-xxx"', "layout 4, matra: '-xxx' should be up to 8 signs"),
    ('after = "held"', 'after = "later"', "layout 8, after: 'later' is not known"),
    ('id = "compound"', 'id = "other"', "grade: 'compound' is not known"),
    ('confidence = "A"', 'confidence = "D"', "confidence: 'D' is not known"),
]


AT_FAULT += [
    ('raga = "bihag"', 'raga = "bihaag"', "straight 1, raga: 'bihaag' is no raga known here"),
    ('raga = "puriya"', 'raga = "bihag"', "straight 3, raga: 'bihag' is there already"),
    ('up = "n, S g m D', 'up = "n, S H m D', "straight 2, up: .* should be sargam"),
    ("down = \"S' n D m", "down = \"S' D n m", "straight 2, down: .* should fall all along"),
]


@pytest.mark.parametrize("name", straights())
def test_what_is_straight_breaks_no_teaching_of_its_raga(name):
    straight = straights()[name]
    for way in (straight.up, straight.down):
        assert surely_breaks(ragas()[name], way) is None
        assert raga_oracle.all_ragas()[name].left(tuple(each.steps for each in way)) is None


@pytest.mark.parametrize(("there", "instead", "said"), AT_FAULT)
def test_data_at_fault_is_told_with_file_line_field_and_remedy(tmp_path, there, instead, said):
    text = FILE.read_text(encoding="utf-8")
    assert there in text
    path = tmp_path / "paltas.toml"
    path.write_text(text.replace(there, instead, 1), encoding="utf-8")
    with pytest.raises(PaltaError, match=rf"paltas\.toml, line \d+: .*{said}"):
        load_library(path)


def test_a_file_that_is_not_there_or_no_toml_is_told(tmp_path):
    with pytest.raises(PaltaError, match="there is no such file"):
        load_library(tmp_path / "none.toml")
    (tmp_path / "some.toml").write_text("[[palta", encoding="utf-8")
    with pytest.raises(PaltaError, match="it should be TOML"):
        load_library(tmp_path / "some.toml")

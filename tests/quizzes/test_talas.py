"""Talas: files read whole, or refused with line, field and remedy."""

from itertools import accumulate

import pytest

from audio.theka import read_theka
from audio.voices.tabla import sound_of
from quizzes.errors import TalaError
from quizzes.talas import LAYAS, TALAS, load_tala, tala_ids


@pytest.mark.parametrize("name", tala_ids())
def test_every_theka_and_variant_fills_its_cycle(name):
    tala = load_tala(name)
    lines = [(theka.bols, tala.form) for theka in tala.thekas]
    lines += [(variant.bols, variant.form) for variant in tala.variants if variant.bols]
    for bols, form in lines:
        assert len(read_theka(bols).matras) == form.matras
    for form in (tala.form, *(variant.form for variant in tala.variants)):
        starts = [1, *(1 + end for end in accumulate(form.vibhags))][:-1]
        assert sorted((*form.tali, *form.khali)) == starts
    assert {*tala.laya} <= {*LAYAS}


@pytest.mark.parametrize("name", tala_ids())
def test_every_fact_has_a_source(name):
    tala = load_tala(name)
    told = [tala.form_source, tala.laya_source, tala.character_source]
    told += [each.source for each in (*tala.thekas, *tala.variants)]
    assert all(len(source) > 8 for source in told)


@pytest.mark.parametrize("name", ["tintal", "keharwa", "jhaptal", "dadra"])
def test_the_bayan_begins_the_cycle_and_rests_somewhere_in_khali(name):
    # Common practice: the khali vibhag is played without the bayan, at least in part.
    tala = load_tala(name)
    theka = read_theka(tala.theka)
    starts = [0, *accumulate(tala.vibhags)]
    with_bayan = [any(sound_of(b) in {"dha", "dhin", "ge"} for b in p) for p in theka.matras]
    for khali in tala.khali:
        end = starts[starts.index(khali - 1) + 1]
        assert not all(with_bayan[khali - 1 : end])
    assert with_bayan[0]


def test_rupak_begins_with_its_wave_and_some_clap_it():
    tala = load_tala("rupak")
    assert tala.khali == (1,)
    assert [variant.form.tali for variant in tala.variants] == [(1, 4, 6)]


GOOD = (TALAS / "rupak.toml").read_text("utf-8")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("matras = 7", "matras = 8", "line 4: vibhags: [3, 2, 2] make 7 matras, not 8; mend"),
        ("matras = 7", "matras = 7.5", "line 3: matras: should be a whole number above 0"),
        ("matras = 7", "matra = 7", "line 3: matra: is not known; known are also, character"),
        ("tali = [4, 6]", "tali = [4, 5]", "line 5: tali: [4, 5] should rise and be first matras"),
        ("tali = [4, 6]", "tali = [6, 4]", "line 5: tali: [6, 4] should rise"),
        ("tali = [4, 6]", "tali = [4]", "line 6: khali: matra 6 begins a vibhag and is neither"),
        ("khali = [1]", "khali = [1, 4]", "line 6: khali: matra 4 begins a vibhag and is both"),
        ('"madhya"]', '"medium"]', "line 7: laya: 'medium' is not one of vilambit, madhya, drut"),
        ('"madhya"]', "3]", 'line 7: laya: should be a list of texts, such as ["drut"]'),
        ('["vilambit", "madhya"]', "[]", "line 7: laya: is empty; it should name"),
        ('name = "Rupak"\n', "", "line 1: name: should be a text in quotes"),
        ("[source]\nform", "[source]\nfrom", "line 11: source, from: is not known; known are char"),
        ("tin tin na | dhi", "tin tun blub | dhi", "theka 1, bols: matra 3: 'blub' is not made"),
        ("dhi na | dhi na", "dhi na dhi na", "theka 1, bols: between its bars it has [3, 4]"),
        ("dhin nana", "dhin", "theka 2, bols: between its bars it has [3, 2, 1] matras, the vibh"),
        ("khali = []\n", "", "variant 1, khali: matra 1 begins a vibhag and is both"),
        ("tali = [1, 4, 6]\nkhali = []", "", "variant 1, about: a variant needs a field"),
        ("[[theka]]", "[[thekas]]", "thekas: is not known"),
        ("[[variant]]", "[variant]", "variant: should be tables [[variant]]"),
        ("[source]", "[[source]]", "source: should be a table [source]"),
        ("matras = 7", "matras =", "mend the file, it should be TOML"),
    ],
)
def test_a_faulty_tala_names_file_line_field_and_remedy(tmp_path, old, new, said):
    assert old in GOOD
    path = tmp_path / "mine.toml"
    path.write_text(GOOD.replace(old, new), encoding="utf-8")
    with pytest.raises(TalaError) as caught:
        load_tala("mine", folder=tmp_path)
    assert str(path) in str(caught.value)
    assert said in str(caught.value)


def test_the_line_told_is_that_of_the_second_theka(tmp_path):
    text = GOOD.replace("dhin nana", "dhin nanu")
    (tmp_path / "mine.toml").write_text(text, encoding="utf-8")
    line = next(n for n, each in enumerate(text.splitlines(), 1) if "nanu" in each)
    with pytest.raises(TalaError, match=rf"line {line}: theka 2, bols: matra 7: 'nanu'"):
        load_tala("mine", folder=tmp_path)


def test_a_tala_without_a_theka_is_refused(tmp_path):
    (tmp_path / "mine.toml").write_text(GOOD.partition("[[theka]]")[0], encoding="utf-8")
    with pytest.raises(TalaError, match=r"theka: a tala needs at least one \[\[theka\]\]"):
        load_tala("mine", folder=tmp_path)


def test_an_unknown_tala_is_told_with_those_that_are_known():
    with pytest.raises(TalaError, match="known are ada_chautal, addha_tintal"):
        load_tala("yours")


def test_a_file_that_is_no_text_is_refused(tmp_path):
    (tmp_path / "mine.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(TalaError, match="should be TOML in UTF-8"):
        load_tala("mine", folder=tmp_path)

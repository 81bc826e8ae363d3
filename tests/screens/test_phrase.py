"""A phrase as it is made: each change leaves a line that is read back as the same phrase."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from audio.playing import chains_of, tags_of
from audio.sargam import parse
from audio.tuning import Swara
from screens.phrase import JOINED, Item, Phrase, figure, line_of, meend_span
from screens.phrase_keys import GROUPS, LENGTHS, keys_of, taking
from screens.sliding import SLIPS_S, STAYS_S, Sliding

SWARAS = st.builds(Swara, st.integers(0, 11), st.integers(-1, 1))
KEYS = [key for group in GROUPS for key in keys_of(group, (), ("saptaks",)) if key.change]
BY, PART = ("", *JOINED), ("kan", "zamzama")
CHANGES = st.one_of(
    st.builds(lambda s, by: lambda phrase: phrase.adding(s, by), SWARAS, st.sampled_from(BY)),
    st.builds(lambda path: lambda phrase: phrase.sliding(path), st.lists(SWARAS, min_size=1)),
    st.builds(lambda s, key: lambda phrase: taking(key, phrase, s), SWARAS, st.sampled_from(PART)),
    st.sampled_from([key.change for key in KEYS]),
    st.builds(lambda at: lambda phrase: phrase.choosing(at), st.integers(-2, 9)),
    st.just(Phrase.without),
)


@settings(max_examples=150, deadline=None)
@given(st.lists(CHANGES, max_size=14))
def test_whatever_is_done_to_a_phrase_it_can_be_written_and_read_back(changes):
    phrase = Phrase()
    for change in changes:
        phrase = change(phrase)
        assert -1 <= phrase.at < max(1, len(phrase.items))
        assert (phrase.at == -1) == (not phrase.items)
    assert bool(phrase.text) == (phrase.count > 0)
    if phrase.text:
        assert Phrase.read(phrase.text).items == phrase.items
        assert parse(phrase.text) == line_of(phrase.items)
        assert len(list(parse(phrase.text).notes())) == phrase.count
        assert parse(phrase.text).matras == sum(item.matras for item in phrase.items)
    if phrase.chain:
        assert len(list(chains_of(parse(phrase.chain)))) == 1


@pytest.mark.parametrize(
    "text",
    ["N, R G/ P\\ G", "SR -G .- P:1/2", "(R)S {SR}^ r~ G~~*", "S//P R<G G>R", "SRG mP - . S'_o"],
)
def test_a_line_that_was_typed_is_the_same_phrase(text):
    phrase = Phrase.read(text)
    assert list(line_of(phrase.items).notes()) == list(parse(text).notes())
    assert phrase.at == len(phrase.items) - 1


def test_a_meend_falls_away_where_it_would_reach_too_far():
    phrase = Phrase.read("G/ P")
    assert phrase.shifted(1).text == "G P'"
    assert meend_span() == 5  # semitones of pull: assets/ornaments.toml has the source
    assert Phrase.read("S").adding(Swara.read("m"), "meend").text == "S/ m"
    assert Phrase.read("S").adding(Swara.read("M"), "meend").text == "S M"


def test_a_meend_turns_round_with_its_swaras():
    assert Phrase.read("m/ P").choosing(0).playing(swara=Swara.read("D")).text == "D\\ P"


def test_taking_a_swara_away_joins_its_neighbours_or_parts_them():
    assert Phrase.read("R/ G/ P").choosing(1).without().text == "R/ P"
    assert Phrase.read("R/ G/ P").choosing(0).without().text == "G/ P"
    assert Phrase.read("R/ G\\ R").choosing(1).without().text == "R R"
    assert Phrase.read("S R").without().without() == Phrase()


def test_sparsh_leads_up_and_krintan_down():
    up, down = Phrase.read("R G"), Phrase.read("G R")
    assert up.reached("sparsh").text == "R< G"
    assert up.reached("krintan") == up
    assert down.reached("krintan").text == "G> R"
    assert up.reached("sparsh").reached("sparsh").text == "R G"


def test_what_has_no_stroke_of_its_own_is_neither_stronger_nor_brighter():
    phrase = Phrase.read("G P^*").reached("meend")
    assert phrase.text == "G/ P"
    assert tags_of(next(chains_of(parse(phrase.text)))) == ("meend",)


@given(st.lists(st.tuples(SWARAS, st.sampled_from(LENGTHS)), min_size=1, max_size=8))
def test_lengths_stand_in_beats_of_a_matra(notes):
    items = [Item(Phrase().adding(swara).tone, matras) for swara, matras in notes]
    line = line_of(items)
    assert [note.matras for note in line.notes()] == [matras for _, matras in notes]
    of_their_own = all(len(beat.parts) == 1 for beat in line.items)
    in_matras = all(beat.matras == 1 for beat in line.items[:-1]) and line.items[-1].matras <= 1
    assert in_matras or of_their_own


@pytest.mark.parametrize(
    "line", ["P,:2 D, n,:1/2 S R:2", "n,S R - S", "S -R G", "S:1/3 R:3/4 G"]
)  # fmt: skip
def test_a_length_that_leads_on_into_another_beat_is_written_by_its_swara(line):
    assert Phrase.read(line).text == line


def slide(*stops, span=5, most=9):
    """A finger at each (swara, seconds that it stays there)."""
    (first, stays), *others = stops
    finger = Sliding(Swara.read(first), 0.0, span=span, most=most)
    now = stays
    for swara, stays in others:
        finger.to(Swara.read(swara), now)
        now += stays
    return " ".join(map(str, finger.path)), finger.beyond


QUICK, SHORT, LONG = SLIPS_S / 3, (SLIPS_S + STAYS_S) / 2, STAYS_S + 0.1


@pytest.mark.parametrize(
    ("stops", "path"),
    [
        ([("G", SHORT), ("m", QUICK), ("P", SHORT)], "G P"),
        ([("G", SHORT), ("m", LONG), ("P", SHORT)], "G m P"),
        ([("G", SHORT), ("m", QUICK), ("P", SHORT), ("m", QUICK), ("G", SHORT)], "G P G"),
        ([("G", SHORT), ("P", QUICK), ("G", SHORT)], "G"),
        ([("S", SHORT), ("R", QUICK), ("G", QUICK), ("m", QUICK), ("P", SHORT)], "S m"),
        ([("D", SHORT), ("P", QUICK), ("m", SHORT)], "D m"),
    ],
)
def test_a_finger_plays_where_it_turns_where_it_stays_and_where_it_leaves(stops, path):
    assert slide(*stops)[0] == path


def test_a_finger_goes_no_further_than_a_meend_and_than_there_is_room():
    assert slide(("S", SHORT), ("P", SHORT)) == ("S", True)
    assert slide(("N", SHORT), ("S'", QUICK), ("R'", SHORT)) == ("N R'", False)
    assert slide(("S", SHORT), ("R", LONG), ("G", LONG), most=2) == ("S R", True)
    assert slide(("S", SHORT), ("P", SHORT), ("R", SHORT)) == ("S R", False)


def test_a_length_has_a_figure():
    shown = [figure(Fraction(text)) for text in ("1/4", "1/2", "3/2", "2", "5/3", "7/5")]
    assert shown == ["¼", "½", "1½", "2", "1⅔", "7/5"]

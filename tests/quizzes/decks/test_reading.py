"""Decks read from their texts: what is told of each thing that is wrong, and where."""

import os
import re

import numpy as np
import pytest
import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from audio.recorded import file_bytes
from quizzes.decks import own
from quizzes.decks.deck import Asked, Before, Cue, Narrowed, Offered
from quizzes.decks.faults import DeckError
from quizzes.decks.limits import (
    LONGEST_LINE,
    MOST_ANSWERS,
    MOST_BESIDE_AMONG,
    MOST_BYTES,
    MOST_FAULTS,
    MOST_QUESTIONS,
)
from quizzes.decks.reading import load_deck, read_deck, text_of
from quizzes.kept import skills_of
from quizzes.kinds import KINDS
from tests.quizzes.decks.all_broken_decks import KEYS, judge, judged
from tests.quizzes.decks.broken_texts import BROKEN, EXPLAINED, HEAD, one

WHOLE = """\
deck = "d-1"
name = " D "
about = '''a
b'''
by = "B"
edition = 3
tempo = 90
drone = "Sa-Ma"
[[question]]
id = "1"
kind = "choose-several"
prompt = "P?"
sargam = 'm\\R | S~ -'
tempo = 60.5
voice = "string"
tuning = "equal"
why = "W"
choice = [{ text = "a b", right = true, why = "x" }, { text = "c", sargam = "S" }]
[[question]]
id = "2"
kind = "put-in-order"
prompt = "Which\\norder?"
name = "N"
things = ["a", "b", "c"]
[[question.before]]
first = "a"
then = "c"
why = "w"
[[question.before]]
first = "b"
then = "c"
[[question]]
id = "3"
kind = "write-swaras"
prompt = "Write"
recording = "x.wav"
drone = "none"
right = ["S  R", "S r'"]
[[question]]
id = "4"
kind = "true-or-false"
prompt = "So?"
theka = "rupak"
cycles = 2
holds = false
[[question.reason]]
text = "x"
holds = false
right = true
[[question.reason]]
text = "y"
[[question]]
id = "5"
kind = "gap"
name = "Two"
skills = ["gap:R-P:down", "gap:S-P:up"]
[[question]]
id = "6"
kind = "raga-from-phrase"
among = ["bhairav", "yaman"]
[question.phrases]
yaman = ["N, R G M P"]
bhairav = ["G m d P"]
"""


def faults_of(text, file="d.toml", **how):
    with pytest.raises(DeckError) as told:
        read_deck(text, file, **how)
    return told.value.faults


@pytest.mark.parametrize(("text", "field", "wrong", "remedy"), BROKEN)
def test_one_thing_wrong_is_told_with_file_line_field_and_remedy(text, field, wrong, remedy):
    (fault,) = faults_of(text)
    line = next(at for at, each in enumerate(text.split("\n"), 1) if "#!" in each)
    assert (fault.file, fault.line, fault.field) == ("d.toml", line, field)
    assert re.search(wrong, fault.wrong), fault
    assert re.search(remedy, fault.remedy), fault


@pytest.mark.parametrize(("text", "field", "wrong", "remedy"), EXPLAINED)
def test_what_follows_from_another_fault_is_not_told(text, field, wrong, remedy):
    (fault,) = faults_of(text)
    assert fault.field == field
    assert re.search(wrong, fault.wrong), fault
    assert re.search(remedy, fault.remedy), fault


def test_all_that_is_wrong_is_told_at_once_in_the_order_of_the_lines():
    text = one("cycles = 2\nwyh = 'x'", rest="text = 1").replace('"D"', '""')
    faults = faults_of(text.replace('text = "Re"\n', ""))
    assert [(fault.line, fault.field, fault.entry) for fault in faults] == [
        (2, "name", None),
        (7, "cycles", 0),
        (8, "wyh", 0),
        (13, "choice 2, text", 0),
    ]
    assert str(faults[1]) == (
        "d.toml, line 7: cycles: is said of a theka, and there is none; "
        'write theka = "tintal" beside it, or leave it out'
    )


def test_so_many_faults_are_told_and_no_more():
    text = HEAD + "".join(f"k{at} = 1\n" for at in range(3000))
    assert len(faults_of(text)) == MOST_FAULTS


@pytest.mark.parametrize(("own", "drone"), [("", ""), ('drone = "Sa-Ni"\n', "Sa-Ni")])
def test_the_drone_for_all_cues_does_not_sound_under_a_recording(own, drone):
    text = WHOLE.replace('recording = "x.wav"\ndrone = "none"\n', f'recording = "x.wav"\n{own}')
    cues = [each.cue for each in read_deck(text, "d.toml").entries if isinstance(each, Asked)]
    assert [cue.drone for cue in cues] == ["Sa-Ma", "Sa-Ma", drone, "Sa-Ma"]


def test_a_whole_deck_is_read_as_it_is_written():
    deck = read_deck(
        WHOLE,
        "d.toml",
        recording={"x.wav": 2.5}.__getitem__,
    )
    assert (deck.id, deck.name, deck.about) == ("d-1", "D", "a\nb")
    assert (deck.by, deck.edition, deck.recordings) == ("B", 3, {"x.wav"})
    assert deck.entries == (
        Asked(
            id="1",
            form="choose-several",
            prompt="P?",
            name="P?",
            cue=Cue("m\\R | S~ -", tempo=60.5, tuning="equal", voice="string", drone="Sa-Ma"),
            why="W",
            offered=(Offered("a b", True, "x"), Offered("c", sargam="S")),
        ),
        Asked(
            id="2",
            form="put-in-order",
            prompt="Which\norder?",
            name="N",
            cue=Cue(tempo=90.0, drone="Sa-Ma"),
            things=("a", "b", "c"),
            before=(Before("a", "c", "w"), Before("b", "c")),
        ),
        Asked(
            id="3",
            form="write-swaras",
            prompt="Write",
            name="Write",
            cue=Cue(recording="x.wav", seconds=2.5, tempo=90.0, drone="none"),
            lines=("S R", "S r'"),
        ),
        Asked(
            id="4",
            form="true-or-false",
            prompt="So?",
            name="So?",
            cue=Cue(theka="rupak", cycles=2, tempo=90.0, drone="Sa-Ma"),
            offered=(Offered("x", True, holds=False), Offered("y")),
            holds=False,
        ),
        Narrowed("5", "gap", "Two", ("gap:R-P:down", "gap:S-P:up")),
        Narrowed(
            "6",
            "raga-from-phrase",
            KINDS["raga-from-phrase"].title,
            (),
            ("bhairav", "yaman"),
            {"yaman": ("N, R G M P",), "bhairav": ("G m d P",)},
        ),
    )


def test_what_just_keeps_to_the_limits_is_read():
    head, each = one().split("[[question]]")
    many = "".join(f"[[question]]{each}".replace('"q"', f'"q{at}"') for at in range(MOST_QUESTIONS))
    line = f"# {'x' * (LONGEST_LINE - 2)}\n"
    text = line + head + many
    text += "\n" * (MOST_BYTES - len(text))
    assert len(read_deck(text_of(text.encode(), "d.toml"), "d.toml").entries) == MOST_QUESTIONS
    with pytest.raises(DeckError, match="more than 1000000 bytes"):
        text_of(text.encode() + b"\n", "d.toml")


def test_what_lasts_just_as_long_as_it_may_at_its_tempo_is_read():
    for line in (
        "sargam = 'S:120'",
        "sargam = 'S:240'\ntempo = 120",
        "sargam = 'S:20'\ntempo = 10",
    ):
        assert read_deck(one(line), "d.toml")
    for line in (
        "sargam = 'S:121'",
        "sargam = 'S:241'\ntempo = 120",
        "sargam = 'S:21'\ntempo = 10",
    ):
        (fault,) = faults_of(one(line))
        assert fault.field == "sargam"
        assert "shorten it, or raise tempo: at most 120 are played" in fault.remedy


def test_what_is_meant_is_first_looked_for_among_what_differs_in_capitals_alone():
    text = f'{HEAD}[[question]]\nid = "q"\nkind = "gap"\nskills = ["gap:R-p:down"]'
    assert faults_of(text)[0].remedy == "write gap:R-P:down"


def test_so_many_skills_may_stand_beside_what_is_offered():
    def table(count):
        skills = [skill.id for skill in skills_of("gap")][:count]
        return f'{HEAD}[[question]]\nid = "q"\nkind = "gap"\nskills = {skills}\namong = ["x", "y"]'

    assert "leaves fewer than two answers" in faults_of(table(MOST_BESIDE_AMONG))[0].wrong
    assert "stands beside 25 skills" in faults_of(table(MOST_BESIDE_AMONG + 1))[0].wrong


def test_so_many_choices_are_read():
    ten = "".join(f"[[question.choice]]\ntext = '{at}'\n" for at in range(MOST_ANSWERS - 2))
    (entry,) = read_deck(one(rest=ten), "d.toml").entries
    assert len(entry.offered) == MOST_ANSWERS


def test_a_raga_may_be_offered_of_which_no_phrase_sounds():
    text = f'{HEAD}[[question]]\nid = "q"\nkind = "raga-from-phrase"\n'
    text += 'among = ["yaman", "bhairav"]\nphrases = { yaman = ["N, R G M P"] }'
    (entry,) = read_deck(text, "d.toml").entries
    assert (entry.among, dict(entry.phrases)) == (
        ("yaman", "bhairav"),
        {"yaman": ("N, R G M P",)},
    )
    without = text.replace('among = ["yaman", "bhairav"]', "").replace(
        "}", ', bhairav = ["G m d"] }'
    )
    (entry,) = read_deck(without, "d.toml").entries
    assert (entry.among, len(entry.phrases)) == (("yaman", "bhairav"), 2)


def test_a_phrase_that_two_ragas_make_is_taken_where_its_rest_tells_them_apart():
    # Bhupali dwells on Ga, Deshkar on Dha (from memory).
    text = f'{HEAD}[[question]]\nid = "q"\nkind = "raga-from-phrase"\n'
    text += 'among = ["bhupali", "deshkar"]\nphrases = { bhupali = ["S R G:4 R S"] }'
    assert read_deck(text, "d.toml").entries[0].phrases == {"bhupali": ("S R G:4 R S",)}
    (fault,) = faults_of(text.replace("G:4", "G"))
    assert "Deshkar makes this phrase as well" in fault.wrong


def ids_of(rest, kind, tradition=""):
    text = f'{HEAD}[[question]]\nid = "q"\nkind = "{kind}"\n{rest}'
    return read_deck(text, "d.toml", tradition=tradition).entries[0].skills


def test_a_kind_is_narrowed_as_a_course_narrows_it():
    assert ids_of("", "tune") == tuple(skill.id for skill in skills_of("tune"))
    down = ids_of('ask = ["gap:R-P:", "gap:S-"]', "gap")
    assert down[:3] == ("gap:R-P:up", "gap:R-P:down", "gap:R-P:together")
    assert all(each.startswith("gap:S-") for each in down[3:])
    assert ids_of('talas = ["tintal", "jhaptal"]\nask = ["sam:tap"]', "sam") == (
        "sam:tap:jhaptal",
        "sam:tap:tintal",
    )
    assert ids_of('skills = ["gap:S-P:up"]\nask = ["gap:R-P:down"]', "gap") == (
        "gap:S-P:up",
        "gap:R-P:down",
    )
    both = ids_of(
        'ragas = ["bhupali", "deshkar"]\nask = ["raga-from-phrase:r"]', "raga-from-phrase"
    )
    assert "raga-from-phrase:rest:bhupali-deshkar" in both
    alone = ids_of('ragas = ["bhupali"]', "raga-from-phrase")
    assert {each.split(":")[-1] for each in alone} == {"bhupali"}


def test_a_text_may_be_marked_as_utf_8_and_have_any_line_ends():
    data = WHOLE.encode()
    first = read_deck(text_of(data, "d.toml"), "d.toml")
    assert text_of(b"\xef\xbb\xbf" + data, "d.toml") == text_of(data, "d.toml")
    assert read_deck("\ufeff" + WHOLE, "d.toml") == first
    assert read_deck(WHOLE.replace("\n", "\r\n"), "d.toml").entries == first.entries


@pytest.mark.parametrize("encoding", ["utf-16", "utf-32", "latin-1", "cp1252"])
def test_another_encoding_is_told_at_its_line(encoding):
    with pytest.raises(DeckError, match="save it anew with the encoding UTF-8") as told:
        text_of(('deck = "d"\nname = "é"\n').encode(encoding), "d.toml")
    (fault,) = told.value.faults
    assert fault.line == (1 if "utf" in encoding else 2)


def test_a_file_is_read_with_the_recordings_beside_it(tmp_path):
    deck, sounds = tmp_path / "d.toml", tmp_path / "recordings"
    sounds.mkdir()
    (sounds / "x.wav").write_bytes(file_bytes(np.zeros((44_100, 1), np.int16)))
    (sounds / "y.wav").write_bytes(b"no sound")
    (sounds / "z.wav").write_bytes(file_bytes(np.zeros((44_100 * 31, 1), np.int16)))
    deck.write_text(one('recording = "x.wav"'), encoding="utf-8")
    (entry,) = load_deck(deck, sounds).entries
    assert (entry.cue.recording, entry.cue.seconds) == ("x.wav", 1.0)
    for name, wrong in (
        ("w.wav", "w.wav is not among the recordings; bring that recording in"),
        ("y.wav", "y.wav: .+; "),
        ("z.wav", "z.wav sounds for 31 seconds; cut it: at most 30"),
    ):
        deck.write_text(one(f'recording = "{name}"'), encoding="utf-8")
        with pytest.raises(DeckError, match=f"d.toml, line 7: recording: {wrong}"):
            load_deck(deck, sounds)


def test_what_is_no_file_is_told(tmp_path):
    os.mkfifo(tmp_path / "pipe.toml")
    (tmp_path / "large.toml").write_bytes(b"#" * (MOST_BYTES + 1))
    for name, wrong in (
        ("none.toml", "cannot be opened"),
        ("pipe.toml", "is no file"),
        (".", "is no file"),
        ("large.toml", "has more than 1000000 bytes"),
        ("a\0b", "cannot be opened"),
    ):
        with pytest.raises(DeckError, match=wrong):
            load_deck(tmp_path / name, tmp_path)


LEAVES = (
    st.none()
    | st.booleans()
    | st.integers(-(2**70), 2**70)
    | st.floats()
    | st.dates()
    | st.text(max_size=6)
    | st.sampled_from(["a", "b", "S R", "N, R/G", "yaman", "tintal", "gap:R-P:up", "choose-one"])
)
ANYTHING = st.recursive(
    LEAVES,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(KEYS), inner),
    max_leaves=6,
)


@given(
    st.sampled_from([*own.KEYS, "gap", "sam", "raga-from-phrase", "raga-rest"]),
    st.dictionaries(st.sampled_from(KEYS), ANYTHING, max_size=7),
)
def test_whatever_stands_in_a_question_is_taken_or_told(kind, rest):
    table = {key: value for key, value in without_none(rest).items() if key not in ("id", "kind")}
    text = tomlkit.dumps(
        {"deck": "d", "name": "D", "question": [{"id": "q", "kind": kind, **table}]}
    )
    deck, told = judged(text.encode("utf-8", "replace"))
    assert (deck is None) == bool(told)


def without_none(value):
    """TOML has no nothing."""
    if isinstance(value, dict):
        return {key: without_none(each) for key, each in value.items() if each is not None}
    if isinstance(value, list):
        return [without_none(each) for each in value if each is not None]
    return value


def test_broken_decks_are_refused_with_their_places():
    tally = judge(range(150), seed=2, every=4)
    assert not tally.failed
    assert tally.refused > 100
    assert tally.loaded > 5

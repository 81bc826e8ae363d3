"""What a raga says of a phrase that was kept, and the phrase as the question of a deck."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio.line import Beat, Line, Tone
from audio.sargam import write
from audio.tuning import SWARAS, Swara
from practice.phrase_asked import question_of
from practice.phrase_said import said_of, sound_of
from practice.phrases import phrases_of
from quizzes import KINDS
from quizzes.decks.asking import skills_of
from quizzes.decks.draft import Draft
from quizzes.question import Setting
from scheduler import Note


def kept(line="N, R G M D N S'", raga="yaman", tempo=72.4, drone="P"):
    data = {"sargam": line, "sa_hz": 138.59, "tempo": tempo, "tuning": "just"}
    data |= {"raga": raga, "wish": "Five swaras.", "drone": drone}
    noted = Note(student="mira", what="phrase", data=data, utc_ms=0, offset_min=0, device="a")
    (phrase,) = phrases_of([noted])
    return phrase


@pytest.mark.parametrize("line", ["M P m G R", "N R G M D N S'"])
def test_the_raga_says_what_it_said_when_the_phrase_was_made(line):
    kind = KINDS["raga-make"]
    question = kind.make("raga-make:meend:yaman", seed=3, setting=Setting(138.59))
    told = kind.explain(question, line).findings
    said = {(each.text, each.mark) for each in said_of(kept(line))}
    more = said - {(each.text, each.mark) for each in told}
    assert len(said) - len(more) >= 2
    # The wish tells already whether it rests as it should; now there is no wish.
    assert all(text.startswith("It comes to rest") for text, _ in more)


def test_what_is_to_be_heard_of_it_sounds_at_its_sa_and_tempo():
    cues = [each.cue for each in said_of(kept("M P m G R")) if each.cue]
    assert cues
    assert {cue.sa_hz for cue in cues} == {138.59}
    onsets = [stroke.onset_s for stroke in cues[0].strokes[:2]]
    assert onsets[1] - onsets[0] == pytest.approx(60 / 72.4)


def test_nothing_is_said_without_a_raga_or_of_one_that_is_not_known_here():
    assert said_of(kept(raga="")) == said_of(kept(raga="no-such-raga")) == ()
    assert sound_of(kept(raga="no-such-raga")) == sound_of(kept(raga=""))


def test_the_komal_ga_of_darbari_is_as_low_as_when_it_was_made():
    """Of just intonation komal Ga is 316 cents; that of Darbari is lower (assets/shades.toml)."""
    plain, darbari = (
        sound_of(kept("S R g", raga)).strokes[2].path[0][1] for raga in ("", "darbari")
    )
    assert plain == pytest.approx(315.64, abs=0.01)
    assert plain - 60 < darbari < plain - 5


def test_a_phrase_is_set_with_all_that_is_in_it():
    fields = question_of(kept("N, R - G/ P", drone="N"))
    assert fields == {
        "kind": "write-phrase",
        "prompt": "Write the phrase that you hear, how long each swara lasts and what the left "
        "hand does.",
        "name": "A phrase of Yaman",
        "sargam": "N, R - G/ P",
        "tempo": 72.4,
        "drone": "Sa-Ni",
        "counts": ["lengths", "ornaments"],
    }
    assert "counts" not in question_of(kept("N, R G - -"))  # the last swara may be held
    assert question_of(kept("S. R G"))["counts"] == ["lengths"]
    assert question_of(kept("S R", drone="", raga=""))["drone"] == "none"


TONES = st.builds(
    Tone,
    st.sampled_from([Swara.read(letter) for letter in SWARAS if letter != "R"]),
    touches=st.sampled_from([(), (Swara.read("R"),)]),
    sway=st.sampled_from(["", "gamak", "andolan"]),
    loud=st.sampled_from([-1, 0, 1]),
)
LINES = st.lists(TONES, min_size=2, max_size=12).map(
    lambda tones: write(Line(tuple(Beat((tone,)) for tone in tones)))
)


@given(LINES, st.floats(1.0, 1000.0), st.sampled_from(["yaman", "", "durga"]))
def test_whatever_is_kept_makes_a_deck_that_can_be_asked(line, tempo, raga):
    """By the rules of DECKS.md, which the deck is read by."""
    draft = Draft.new("Made by students")
    draft.add(question_of(kept(line, raga, tempo)))
    assert draft.faults() == ()
    deck = draft.deck()
    (skill,) = skills_of(deck, "")
    assert deck.entries[0].cue.sargam == line
    assert skill.kind == "deck"

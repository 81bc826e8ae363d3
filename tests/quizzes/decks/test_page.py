"""`DECKS.md` against the loader: its examples, its keys and its limits."""

import re
from fractions import Fraction
from pathlib import Path

import pytest

from audio.sargam import parse
from audio.tuning import Swara
from quizzes import KINDS, Setting, make_question
from quizzes.decks import heard, limits, narrowed, own, reading
from quizzes.decks.asking import entry_text
from quizzes.decks.deck import COUNTED, DRONES, FORMS, Narrowed
from quizzes.decks.reading import read_deck
from quizzes.kinds.deck_choices import VERDICT_ALONE
from quizzes.signs import unshown
from tests.quizzes.decks.all_broken_decks import ask

PAGE = (Path(__file__).parent.parent.parent.parent / "DECKS.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)
QUESTIONS = [
    "[[question]]" + each for example in EXAMPLES for each in example.split("[[question]]")[1:]
]
LIMITS_TEXT = Path(limits.__file__).read_text(encoding="utf-8")


def whole(*questions):
    return "\n".join([EXAMPLES[0], *questions])


LIMITS = {
    "MOST_BYTES": "bytes of a file",
    "LONGEST_LINE": "characters of a line of the file",
    "DEEPEST": "tables and lists within one another",
    "MOST_FIELDS": "keys and values of a file",
    "MOST_FAULTS": "faults that are told",
    "MOST_QUESTIONS": "questions of a deck",
    "LONGEST_ID": "characters of an id",
    "LONGEST_NAME": "characters of a name",
    "LONGEST_PROMPT": "characters of a prompt",
    "LONGEST_TEXT": "characters of `about` or a `why`",
    "LONGEST_ANSWER": "characters of a choice, a reason or a thing",
    "LONGEST_SARGAM": "characters of a line of sargam",
    "HIGHEST_EDITION": "edition",
    "MOST_ANSWERS": "choices, reasons, things, or texts in `among`, of which there are at least"
    f" {limits.FEWEST_ANSWERS}",
    "MOST_PAIRS": "pairs of `[[question.before]]`",
    "MOST_LINES": "right lines of one question, or phrases of one raga",
    "MOST_SWARAS": "swaras of a line that is to be written; a phrase has at least"
    f" {limits.FEWEST_SWARAS}",
    "MOST_LISTED": "texts in `skills`, `ask`, `ragas` or `talas`",
    "MOST_BESIDE_AMONG": "skills beside `among`, but of `raga-from-phrase`",
    "MOST_TRIED": "the same in a whole deck",
    "TEMPOS": f"matras a minute, of which there are at least {limits.TEMPOS[0]:g}",
    "MOST_CYCLES": "cycles of a theka",
    "LONGEST_CUE_S": "seconds of a line of sargam or a theka",
    "LONGEST_RECORDING_S": "seconds of a recording",
}
"""By the name of each limit: how the page calls it."""


def keys_of(table):
    """The keys in the first column of the table that follows these words."""
    rows = PAGE.partition(table)[2].partition("| key")[2].partition("\n\n")[0].split("\n")[2:]
    return [key for row in rows for key in re.findall(r"`([a-z]+)`", row.split("|")[1])]


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda text: text.split('"')[1])
def test_every_example_can_be_asked_by_itself(question):
    deck = read_deck(whole(question), "DECKS.md", recording=lambda name: 2.0)
    assert len(deck.entries) == 1
    assert ask(deck, seed=1)


def test_the_examples_are_asked_of_who_has_met_them_all():
    deck = read_deck(whole(*QUESTIONS), "DECKS.md", recording=lambda name: 2.0)
    assert sum(ask(deck, seed) for seed in range(12)) == 36


def test_a_raga_among_others_is_asked_of_who_has_met_other_kinds_too():
    deck = read_deck(whole(*QUESTIONS), "DECKS.md", recording=lambda name: 2.0)
    skill = "deck:phrases-of-june:from-these-phrases:yaman"
    met = ("swara:R", "wider:4-5", skill.replace("yaman", "bhairav"))
    setting = Setting(138.59, deck=entry_text(deck, skill), met=met)
    question = make_question(skill, seed=1, setting=setting)
    assert set(question.possible) == {"yaman", "bhairav"}


@pytest.mark.parametrize(
    ("example", "answer", "credit"),
    [
        ("tala-by-ear", ["It has ten matras"], 1 / 2),
        ("tala-by-ear", ["It has ten matras", "It begins with khali"], 0.0),
        ("rests-on-ga", ["Re"], 0.0),
        # Of three pairs, the third of which follows from the two, one stands right.
        ("our-alap", ["Jor", "The lower saptak", "The middle saptak", "The upper Sa"], 1 / 3),
        ("write-it", ["N,"] * 3, 0.0),
        # All swaras, which weigh twice; three of four lengths, of which the floor is 3/4; no meend.
        ("write-the-phrase", ["N,", "R", "G", "R", "S"], 1 / 2),
    ],
)
def test_answers_are_marked_as_the_page_says(example, answer, credit):
    text = next(text for text in QUESTIONS if f'id = "{example}"' in text)
    deck = read_deck(whole(text), "DECKS.md", recording=lambda name: 2.0)
    skill = f"deck:{deck.id}:{example}"
    question = make_question(
        skill, seed=1, setting=Setting(138.59, deck=entry_text(deck, skill), met=(skill,))
    )
    ids = {choice.label: choice.id for choice in question.choices}
    given = [ids.get(label, label) for label in answer]
    if question.answer_on == "several":
        given = [each for each in ids.values() if each in given]
    assert KINDS["deck"].mark(question, " ".join(given)).credit == pytest.approx(credit)


def test_the_page_says_what_a_verdict_for_a_wrong_reason_counts():
    (told,) = re.findall(r"with a wrong reason counts (\d/\d)", PAGE)
    assert Fraction(told) == VERDICT_ALONE


def test_the_examples_together_are_a_deck_with_every_kind_and_cue():
    deck = read_deck(whole(*QUESTIONS), "DECKS.md")
    asked = [entry for entry in deck.entries if not isinstance(entry, Narrowed)]
    kept = [entry for entry in deck.entries if isinstance(entry, Narrowed)]
    assert {entry.form for entry in asked} == set(FORMS)
    cues = [entry.cue for entry in asked]
    for field in ("sargam", "recording", "theka"):
        assert any(getattr(cue, field) for cue in cues), field
    assert any(not (cue.sargam or cue.recording or cue.theka) for cue in cues)
    written = [set(re.findall(r"^\s*(\w+) =", text, re.MULTILINE)) for text in QUESTIONS]
    for key in (*narrowed.CHOSEN, "among"):
        assert any(key in keys for keys in written), key
    assert any(entry.phrases for entry in kept)


@pytest.mark.parametrize(
    ("table", "keys"),
    [
        ("## The head\n", reading.KEYS),
        ("## Every question\n", [key for key in own.SHARED if key not in heard.KEYS]),
        ("## What sounds\n", heard.KEYS),
        ("**Choose several.**", own.CHOICE_KEYS),
        ("**Put in order.**", own.BEFORE_KEYS),
        ("**Write a phrase.**", own.KEYS["write-phrase"]),
        ("**True or false.**", own.REASON_KEYS),
        ("## Kinds of Kaan, narrowed\n", narrowed.KEYS[3:]),
    ],
)
def test_every_key_stands_in_its_table_and_no_other(table, keys):
    assert sorted(keys_of(table)) == sorted(keys)


def test_the_keys_of_each_form_are_shown():
    for form, keys in own.KEYS.items():
        shown = next(text for text in QUESTIONS if f'kind = "{form}"' in text)
        for key in keys:
            assert re.search(rf"^\s*(\[\[question\.{key}\]\]|{key} =)", shown, re.MULTILINE), key


def test_every_word_that_may_be_written_is_told():
    for word in (*FORMS, *COUNTED, *DRONES, *heard.VOICES, *heard.TUNINGS):
        assert f"`{word}`" in PAGE, word


def test_signs_are_shown_or_not_as_the_page_says():
    (told,) = re.findall(r"Kaan shows (.*?) is told as a fault", PAGE, re.DOTALL)
    for text in re.findall(r"`([^`]+)`", told):
        assert bool(unshown(text)) == (text in ("कोमल रे", "♯", "→")), text
    assert not unshown("Komal Β Ж")  # Latin, Greek and Cyrillic letters
    assert all(unshown(sign) for sign in "अঅਅઅଅஅఅಅഅ")  # a of nine Indian scripts


def test_every_sign_of_sargam_is_shown_as_it_is_read():
    (row,) = re.findall(r"^\| `sargam` \| (a line such as.*) \|$", PAGE, re.MULTILINE)
    lines = [text for text in re.findall(r"`([^`]+)`", row) if re.match(r"[SRGmMPDN({]|r~", text)]
    assert len(lines) >= 12
    for text in lines:
        assert parse(text).matras
    written = "".join(lines)
    for sign in ("//", "\\\\", "/", "\\", "<", ">", "(", "{", "~", "~~", ":", "-", ","):
        assert sign in written, sign


def test_every_limit_is_told_with_its_figure():
    table = PAGE.partition("## Limits\n")[2].strip().split("\n")[2:]
    told = dict(re.fullmatch(r"\| (.*) \| ([^|]*) \|", row).groups() for row in table)
    lowest, highest = Swara(0, limits.OCTAVES[0]), Swara(11, limits.OCTAVES[1])
    assert told.pop(f"swaras reach from `{lowest}` to") == f"`{highest}`"
    figures = {name: getattr(limits, name) for name in LIMITS}
    figures["TEMPOS"] = limits.TEMPOS[1]
    assert told == {LIMITS[name]: f"{int(figure):,}" for name, figure in figures.items()}
    own_names = re.findall(r"^([A-Z_]+)(?:,| =)", LIMITS_TEXT, re.MULTILINE)
    assert set(own_names) == {*LIMITS, "FEWEST_ANSWERS", "FEWEST_SWARAS", "OCTAVES"} - {
        "MOST_ANSWERS",
        "MOST_SWARAS",
    }

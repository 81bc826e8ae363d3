"""What a student meets in a session, in each language: modes, reasons, verdicts, pads and the end.

Which script a letter belongs to: its name in the Unicode Character Database (`unicodedata`).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import replace
from io import StringIO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from audio.tuning import SWARAS, Swara
from practice import Practice, Summary
from practice.dates import date_word, day_word
from practice.lesson import lesson_words
from practice.settings import Settings, save_settings
from quizzes.course_words import kind_name
from quizzes.kinds import KINDS, OWN_KINDS
from quizzes.names import in_figures, number_word, swara_name
from quizzes.question import Choice, Mark
from scheduler import Log
from scheduler.reason import CODES, Reason
from screens.aligned import align, align_order
from screens.columns import broad, cut, padded, without_last
from screens.numbers import keyed
from screens.phrase import Phrase
from screens.phrase_strip import words_of
from screens.text import TextDrill
from screens.tracing import forms_of
from screens.typed import keyboard, printed, signs
from screens.verdict import OTHERWISE, done, hear_own, verdict_words, you_did
from screens.whole_groups import NO_BREAK, kept_whole
from tests.practice.devices import NOON
from tests.words.left import LATIN_WORD, STAY
from words import in_script, use

LANGUAGES = {"hi": "DEVANAGARI", "bn": "BENGALI"}
SCRIPT_LETTERS = {"devanagari": "hi", "bengali": "bn"}


@pytest.fixture(autouse=True)
def in_english() -> Iterator[None]:
    yield
    use()


def english_in(text: str) -> list[str]:
    return [word for word in LATIN_WORD.findall(text) if word not in STAY]


def scripts_of(text: str) -> set[str]:
    """The first words of the names of all letters that are not Latin."""
    names = (unicodedata.name(letter, "") for letter in text if letter.isalpha())
    return {name.split()[0] for name in names} - {"LATIN"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_reason_is_a_sentence_of_the_language(language):
    use(language)
    said = [
        Reason(code, numbers, ("x",)).sentence(lambda _: swara_name(Swara(4)))
        for code in CODES
        for numbers in ((0, 30), (1, 70), (9, 9))
    ]
    assert [english_in(text) for text in said] == [[]] * len(said)
    assert set().union(*map(scripts_of, said)) == {LANGUAGES[language]}
    assert len(set(said)) >= len(CODES)  # none has become another


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_was_done_to_answer_and_its_verdict_are_told_in_the_language(language):
    use(language)
    half = align(["a", "b", "c", "d"], ["a", "b", "x", "y"])
    ordered = align_order(["a", "b", "c"], ["b", "c", "a"])
    said = [
        text
        for verb in OTHERWISE
        for text in (
            you_did(verb),
            done(verb),
            hear_own(verb),
            *(
                verdict_words(Mark(credit), ordered if verb == "put" else half, verb=verb)
                for credit in (0.0, 0.5, 1.0)
            ),
        )
    ]
    assert not any(map(english_in, said))


@pytest.mark.parametrize("language", ["en", *LANGUAGES])
def test_where_kinds_are_counted_in_figures_the_number_stands_once(language):
    use(language)
    for kind in OWN_KINDS:
        for count in (2, 3):
            told = in_figures(KINDS[kind].several(count), count)
            assert re.findall(r"\d+", told) == [str(count)]
        assert not re.search(rf"(?<!\S){number_word(3)}", told)
        assert kind_name(kind).casefold().split()[0] != number_word(2)


@pytest.mark.parametrize("letters", SCRIPT_LETTERS)
def test_keys_of_the_keyboard_stay_and_are_shown_beside_what_is_written(letters):
    choices = [Choice(letter, letter) for letter in SWARAS]
    typed = keyboard(choices)
    use("en", letters)
    shown = [Choice(letter, in_script(letter)) for letter in SWARAS]
    assert keyboard(shown) == typed
    assert signs(shown) == {letter: letter for letter in SWARAS}
    assert not set("SrRgGmMPdDnN") & {key for key, _ in keyed(shown)} - {"r", "g", "m", "n"}
    assert [key for key, _ in keyed(shown)] == [key for key, _ in keyed(choices)]


@given(
    sargam=st.lists(
        st.sampled_from([f"{s}{o}" for s in SWARAS for o in ("", ",", "'")]), min_size=2, max_size=8
    )
)
def test_a_group_keeps_together_in_all_letters(sargam):
    try:
        for language in ("en", *LANGUAGES):
            use(language)
            written = in_script(" ".join(sargam))
            assert kept_whole(written, lambda _: True) == written.replace(" ", NO_BREAK)
    finally:
        use()


def test_words_that_begin_as_swaras_do_are_no_group():
    for text in ("सा से प तक", "मध्य सप्तक", "নিচের স্বর", "राग यमन में"):
        assert kept_whole(text, lambda _: True) == text


@pytest.mark.parametrize("language", ["en", *LANGUAGES])
def test_a_name_below_a_drawing_has_its_letter_for_where_room_is_scarce(language):
    use(language)
    for swara in (Swara(1), Swara(11, -1), Swara(0, 1)):
        assert forms_of(swara_name(swara))[2] == in_script(str(swara))
    assert forms_of("चार स्वर")[2] == "चार स्वर"  # other words stay


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_phrase_that_is_made_is_read_in_the_letters_of_the_language(language):
    use(language)
    for item in Phrase.read("N, (R)G . {SR}").items:
        assert not re.search("[A-Za-z]", "".join(words_of(item)))


def test_columns_line_up_where_signs_stand_above_and_below():
    use("hi")
    places = align(["S", "r", "M'"], ["S", "r", "P"])
    labels = [replace(p, was=in_script(p.was), given=in_script(p.given)) for p in places]
    was, wrote, marks = printed(labels)
    assert broad(was[: was.rindex(in_script("M'"))]) == broad(wrote[: wrote.rindex(in_script("P"))])
    assert marks.index("^") == broad(wrote[: wrote.rindex(in_script("P"))])
    assert [broad(padded(text, 6)) for text in ("रे॒", "मं॑", "Sa")] == [6, 6, 6]


@pytest.mark.parametrize(
    ("text", "shorter"),  # by the grapheme clusters of Indian scripts (Unicode, UAX 29, GB9c)
    [("मींड", "मीं"), ("प्रश्न", "प्र"), ("ক্ষেত্র", "ক্ষে"), ("र्सा", ""), ("Sa", "S"), ("", "")],
)
def test_what_is_cut_is_cut_between_whole_letters(text, shorter):
    assert without_last(text) == shorter
    assert cut(text, 99) == text
    assert cut(text, broad(shorter)) == shorter


@pytest.mark.parametrize("language", LANGUAGES)
def test_days_and_the_lesson_are_told_in_the_language(language):
    use(language)
    told = lesson_words(Settings(lesson_day="thursday", lesson_ragas=("yaman", "bhupali")), NOON)
    assert not english_in(told)
    assert {LANGUAGES[language]} == scripts_of(told + day_word(NOON) + date_word(NOON))


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_session_in_a_terminal_is_in_the_language_and_its_log_is_not(language, tmp_path):
    save_settings(Settings(language=language), tmp_path)
    practice = Practice(tmp_path, speaker="wav")
    told = StringIO()
    drill = TextDrill(practice, minutes=15, read=StringIO("\n1\n\n\nx\n2\n\nq\n"), write=told)
    assert drill.run() == 0
    with Log.reading(tmp_path / "log.sqlite") as log:
        kept = [(row.given, row.reason) for row in log.answers()]
    practice.close()
    lines = [line for line in told.getvalue().splitlines() if str(tmp_path) not in line]
    left = {word for line in lines for word in english_in(line)} - {"Enter"}
    assert left == set()
    assert all(text.isascii() for row in kept for text in row)


def test_at_the_end_what_was_answered_is_counted_in_the_language():
    summary = Summary(41, 29, 14.0, (), (), "", new=3, shown=2)
    asked, shown = "36 asked in earnest, 29 right", "3 shown for the first time, 2 again"
    assert summary.counts == f"41 answers: {asked}; {shown}"
    for language in LANGUAGES:
        use(language)
        assert not english_in(summary.counts + summary.met)
        assert re.findall(r"\d+", summary.counts) == ["41", "36", "29", "3", "2"]

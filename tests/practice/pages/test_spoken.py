"""How practice stands, said in each language; and pages, which are printed in English."""

import re
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict
from datetime import date

import pytest

from practice.gaps import gaps_of
from practice.pages.lesson_page import lesson_page
from practice.pages.lesson_sheet import lesson_paper
from practice.pair_words import count_words, title_words
from practice.pairs import matrix
from practice.progress import changed, days_done, threshold_series
from practice.so_far import gap_told, pair_told, row_words
from practice.things import SUBJECTS
from screens.days import day_said, series_said, total_said
from tests.words.left import LATIN_WORD, STAY
from words import in_english, say, use
from words.catalogue import LANGUAGES

INDIC = re.compile("[\u0900-\u09ff]")
"""Devanagari and Bengali, by the blocks of Unicode."""


@pytest.fixture(autouse=True)
def english_again():
    yield
    use()


def told(found):
    return [found.title, found.spans_of, found.moved, *found.lines, *(s.words for s in found.spans)]


def said_of(standing):
    """All that the screen of how practice stands says of these answers."""
    gaps = gaps_of(standing)
    heard = matrix(standing, "gaps")
    for gap in gaps[:12]:
        yield from (gap.name, row_words(gap), *told(gap_told(standing, gap, heard)))
    for subject in SUBJECTS:
        yield say(SUBJECTS[subject].name)
        found = matrix(standing, subject)
        yield from (part for thing in found.things for part in (thing.label, thing.group))
        for pair in found.worst(5):
            yield from (title_words(pair), count_words(pair), *told(pair_told(standing, pair)))
    days = days_done(standing)
    yield from (total_said(days), *map(day_said, days))
    yield from (series_said(one, date(2026, 1, 1)) for one in threshold_series(standing))
    yield from (one.name for one in changed(standing).firm)


@pytest.mark.parametrize("language", [code for code in LANGUAGES if code != "en"])
def test_no_english_is_left_of_how_practice_stands(confused, language):
    use(language)
    texts = list(said_of(confused))
    left = [t for t in texts if any(word not in STAY for word in LATIN_WORD.findall(t))]
    assert len(texts) > 200
    assert left == []


def test_a_page_is_printed_in_english_whatever_is_spoken(confused):
    english = lesson_page(confused)
    use("bn")
    page = lesson_page(confused)
    assert asdict(page) == asdict(english)
    (sheet, *_) = lesson_paper(page).sheets
    assert not any(INDIC.search(run.text) for run in sheet.runs)


def test_english_for_a_while_is_of_one_thread_and_ends():
    use("hi")
    with ThreadPoolExecutor(1) as another, in_english():
        assert say("Back") == "Back"
        assert INDIC.search(another.submit(say, "Back").result())
    assert INDIC.search(say("Back"))

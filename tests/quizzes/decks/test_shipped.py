"""The decks that are shipped as examples are sound, and ask nothing that cannot be told."""

from itertools import product
from pathlib import Path

import pytest

from audio.sargam import parse
from quizzes.decks.asking import skills_of
from quizzes.decks.deck import Narrowed
from quizzes.decks.reading import load_deck
from quizzes.ragas import ragas, separates

SHIPPED = sorted((Path(__file__).parents[3] / "assets" / "decks").glob("*.toml"))


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_a_shipped_deck_is_sound_and_every_phrase_of_a_raga_tells_it_from_all_offered(path):
    deck = load_deck(path, path.parent)
    assert deck.id == path.stem
    assert len(skills_of(deck)) >= len(deck.entries)
    known = ragas()
    for entry in (entry for entry in deck.entries if isinstance(entry, Narrowed)):
        for raga, lines in entry.phrases.items():
            for line, other in product(lines, set(entry.among) - {raga}):
                assert separates(parse(line), known[raga], known[other]), (raga, line, other)


def test_a_raga_by_phrases_is_among_the_examples():
    entries = [entry for path in SHIPPED for entry in load_deck(path, path.parent).entries]
    assert len(SHIPPED) >= 3
    assert any(isinstance(entry, Narrowed) and entry.phrases for entry in entries)

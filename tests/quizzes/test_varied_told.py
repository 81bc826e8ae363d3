"""What is told of a phrase that was varied is what happens in its sound."""

import re

import pytest

from audio.playing import score_of
from audio.sargam import parse
from audio.tuning import load_tuning
from quizzes.making.keeping import kept_parts
from quizzes.making.wish import wish_of

ORDINALS = ("first", "second", "third", "fourth")
GIVEN = "S R G R"
TOLD = {
    # Of what is heard of a stroke: how far it goes up where this is told.
    "stronger": ("level_db", 1), "softer": ("level_db", -1),
    "brighter": ("brightness", 1), "rounder": ("brightness", -1),
    "longer": ("duration_s", 1), "shorter": ("duration_s", -1),
    "twice": ("duration_s", 1), "half": ("duration_s", -1),
}  # fmt: skip


def strokes_of(text):
    score = score_of(parse(text), load_tuning("just"), sa_hz=138.59, matras_per_min=60.0)
    return score.strokes


@pytest.mark.parametrize(
    ("treatment", "text", "words"),
    [
        ("loudness", "S^ R G_ R", {"stronger", "softer"}),
        ("tone", "So R G* R", {"rounder", "brighter"}),
        ("timing", "S:3 R:1/3 G R", {"longer", "shorter"}),
        ("timing", "S:1/2 R:2 G R", {"half", "twice"}),
    ],
)
def test_how_each_swara_was_varied_is_told_as_it_sounds(treatment, text, words):
    told = kept_parts(wish_of(GIVEN, swaras="same", only=treatment), parse(text))[-1].told
    found = re.findall(r"the (\w+) swara is (\w+)", told)
    assert {word for _, word in found} == words
    for ordinal, word in found:
        trait, way = TOLD[word]
        at = ORDINALS.index(ordinal)
        was, now = (getattr(strokes_of(line)[at], trait) for line in (GIVEN, text))
        assert (now - was) * way > 0

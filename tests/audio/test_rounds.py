"""A theka that goes on: as one long score has it, and changed at a sam alone."""

from fractions import Fraction
from itertools import islice

import numpy as np
import pytest

from audio.format import SAMPLE_RATE
from audio.render import render
from audio.rounds import Rounds
from audio.score import Score
from audio.theka import read_theka, theka_strokes
from tests.audio.meters import drum_onsets

SA_HZ = 277.18
# Printed theka of tintal, as every handbook has it (common practice), and of rupak, which begins
# with an empty hand.
TINTAL = read_theka("dha dhin dhin dha | dha dhin dhin dha | dha tin tin ta | ta dhin dhin dha")
RUPAK = read_theka("tin tin na | dhin na | dhin na")


def read(rounds, seconds):
    """So much of the sound, whatever its blocks."""
    blocks, found = rounds.blocks(), []
    while sum(map(len, found)) < seconds * SAMPLE_RATE:
        found.append(next(blocks))
    return np.concatenate(found), blocks


def onsets_s(sound):
    """Where strokes are heard; before the first there is silence, or it would be none."""
    silence = np.zeros(SAMPLE_RATE // 5, np.float32)
    return drum_onsets(np.concatenate([silence, sound])) / SAMPLE_RATE - 0.2


@pytest.mark.parametrize(("theka", "tempo"), [(TINTAL, 397.0), (RUPAK, 173.0)])
def test_it_is_what_one_long_score_renders_bit_for_bit(theka, tempo):
    matras = 3 * len(theka.matras)
    strokes = theka_strokes(theka, matras_per_min=tempo, matras=matras, level_db=-3.0)
    whole = render(Score(SA_HZ, (), tabla=strokes))
    laid = Rounds(theka, sa_hz=SA_HZ, matras_per_min=tempo, level_db=-3.0, rounds=3, lands=False)
    assert laid.frames == pytest.approx(len(whole), abs=SAMPLE_RATE)  # its last stroke's ring
    sound = np.concatenate(list(laid.blocks()))
    least = min(len(sound), len(whole))
    assert np.array_equal(sound[:least], whole[:least])
    assert not any(each[least:].any() for each in (sound, whole))
    endless = Rounds(theka, sa_hz=SA_HZ, matras_per_min=tempo, level_db=-3.0)
    length = laid.at(0.0).ends_s * 2.5
    begun, _ = read(endless, length)
    assert np.array_equal(begun[: int(length * SAMPLE_RATE)], whole[: int(length * SAMPLE_RATE)])


def test_a_new_tempo_is_taken_up_at_the_next_sam_and_the_end_lands_there():
    rounds = Rounds(RUPAK, sa_hz=SA_HZ, matras_per_min=240.0)
    first, blocks = read(rounds, 0.5)
    rounds.tempo = 300.0
    second_round = 7 * 60 / 240
    more = list(islice(blocks, int(1.1 * second_round * SAMPLE_RATE / 4096)))
    rounds.end()
    sound = np.concatenate([first, *more, *blocks])
    assert len(sound) == rounds.frames
    onsets = onsets_s(sound)
    wanted = [at * 60 / 240 for at in range(7)]
    wanted += [second_round + at * 60 / 300 for at in range(8)]  # the eighth is the last sam
    assert len(onsets) == len(wanted)
    assert np.abs(onsets - wanted).max() < 0.002
    assert [rounds.at(at).matras_per_min for at in (0.1, second_round)] == [240, 300]
    assert rounds.at(second_round + 0.2).place_at(second_round + 0.2) == pytest.approx(1.0)
    assert [rounds.at(at) for at in (-0.1, second_round + 1.41)] == [None, None]


def test_after_a_thousand_rounds_the_sam_is_where_it_belongs():
    rounds = Rounds(RUPAK, sa_hz=SA_HZ, matras_per_min=700.0)
    for _ in range(999):
        rounds._lay_round()
    assert rounds._sam == 1_000 * 7 * SAMPLE_RATE * Fraction(60, 700)
    assert rounds._struck[-7][0] == round(999 * 7 * SAMPLE_RATE * Fraction(60, 700))


def test_no_round_at_all_is_the_sam_alone():
    sam = Rounds(TINTAL, sa_hz=SA_HZ, matras_per_min=60.0, rounds=0)
    (only,) = onsets_s(np.concatenate(list(sam.blocks())))
    assert abs(only) < 0.002
    assert sam.at(0.0) is None


def test_a_tempo_that_no_theka_has_is_refused():
    with pytest.raises(ValueError, match="matras_per_min lies from 10 to 700"):
        Rounds(TINTAL, sa_hz=SA_HZ, matras_per_min=9.0)

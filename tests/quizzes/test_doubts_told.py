"""What some teach otherwise, or what is played freely, casts no doubt on a phrase."""

from itertools import combinations, product

import pytest

from audio.sargam import parse
from quizzes.making.phrases import Heard
from quizzes.making.trying import DOUBT, tried
from quizzes.ragas import ragas


def against(raga, text):
    return tried(ragas()[raga], Heard(parse(text))).against


@pytest.mark.parametrize(
    "raga", [each.id for each in ragas().values() if "light" in each.gait.value]
)
def test_a_light_raga_casts_no_doubt_on_a_run(raga):
    # They are played freely (common practice).
    own = [letter for letter in "SrRgGmMPdDnN" if letter in ragas()[raga].own]
    for row in (*zip(own, own[1:], own[2:], strict=False), *combinations(own[:6], 3)):
        for text in (" ".join(row), " ".join(reversed(row))):
            assert not [
                each for each in against(raga, text) if each.why == "run" and each.how == DOUBT
            ]


def test_a_run_over_what_some_pass_there_is_not_doubted():
    tried_of = 0
    for raga in ragas().values():
        for way, own in (("aroha", raga.scale.value.up), ("avaroha", raga.scale.value.down)):
            for taught in raga.others(way):
                words = taught.split()
                for place, after in product(range(1, len(words) - 1), (1, 2)):
                    row = [words[place - 1], words[place], *words[place + after :][:1]]
                    if words[place][0] in own or len(row) < 3:
                        continue
                    found = [each for each in against(raga.id, " ".join(row)) if each.why == "run"]
                    assert all(each.how != DOUBT for each in found), (raga.id, row)
                    tried_of += 1
    assert tried_of > 5


def test_a_foreign_swara_that_is_struck_is_held_against_it_once():
    assert [each.at for each in against("yaman", "N, r G")] == [1]
    assert [each.why for each in against("yaman", "N, (r)R G")] == ["touch"]

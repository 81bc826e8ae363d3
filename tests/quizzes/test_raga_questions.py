"""A sample of what `all_raga_questions` asks at length: questions about ragas are sound and fair.

The oracle itself is held to tables and to worked examples of common practice.
"""

from dataclasses import replace

import pytest

from quizzes import Question
from tests.quizzes import raga_judges, raga_oracle, raga_reader
from tests.quizzes.all_raga_questions import LEAST_P, ask, kinds, tally
from tests.quizzes.raga_oracle import DOWN, UP, all_ragas, line

COUNT = 16
"""Questions of each kind; `all_raga_questions` asks thousands."""


@pytest.mark.parametrize("kind", kinds())
def test_questions_of_ragas_are_sound_fair_and_new(kind):
    found = tally(kind, COUNT)
    assert not found.faults
    assert not found.heard_before
    assert all(p > LEAST_P for p in found.evenness().values())


@pytest.mark.parametrize("kind", kinds())
def test_another_answer_marked_right_would_be_found(kind):
    missed = []
    for question in ask(kind, 4):
        assert isinstance(question, Question)
        for wrong in wrong_lines(question):
            if not raga_judges.faults(replace(question, right=(wrong,))):
                missed.append(f"{question.skill} seed {question.seed}: {wrong}")
    assert not missed


def wrong_lines(question):
    """Answers that are not right: every other choice, or the right line the other way round."""
    if question.is_line:
        return [" ".join(reversed(question.right[0].split()))]
    return [choice.id for choice in question.choices if choice.id not in question.right]


def test_thats_are_as_every_handbook_has_them():
    # Common practice: each that by the swaras in which it leaves Bilawal.
    leaving = {
        "Bilawal": "", "Kalyan": "M", "Khamaj": "n", "Bhairav": "rd", "Purvi": "rMd",
        "Marwa": "rM", "Kafi": "gn", "Asavari": "gdn", "Bhairavi": "rgdn", "Todi": "rgMd",
    }  # fmt: skip
    for that, altered in leaving.items():
        kept = {one for one in "SRGmPDN" if one.swapcase() not in altered}
        assert raga_oracle.mela(raga_oracle.MELAS[that]) == kept | set(altered)
    assert raga_oracle.thats_of(frozenset("SRGPD")) == {"Bilawal", "Kalyan", "Khamaj"}


def test_the_oracle_tells_what_handbooks_tell_of_bihag():
    # Common practice: Bihag climbs without Re and Dha and falls through both.
    bihag = all_ragas()["bihag"]
    assert bihag.omitted == {UP: {"R", "D"}, DOWN: set()}
    assert bihag.left(line("G m P D N")) == raga_oracle.Left("run", 4, "D", 3)
    assert bihag.left(line("S g")) == raga_oracle.Left("note", 1, "g", 1)
    assert bihag.left(line("S' N D P")) is None
    assert bihag.admits(line("N, S G m P"))
    assert "S R G passes R, which its way has not" in bihag.slips(line("S R G"))


def test_the_oracle_knows_vakra_ways():
    # Common practice: in Gaud Sarang a straight run is wrong though each of its notes is right.
    gaud_sarang = all_ragas()["gaud_sarang"]
    assert gaud_sarang.is_vakra(UP)
    assert gaud_sarang.admits(line("S G R m G P R S"))
    assert not gaud_sarang.admits(line("S R G m"))
    assert gaud_sarang.left(line("S R G m")) is None


def test_every_raga_admits_its_own_phrases_and_never_surely_leaves_them():
    for raga in all_ragas().values():
        for phrase in raga.phrases:
            assert raga.slips(phrase) == []
            assert raga.left(phrase) is None


def test_a_reader_learns_from_choices_that_tell_and_not_from_others():
    names = ["Yaman", "Bihag", "Desh", "Durga"]
    turned = [(names[at % 4 :] + names[: at % 4], (at * 7) // 4 % 4) for at in range(400)]
    fair = [raga_reader.Shown(tuple(some), (0, 1, 2, 3), right) for some, right in turned]
    telling = [replace(seen, right=seen.labels.index("Desh")) for seen in fair]
    assert not raga_reader.read(fair).learns
    assert raga_reader.read(telling).learns

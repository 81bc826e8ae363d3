"""A phrase typed at the terminal: read, refused, told place by place, heard and kept."""

from io import StringIO

import pytest

from practice import Practice
from quizzes.explanation import Beside, Finding
from screens.answer_typed import help_for, read_answer
from screens.errors import WritingError
from screens.text import TextDrill
from screens.typed import printed
from screens.typed_phrase import (
    HEAR,
    cue_wished,
    findings_printed,
    places_of,
    read_phrase,
    wishes_of,
    wrongs_printed,
)
from tests.window.scripted import ScriptedSession, step
from tests.window.written import CUE

MET = tuple(f"swara:{letter}" for letter in "SRGmPDN")
STEP = step("write:all:4", met=MET)
WISH = step("raga-make:meend:yaman")


@pytest.fixture
def drill(tmp_path):
    """What a drill of these steps tells to who types so, and the session."""
    practice = Practice(tmp_path / "student", speaker="silence")

    def run(typed, *steps):
        session, told = ScriptedSession(*steps), StringIO()
        practice.start = lambda *_: session
        TextDrill(practice, minutes=15, read=StringIO(typed), write=told).run()
        return told.getvalue(), session, practice

    yield run
    practice.close()


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("S R X", r"'X' is not a swara; .*\(character 5\)"),
        ("S d R", "d is not among S R G m P D N"),
        ("S", "that is one swara; the line has 2 to 7"),
        ("S R G m P D N S'", "that is eight swaras; the line has 2 to 7"),
        ("S/", "after / stands the swara that it leads to"),
    ],
)
def test_what_cannot_be_read_is_told_with_where_and_what_instead(typed, told):
    with pytest.raises(WritingError, match=told):
        read_answer(typed, STEP.question)


def test_a_line_is_the_answer_as_it_is_typed():
    assert read_answer("S R/G - (P)m", STEP.question) == "S R/G - (P)m"
    assert read_phrase("S", STEP.question, whole=False) == "S"


def test_the_help_tells_the_signs_that_may_be_written_and_no_others():
    plain = help_for(step("write:swaras:4", met=MET).question)
    assert "meend" not in plain
    assert "rest" not in plain
    assert "S R G" in plain
    whole = help_for(STEP.question)
    assert all(words in whole for words in ("saptak above", "meend", "holds on"))
    assert "stronger" not in whole


BESIDE = (
    Beside("S", "S", (), CUE, CUE),
    Beside("R:2", "R", ("length",), CUE, None),
    Beside("G", "", ("left out",), CUE, None),
)
FINDINGS = (Finding("It ends on Ga.", "right"), Finding("Re is left out.", "otherwise", CUE),
            Finding("It is like Desh."))  # fmt: skip


def test_places_and_findings_are_told_in_lines():
    assert printed(places_of(BESIDE)) == [
        "it was     S R:2 G",
        "you wrote  S R   -",
        "             ^   ^",
    ]
    assert wrongs_printed(BESIDE) == ["place 2: length", "place 3: left out"]
    assert findings_printed(FINDINGS) == [
        "yes It ends on Ga.",
        "no  Re is left out.",
        "-   It is like Desh.",
    ]


def test_what_can_be_heard_can_be_wished():
    class Told:
        beside, findings = BESIDE, FINDINGS

    heard = {line: cue_wished(line, Told) for line in ("p1", "w 1", "f2", "F2", "w2", "p9", "x1")}
    assert heard == {
        "p1": CUE, "w 1": CUE, "f2": CUE, "F2": CUE, "w2": None, "p9": None, "x1": None,
    }  # fmt: skip
    assert len(wishes_of(Told, "wrote")) == 3


def test_a_line_is_tried_before_it_is_sent_and_told_place_by_place(drill):
    told, session, _ = drill(f"{HEAR} S R\n{HEAR} q\nS d\nS R/G (P)m\np1\nw2\n\nq\n", STEP)
    assert session.own == ["S R"]
    assert len(session.told) == 2
    assert session.given == ["S R/G (P)m"]
    assert "'q' is not a swara" in told
    assert "d is not among" in told
    assert "  S Sa, R Re, " in told
    assert "you wrote S R/G (P)m" in told
    assert "  place 1: " in told


def test_a_phrase_that_was_made_is_told_what_is_found_of_it_and_kept(drill):
    told, _, practice = drill("M P m G R S\nk\n\nq\n", WISH)
    assert "One that keeps the wish is" in told
    assert "1 plays one that keeps the wish, 2 what you made" in told
    assert "It begins on tivra Ma" in told
    assert "Yaman has tivra Ma, not shuddha Ma" in told
    assert "  no  It has no meend; one was wished." in told
    assert "It is kept." in told
    assert [phrase.sargam for phrase in practice.phrases()] == ["M P m G R S"]


def test_signs_that_were_told_are_told_again_only_when_they_are_asked_for(drill):
    told, *_ = drill(f"S R\n\n\n{HEAR}\nS R\nq\n", STEP, STEP)
    _, first, second = told.split("\n1.\n")
    assert first.count("meend") == 1
    assert "meend" not in second.split("Your answer: ")[0]
    assert "meend" in second.split("Your answer: ")[2]


def test_a_phrase_that_is_told_is_told_first(drill):
    shaded = step("make:loudness")
    told, *_ = drill("q\n", shaded)
    assert f"It begins with: {shaded.question.told}" in told

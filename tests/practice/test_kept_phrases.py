"""A phrase that a student likes is kept in the log, is heard again, and goes to the teacher."""

from datetime import UTC, timedelta

import pytest

from audio.score import Drone, Score
from audio.tuning import load_tuning, tuning_in_words
from practice.log_files import hand_over_log, take_log
from practice.pages.lesson_page import lesson_page
from practice.phrases import LET_GO, PHRASE, TAKEN_BACK, phrases_of, score_of_phrase
from practice.standing import standing_in
from quizzes.question import Choice, Question, Setting
from scheduler import LogError, Note

LINE = "N, R  G/P - S'"


def made(prompt="Four swaras of Yaman, and end on Ga.", kind="raga-make", **setting):
    """A question under which a phrase is made."""
    return Question(
        kind=kind,
        skill=f"{kind}:four:yaman",
        seed=1,
        setting=Setting(**{"sa_hz": 138.59, **setting}),
        prompt=prompt,
        choices=tuple(Choice(letter, letter) for letter in "SRGMPDN"),
        right=("N, R G",),
        cue=Score(146.83, (), Drone("N")),
        sargam="",
        answer_on="sargam",
        detail={"tempo": 90},
        places=8,
        luck=0.1,
    )


def note(what=PHRASE, **changes):
    data = {
        "sargam": "S R G",
        "sa_hz": 140.0,
        "tempo": 60.0,
        "tuning": "just",
        "raga": "yaman",
        "wish": "",
        "drone": "P",
    }
    values = {"uuid": "one", "student": "mira", "utc_ms": 0, "offset_min": 330, "device": "tablet"}
    return Note(what=what, data={**data, **changes}, **values)


def test_a_phrase_is_kept_as_it_was_made_and_outlasts_the_practice(open_practice, clock):
    kept = open_practice().keep_phrase(made(), LINE)
    assert (kept.sargam, kept.raga, kept.tuning) == ("N, R G/P - S'", "yaman", "just")
    assert (kept.sa_hz, kept.tempo, kept.drone) == (146.83, 90.0, "N")
    assert kept.wish == "Four swaras of Yaman, and end on Ga."
    assert kept.made_at.astimezone(UTC) == clock.now
    assert open_practice().phrases() == (kept,)


def test_the_same_phrase_is_kept_once_and_the_newest_stands_first(open_practice, clock):
    practice = open_practice()
    first = practice.keep_phrase(made(), LINE)
    clock.forward(minutes=1)
    assert practice.keep_phrase(made(), " ".join(LINE.split())) == first
    second = practice.keep_phrase(made(kind="make"), LINE)  # in no raga
    assert practice.phrases() == (second, first)
    assert (second.raga, first.raga) == ("", "yaman")


def test_what_is_let_go_is_gone_from_sight_and_stays_in_the_log(open_practice):
    practice = open_practice()
    first = practice.keep_phrase(made(), "N, R G")
    second = practice.keep_phrase(made(), "G R S")
    for _ in range(2):
        practice.let_go(first)
    assert practice.phrases() == (second,)
    assert len(practice._log.notes(what=PHRASE)) == 2
    assert len(practice._log.notes(what=LET_GO)) == 1
    again = practice.keep_phrase(made(), "N, R G")
    assert practice.phrases() == (again, second)


def test_what_was_let_go_is_taken_back_however_often_and_wherever(open_practice):
    practice = open_practice()
    first = practice.keep_phrase(made(), "N, R G")
    second = practice.keep_phrase(made(), "G R S")
    for _ in range(2):
        practice.let_go(first)
        assert practice.phrases() == (second,)
        practice.take_back(first)
        assert practice.phrases() == (second, first)
    practice.take_back(second)  # it was never let go
    notes = practice._log.notes()
    assert len(notes) == 6
    practice.let_go(second)
    for some in (practice._log.notes(), reversed(practice._log.notes())):
        assert phrases_of(some) == (first,)  # in whichever order logs are put together
    practice.let_go(first)
    assert practice.phrases() == ()
    assert practice.has_kept_phrases()


def test_what_else_was_let_go_stays_so(open_practice):
    practice = open_practice()
    first, second = (practice.keep_phrase(made(), line) for line in ("N, R G", "G R S"))
    for phrase in (first, second):
        practice.let_go(phrase)
    practice.take_back(first)
    assert practice.phrases() == (first,)


def test_phrases_of_before_these_four_weeks_are_not_among_those_of_these_weeks(
    open_practice, clock, monkeypatch
):
    practice = open_practice()
    practice.keep_phrase(made(), "N, R G")
    clock.forward(days=35)
    kept = practice.keep_phrase(made(), "G R S")
    practice.note_minutes(12)
    practice.refresh()
    page = lesson_page(practice.standing())
    assert [phrase.sargam for phrase in page.kept] == ["G R S", "N, R G"]
    assert page.practised.noted == (
        "On the instrument: 12 minutes, on 1 day. Phrases kept: 1. The newest: G R S (Yaman)."
    )
    practice.let_go(kept)
    assert lesson_page(practice.standing()).practised.phrases == ""

    def busy(*_):
        raise LogError("log.sqlite", wrong="another program holds it", remedy="Close it")

    monkeypatch.setattr(practice._log, "notes", busy)
    assert lesson_page(practice.standing()).kept == ()


@pytest.mark.parametrize("odd", [["one"], {"one": 1}, None, 1])
def test_what_another_program_let_go_takes_no_phrase_along(odd):
    others = [note(what, phrase=odd, note=odd) for what in (LET_GO, TAKEN_BACK)]
    others = [Note(**{**_fields(each), "uuid": each.what}) for each in others]
    assert len(phrases_of([note(), *others])) == 1


def test_what_is_no_line_of_the_question_is_not_kept(open_practice):
    practice = open_practice()
    for given in ("", "S r", "S R G M P D N S' R'", "what"):
        with pytest.raises(KeyError):
            practice.keep_phrase(made(), given)
    assert practice.phrases() == ()


def test_it_sounds_as_it_did_when_it_was_made(open_practice):
    """Of just intonation R is 9/8 and N 15/8; an equal semitone is 100 cents by definition."""
    practice = open_practice()
    just = score_of_phrase(practice.keep_phrase(made(), "R N,"))
    assert (just.sa_hz, just.drone) == (146.83, Drone("N"))
    assert [stroke.path[0][1] for stroke in just.strokes] == pytest.approx(
        [203.91, -111.73], abs=0.01
    )
    assert [stroke.onset_s for stroke in just.strokes] == pytest.approx([0.0, 60 / 90])
    tuning = tuning_in_words(load_tuning("equal"))
    equal = score_of_phrase(practice.keep_phrase(made(tuning=tuning), "R N,"))
    assert [stroke.path[0][1] for stroke in equal.strokes] == pytest.approx([200.0, -100.0])


def test_a_teacher_has_it_from_the_students_log(open_practice, tmp_path, clock):
    practice = open_practice()
    kept = practice.keep_phrase(made(prompt="मींड"), LINE)
    practice.note_minutes(20)
    path = hand_over_log(practice, tmp_path / "mira.zip", clock.now).path
    taken = take_log(path, tmp_path / "desk", clock.now)
    assert (taken.new, taken.new_notes) == (0, 2)
    assert take_log(path, tmp_path / "desk", clock.now).new_notes == 0
    with standing_in(taken.folder, clock.now, home=tmp_path / "desk") as standing:
        assert phrases_of(standing.notes()) == (kept,)
        assert lesson_page(standing).kept == (kept,)
        assert lesson_page(standing).practised.phrases.startswith("Phrases kept: 1.")
    assert phrases_of(practice.standing().notes()) == (kept,)


@pytest.mark.parametrize(
    "changes",
    [
        {"sargam": "S Q"},
        {"sargam": 7},
        {"sargam": ". ."},
        {"sa_hz": 0.0},
        {"sa_hz": "high"},
        {"tempo": 10**400},
        {"tempo": None},
        {"tempo": True},
        {"tuning": "no such tuning"},
        {"tuning": "/dev/zero"},
        {"drone": "S"},
        {"wish": []},
    ],
)
def test_what_another_program_wrote_and_cannot_be_played_is_left_out(changes):
    assert len(phrases_of([note()])) == 1
    assert phrases_of([note(**changes)]) == ()


def test_the_time_on_the_wall_where_it_was_made_is_told():
    (phrase,) = phrases_of([note()])
    assert phrase.made_at.utcoffset() == timedelta(hours=5, minutes=30)
    for offset_min in (-1440, 1440):  # farther than any zone
        odd = Note(**{**_fields(note()), "offset_min": offset_min})
        assert len(phrases_of([odd])) == 1


def _fields(of):
    names = ("uuid", "student", "what", "data", "utc_ms", "offset_min", "device")
    return {name: getattr(of, name) for name in names}

"""The practice in a terminal, run as a student runs it, and killed as a battery does."""

import os
import random
import re
import signal
import subprocess
import sys
import threading
import time
from dataclasses import replace
from io import StringIO
from pathlib import Path

import pytest

import main
from audio.speakers import Playing
from practice import Practice
from quizzes.decks.asking import entry_text
from quizzes.wheel import Wheel
from scheduler import Log
from screens.answer_typed import help_for
from screens.text import TextDrill
from tests.quizzes.decks.made import DECK
from tests.window.scripted import ScriptedSession, skills_that_begin, step
from tests.window.wheels import TINTAL
from tests.window.written import line_step, order_step, shares_step, wheel_step

ROOT = Path(__file__).parent.parent.parent


@pytest.fixture
def practice(tmp_path):
    practice = Practice(tmp_path / "student", speaker="wav")
    yield practice
    practice.close()


def drill(practice, typed):
    told = StringIO()
    assert TextDrill(practice, minutes=15, read=StringIO(typed), write=told).run() == 0
    return told.getvalue()


def test_questions_are_numbered_and_answers_logged(practice):
    told = drill(practice, "\n1\n\n\n1\n\nq\n")
    assert "Asked because: new to you." in told
    assert "  1  Sa\n  2  Pa\n" in told
    assert told.count("Right: ") + told.count("It was ") == 2
    assert "2 shown for the first time. 0 minutes.\n  2 met for the first time\n" in told
    assert f"`main.py leave-out --folder {practice.folder}` lets these answers count for" in told
    assert "keep the volume low" in told
    with Log.reading(practice.folder / "log.sqlite") as log:
        assert len(list(log.answers())) == 2


@pytest.mark.parametrize(("entry", "again"), [("stages", False), ("order", False), ("write", True)])
def test_only_what_sounds_can_be_played_again(entry, again):
    skill = f"deck:mine:{entry}"
    told = help_for(step(skill, deck=entry_text(DECK, skill)).question)
    assert ("plays it again" in told) is again
    assert told.endswith("; q ends.")


def test_each_cue_is_a_sound_file_whose_path_is_told(practice):
    told = drill(practice, "\n1\n1\n\nq\n")
    paths = [Path(line) for line in re.findall(r"sound: (.*)", told)]
    assert len(paths) >= 3
    assert all(path.read_bytes()[:4] == b"RIFF" for path in paths)


def test_a_wrong_key_is_told_and_asked_again(practice):
    told = drill(practice, "\nseven\n9\n1\nq\n")
    assert "'seven' is none of 1, 2" in told
    assert "'9' is none of 1, 2" in told


@pytest.mark.parametrize("typed", ["", "q\n", "\n", "\n1", "a\na\n"])
def test_input_may_end_anywhere(practice, typed):
    told = drill(practice, typed)
    counts = "1 shown for the first time" if "1" in typed else "No questions"
    assert f"{counts}. 0 minutes." in told
    assert ("leave-out" in told) == ("1" in typed)


def test_an_answer_that_was_told_is_in_the_log_after_a_kill_at_any_moment(tmp_path):
    # The log alone is killed a hundred times in its own tests; here the whole program is.
    told_in_all = 0
    for run in range(3):
        program = subprocess.Popen(
            [sys.executable, "main.py", "--folder", tmp_path, "--text", "--speaker", "wav"],
            cwd=ROOT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        program.stdin.write("\n1\n\n" * 2000)
        program.stdin.flush()
        told, random_ = 0, random.Random(run)
        awaited = random_.randint(1, 6)
        while told < awaited:
            told += verdicts_in(program.stdout.readline())
        time.sleep(0.1 * random_.random())
        program.send_signal(signal.SIGKILL)
        told += verdicts_in(program.communicate()[0])
        told_in_all += told
        with Log.reading(tmp_path / "log.sqlite") as log:
            assert len(list(log.answers())) >= told_in_all


def verdicts_in(told):
    return len(re.findall(r"\bRight: |\bIt was ", told))


def test_why_it_is_asked_is_told_after_the_answer_and_not_before(practice):
    told = drill(practice, "\n1\n\nq\n")
    first = told.index("Which swara is this?")
    assert "Asked because" not in told[:first]
    assert told.index("Asked because") > first


@pytest.fixture
def write(practice, monkeypatch):
    """Answer given steps in a terminal; what it told, and the session."""

    def write_it(typed, *steps):
        session = ScriptedSession(*steps)
        monkeypatch.setattr(practice, "start", lambda minutes, mode: session)
        return drill(practice, typed), session

    return write_it


def test_who_types_while_a_cue_sounds_need_not_wait_for_its_end(practice, monkeypatch):
    session = ScriptedSession(step("swara:P"))
    began = time.monotonic()
    session.playing = Playing(began + 20.0)
    monkeypatch.setattr(practice, "start", lambda minutes, mode: session)
    mine, theirs = os.pipe()
    os.write(theirs, b"1\n")
    os.close(theirs)
    with os.fdopen(mine) as read:
        TextDrill(practice, minutes=15, read=read, write=StringIO()).run()
    assert len(session.given) == 1
    assert time.monotonic() < began + 10.0


def test_a_line_is_typed_by_label_id_or_number(write):
    steps = [line_step("da ra dir da")] * 2
    told, session = write("da ra dir da\n\n1 2 dir 1\n\n", *steps)
    assert session.given == ["da ra dir da", "da ra dir da"]
    assert told.count("Right: da ra dir da.") == 2


def test_how_a_line_is_typed_is_said_with_the_question(write):
    told, _ = write("q\n", line_step("da ra"))
    assert "Type the whole line, 1 to 16 keys with spaces between them" in told
    assert "'da ra dir'" in told


def test_a_word_that_is_no_key_is_named_and_the_line_asked_again(write):
    told, session = write("da dhin\nda ra\n\n", line_step("da ra"))
    assert "'dhin' is none of these: 1 da, 2 ra, 3 dir, 4 chikari. Type the whole" in told
    assert session.given == ["da ra"]


def test_an_empty_line_plays_the_line_again_before_it_is_written(write):
    _, session = write("\n\nda ra\n\n", line_step("da ra"))
    assert session.played == 3
    assert session.given == ["da ra"]


def test_what_was_and_what_was_written_are_printed_aligned_with_the_share(write):
    told, _ = write("da dir da\n\n", line_step("da ra dir da"))
    assert "Partly right: 3 of 4.\n" in told
    assert "  it was     da ra dir da\n  you wrote  da -  dir da\n                ^\n" in told


def test_a_line_with_nothing_right_is_not_called_partly_right(write):
    told, _ = write("chikari\n\n", line_step("da ra"))
    assert "Partly right" not in told
    assert "It was da ra; you said chikari." in told


def test_what_is_shown_again_is_not_called_new(write):
    told, _ = write("\nda ra\n\n", replace(line_step("da ra", new=True), once_more=True))
    assert "Once more: A new line" in told
    assert "New:" not in told


def test_a_new_line_is_presented_before_it_is_asked(write):
    told, session = write("\nda ra\n\n", line_step("da ra", new=True))
    assert told.index("New: A new line: da ra.") < told.index("Type the whole line")
    assert session.given == ["da ra"]


RAGA = step(
    skills_that_begin("raga-from-phrase:note")[0], met=skills_that_begin("raga-from-phrase")
)


def number_of(question, *, right):
    """The number that is typed for a right or a wrong answer."""
    ids = [choice.id for choice in question.choices]
    return 1 + next(n for n, one in enumerate(ids) if (one in question.right) == right)


def test_the_phrase_of_a_raga_is_printed_with_what_it_was_to_be_known_by(write):
    told, _ = write(f"{number_of(RAGA.question, right=True)}\n\n", RAGA)
    (phrase,) = re.findall(r"^  phrase  (.*)$", told, re.M)
    (here,) = re.findall(r"^  here    (.*)$", told, re.M)
    marked = [name for name in re.split(r"  +", phrase) if name]
    assert len(marked) == len(RAGA.question.sargam.split())
    assert re.fullmatch(r" *\^[\^ ]*", here)
    at = here.index("^")
    assert phrase[at - 1 : at].strip() == ""
    assert phrase[at] != " "


def test_what_it_was_is_heard_slower_and_the_given_one_is_named_as_it_is_played(write):
    told, session = write(f"{number_of(RAGA.question, right=False)}\n3\n2\n1\n\n", RAGA)
    assert (session.played_slowly, session.played_given, session.played_right) == (1, 1, 1)
    assert re.search(r"2 what you said \(as .* turns\), 3 what it was, slower: ", told)


def test_where_nothing_is_slower_it_is_not_offered(write):
    told, session = write("da ra\n3\n\n", line_step("da ra"))
    assert "it was, slower" not in told
    assert session.played_slowly == 0


TURNS = {"up": "S G R m", "bend": "G m D N S'", "down": "S' D n P"}


def test_an_order_is_typed_whole_and_each_once(write):
    told, session = write(
        "G m D N S' S' D n P S G R m G m D N S'\n"
        "S G R m S G R m S' D n P\n"
        "S G R m S' D n P G m D N S'\n\n",
        order_step(TURNS),
    )
    assert "Type all 3 in their order with spaces between them" in told
    assert "such as '1 2 3', by number or by name" in told
    assert "that is 4 things; the order has 3" in told
    assert "S G R m stands twice; each comes once" in told
    assert session.given == ["up down bend"]
    assert "Partly right: 2 of 3 pairs in order." in told
    assert "2 what you put: " in told


def practise_by_command(monkeypatch, *arguments):
    monkeypatch.setattr(sys, "stdin", StringIO("q\n"))
    monkeypatch.setattr("screens.text.LONGEST_WAIT_S", 0.0)  # what is introduced lasts seconds
    return main.main(["--text", "--speaker", "silence", *arguments])


def test_another_course_is_taken_by_a_word_on_the_command_line_and_kept(
    tmp_path, monkeypatch, capsys
):
    folder = ("--folder", str(tmp_path))
    assert practise_by_command(monkeypatch, *folder, "--course", "ragas") == 0
    assert "Course: Ragas by ear\n" in capsys.readouterr().out
    assert practise_by_command(monkeypatch, *folder) == 0
    assert "Course: Ragas by ear\n" in capsys.readouterr().out


def test_a_course_that_is_not_there_is_told_with_those_that_are(tmp_path, monkeypatch, capsys):
    assert practise_by_command(monkeypatch, "--folder", str(tmp_path), "--course", "palace") == 1
    told = capsys.readouterr().err
    assert "course: 'palace' is not known; give one of first-path, " in told


def test_a_mode_is_taken_by_a_word_on_the_command_line_and_asks_nothing_else(
    tmp_path, monkeypatch, capsys
):
    folder = ("--folder", str(tmp_path), "--course", "sitar-certificate", "--minutes", "5")
    assert practise_by_command(monkeypatch, *folder, "--practise", "kind:gap") == 0
    told = capsys.readouterr().out
    assert re.search(r"One kind: \d+ gaps\n5 minutes: \d+ gaps\n\d+ new\n", told)
    assert practise_by_command(monkeypatch, *folder, "--practise", "part:sa and pa") == 0
    told = capsys.readouterr().out
    assert "One part: Sa and Pa\n3 minutes are enough: 2 swaras and 1 gap\n3 new\n" in told


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--practise", "weekly"], "'weekly' is no way to practise; there are day, before-lesson"),
        (["--practise", "weak-spots"], "No weak spots yet: what you miss"),
        (["--practise", "kind:gaps"], "kind:gaps is not asked in 'Sitar certificate, first year'"),
        (["--practise", "before-lesson"], 'first. Here that is --lesson "thursday 17:30".'),
        (
            ["--practise", "before-lesson", "--lesson", "friday nine"],
            "lesson: 'nine' is no raga known here",
        ),
        (
            ["--practise", "before-lesson", "--lesson", "fri 9"],
            "Nothing is begun yet that could be made ready",
        ),
    ],
)
def test_a_mode_that_cannot_be_had_is_told_with_the_remedy(
    tmp_path, monkeypatch, capsys, words, told
):
    folder = ("--folder", str(tmp_path), "--course", "sitar-certificate")
    assert practise_by_command(monkeypatch, *folder, *words) == 1
    assert told in capsys.readouterr().err


def test_minutes_are_typed_in_turn_and_must_add_up(write):
    asked = shares_step({"alap": "Alap", "jor": "Jor", "gat": "Gat"}, (20, 8, 12))
    told, session = write(
        "12 14\n20 8 10\n20 8 14\n20 0 20\nten 10 20\n12, 14, 14\n\n",
        asked,
    )
    assert "Share 40 minutes out: type 3 numbers in the order above, such as '14 13 13'" in told
    assert "that is 2 numbers; there are 3 to be given. " in told
    assert "those are 38 of 40 minutes: 2 left over. " in told
    assert "those are 42 of 40 minutes: 2 too many. " in told
    assert "'0' is no number of minutes from 1 on. " in told
    assert "'ten' is no number of minutes from 1 on. " in told
    assert session.given == ["12 14 14"]
    assert "Partly right." in told
    assert re.search(r"Usual is .*; you shared ", told)
    assert "2 what you shared" in told
    rows = [line.split() for line in told.splitlines()]
    assert ["minutes", "usual", "yours"] in rows
    assert ["Jor", "8", "14"] in rows


def test_of_several_right_orders_the_nearest_is_told_as_one_that_could_be(write):
    labels = {"a": "alap", "j": "jor", "k": "jhala", "g": "gat"}
    told, _ = write("gat alap jhala jor\n\n", order_step(labels, also=("a k j g",)))
    assert "it could be  alap jhala jor" in told
    assert "you put      gat" in told
    assert "Partly right: 3 of 6 pairs in order." in told


def test_several_are_typed_together_in_whichever_order_and_silence_is_not_played(write):
    skill = "deck:mine:stages"
    stages = step(skill, deck=entry_text(DECK, skill), new=True)
    ids = [choice.id for choice in stages.question.choices]
    told_by = {name: str(ids.index(name) + 1) for name in ids}
    typed = f"{told_by['jor']} {told_by['drut-gat']},{told_by['alap']}"
    told, session = write(f"\n9\n{typed}\n\n", stages)
    assert "Enter to be asked: Which have no theka?" in told
    assert "before each answer that is right, with spaces between them" in told
    assert "'9' is none of 1, 2, 3, 4, 5" in told
    assert session.given == [" ".join(sorted(["jor", "drut-gat", "alap"], key=ids.index))]
    assert "Partly right: 2 of 3 found, 1 too many." in told
    assert "sound:" not in told
    assert "plays what it was" not in told


def test_a_matra_is_answered_by_its_number_below_the_printed_cycle(write):
    told, session = write("17\n9\n\n\n", wheel_step(Wheel(TINTAL), 9))
    assert session.given == ["9"]
    assert "  signs  X         2         0            3\n  matras 1 2 3 4 | 5 6 7 8 | 9 1" in told
    assert "'17' is none of" in told


@pytest.fixture
def taps_asked(practice, monkeypatch):
    """A session that asks to keep tali with dadra, and what the terminal told when these lines came
    so many seconds after one another."""

    def ask(*lines):
        session = ScriptedSession(step("tap:tali:dadra"))
        monkeypatch.setattr(practice, "start", lambda minutes, mode: session)
        mine, theirs = os.pipe()
        told = StringIO()

        def type_them():
            session.playing = Playing(time.monotonic() + 1.0)
            for wait_s, line in lines:
                time.sleep(wait_s)
                os.write(theirs, line.encode())
            os.close(theirs)

        session.playing = Playing(time.monotonic() + 1.0)
        typist = threading.Thread(target=type_them)
        typist.start()
        with os.fdopen(mine) as read:
            TextDrill(practice, minutes=15, read=read, write=told).run()
        typist.join()
        return session, told.getvalue()

    return ask


def test_enter_taps_while_the_cue_sounds_and_sends_when_it_has_ended(taps_asked):
    session, told = taps_asked((0.2, "\n"), (0.3, "\n"), (0.7, "\n"), (0.0, "\nq\n"))
    (given,) = session.given
    first, second = map(int, given.split())
    assert 100 < second - first < 900
    assert "Press Enter in time while it plays" in told
    assert "You tapped" in told or "you tapped" in told


def test_seconds_may_be_typed_instead_and_a_line_that_is_none_is_told(taps_asked):
    session, told = taps_asked((0.1, "two\n"), (0.1, "2.5 4.75\n"), (0.0, "\nq\n"))
    assert session.given == ["2500 4750"]
    assert "'two' is no number of seconds" in told

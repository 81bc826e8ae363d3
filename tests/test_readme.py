"""README and guide are true: their commands run, and notation and deck are read as written."""

import re
import shlex
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from audio.sargam import KEPT_FOR_LATER, parse
from main import main
from practice.settings import Settings, save_settings
from practice.standing import LOG_NAME
from quizzes.decks.reading import read_deck
from quizzes.stages.tradition import form
from quizzes.tradition import load_tradition
from scheduler import Log
from tests import taken

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text("utf-8")
GUIDE = (ROOT / "GUIDE.md").read_text("utf-8")
BOTH = README + GUIDE
COMMANDS = list(
    dict.fromkeys(re.findall(r"^    \.venv/bin/python (main\.py .*)$", GUIDE + README, re.M))
)


def test_there_are_commands_to_try():
    assert len(COMMANDS) >= 3


WRITTEN = (".wav", ".zip", ".pdf", ".csv")
"""How files end that commands write, and others then read."""


def in_its_folder(command, folder):
    words = shlex.split(command)
    return [
        str(folder / word) if word.endswith(WRITTEN) or word.startswith("lessons/") else word
        for word in words
    ]


def of_decks(command):
    return command.startswith("main.py deck")


def of_answers(command):
    return command.startswith(("main.py log", "main.py lesson-page", "main.py class-page"))


ALONE = [(one,) for one in COMMANDS if not of_decks(one) and not of_answers(one)]
ONE_AFTER_ANOTHER = [tuple(filter(of_decks, COMMANDS)), tuple(filter(of_answers, COMMANDS))]


@pytest.mark.parametrize("commands", [*ALONE, *ONE_AFTER_ANOTHER])
def test_commands_of_the_readme_run(commands, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(ROOT)
    monkeypatch.setenv("KAAN_HOME", str(tmp_path / "kaan"))
    if of_answers(commands[0]):
        practised(tmp_path / "kaan")
        (tmp_path / "lessons" / "asha").mkdir(parents=True)
    for command in commands:
        program, *arguments = in_its_folder(command, tmp_path)
        assert program == "main.py"
        assert main(arguments) == 0
        assert capsys.readouterr().out


def practised(folder):
    """A student's settings and answers in `folder`."""
    save_settings(Settings(student_id="asha", student_name="Asha"), folder)
    with Log(folder / LOG_NAME) as log:
        log.append_all(taken.rows(["swara:R", "swara:G"], 30, until=datetime.now(UTC)))


def test_a_command_of_the_readme_runs_as_it_is_typed(tmp_path):
    words = in_its_folder(ALONE[0][0], tmp_path)
    done = subprocess.run([sys.executable, *words], cwd=ROOT, capture_output=True, timeout=60)
    assert done.returncode == 0, done.stderr
    assert done.stdout


def test_the_notation_in_the_readme_is_read():
    section = README.partition("## Sargam in writing")[2].partition("\n## ")[0]
    rows = re.findall(r"^\| (`.*) \| .* \|$", section, re.M)
    written = [text for row in rows for text in re.findall(r"`([^`]+)`", row)]
    assert len(written) >= 20
    for text in written:
        # A hold needs something to hold, and a bar or a rest something to stand beside.
        parse(f"S {text}".replace("\\|", "|"))
    kept = re.search(r"The signs `([^`]*)` are kept", section).group(1)
    assert kept.split() == list(KEPT_FOR_LATER)


def test_a_teachers_word_is_written_as_the_readme_has_it(tmp_path):
    section = GUIDE.partition("## Where traditions differ")[2].partition("\n## ")[0]
    text = "\n".join(re.findall(r"^    (.*)$", section, re.M))
    path = tmp_path / "tradition.toml"
    path.write_text(text, encoding="utf-8")
    assert load_tradition(path) == text
    known = form(text)
    assert known.stages["jor-fast"].name == "Dugun"
    assert not [one.id for one in known.stages.values() if "Dugun" in one.also]
    assert known.order.pair("madhya-gat", "vilambit-gat").strength == "usual"


def test_the_deck_in_the_readme_is_one_that_can_be_asked():
    section = README.partition("## Decks")[2].partition("\n## ")[0]
    lines = re.findall(r"^(?:    (?!\.venv)(.*)|)$", section, re.M)
    deck = read_deck("\n".join(lines), "phrases-of-june.toml")
    assert [entry.id for entry in deck.entries] == ["where-it-rests"]


def test_every_picture_and_file_that_the_readme_names_is_there():
    for name in re.findall(r"!\[[^]]*\]\(([^)]+)\)", BOTH):
        assert (ROOT / name).is_file(), name
    for name in re.findall(r"`(\w+\.md|LICENSE|assets/\w+)`", BOTH):
        assert (ROOT / name).exists(), name


def test_the_guide_for_contributors_names_every_folder():
    guide = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    for folder in (
        "screens",
        "desk",
        "practice",
        "quizzes",
        "scheduler",
        "audio",
        "words",
        "assets",
    ):
        assert f"`{folder}/`" in guide

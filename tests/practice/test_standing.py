"""How a student stands is the same from the running practice and from the folder alone."""

import threading
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from practice.given import given_in
from practice.settings import Settings, SettingsError, save_settings
from practice.shelf import Shelf
from practice.standing import LOG_NAME, standing_in
from scheduler import History, Log, LogError, Memory
from tests import taken

EXAMPLE = Path(__file__).parents[2] / "assets" / "decks" / "our-alap.toml"
NOW = datetime(2026, 5, 11, 18, 0, tzinfo=UTC)
SKILLS = ["swara:S", "swara:P", "gap:S-P:up"]


@pytest.fixture
def folder(tmp_path):
    """Of a student who has answered ninety questions."""
    save_settings(Settings(student_id="asha", student_name="Asha"), tmp_path / "asha")
    with Log(tmp_path / "asha" / LOG_NAME) as log:
        log.append_all(taken.rows(SKILLS, 90, until=NOW))
    return tmp_path / "asha"


def test_from_the_folder_it_is_as_from_the_practice(folder, tmp_path, open_practice):
    (tmp_path / "student").symlink_to(folder)
    practice = open_practice(now=lambda: NOW)
    here = practice.standing()
    with standing_in(folder, NOW, home=tmp_path) as there:
        assert there.history == here.history
        assert there.memory == here.memory
        assert there.items == here.items
        assert [item.skill for item in there.begun] == [i.skill for i in here.begun] != []
        assert there.latest("swara:P", 3) == here.latest("swara:P", 3)
        assert there.is_course_here


def test_a_course_that_is_not_here_gives_way_to_what_was_begun(folder, tmp_path):
    save_settings(Settings(student_id="asha", course="of-june"), folder)
    before = sorted(path.name for path in folder.iterdir())
    with standing_in(folder, NOW, home=tmp_path) as standing:
        assert not standing.is_course_here
        assert standing.course.id == "of-june"
        assert {item.skill for item in standing.items} == set(SKILLS)
        assert standing.items == standing.begun
    kept = {name for name in before if not name.startswith(f"{LOG_NAME}.memory")}
    assert kept <= {path.name for path in folder.iterdir()}


def test_a_deck_counts_for_who_has_begun_it_and_for_nobody_else(folder, tmp_path):
    shelf = Shelf(tmp_path)
    shelf.take(shelf.look(EXAMPLE))
    given, _ = given_in(shelf)
    (deck,) = given.decks
    own = [skill.id for skill in given.skills(deck) if skill.id.startswith("deck:")]
    first, *others = own

    def asked():
        with standing_in(folder, NOW, home=tmp_path) as standing:
            return {item.skill for item in standing.items} & {first, *others}

    assert others
    assert asked() == set()
    with Log(folder / LOG_NAME) as log:
        log.append(taken.row(first, "a", "b", at=NOW))
    assert asked() == {first, *others}


def test_whose_settings_or_log_cannot_be_read_is_told(folder, tmp_path):
    (folder / LOG_NAME).write_bytes(b"no log")
    with pytest.raises(LogError, match="not a database"), standing_in(folder, NOW, home=tmp_path):
        pass
    (folder / "settings.json").write_text("[")
    with (
        pytest.raises(SettingsError, match=r"settings.json: cannot be read \(.*\); practise as"),
        standing_in(folder, NOW, home=tmp_path),
    ):
        pass


def test_what_came_in_is_read_ahead_and_then_taken_over_without_reading_it_again(
    folder, tmp_path, open_practice, monkeypatch
):
    (tmp_path / "student").symlink_to(folder)
    practice = open_practice(now=lambda: NOW)
    late = [taken.row("swara:R", "R", "G", at=NOW - timedelta(days=40), offset_min=330)]
    with Log(folder / LOG_NAME) as log:  # of another device, and earlier than what is there
        log.append_all(replace(one, device="desk") for one in late)
    thread = threading.Thread(target=practice.read_ahead)
    thread.start()
    thread.join()
    whole = History().after(Memory(families={}, kin={}), practice._log.meetings("asha"))[1]
    monkeypatch.setattr(
        History, "after", lambda *_: pytest.fail("it was read once on the thread already")
    )
    practice.refresh()
    assert practice.standing().history == whole
    assert "swara:R" in practice.standing().memory.beliefs

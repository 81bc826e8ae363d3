"""Settings: kept whole, and what cannot be read is set aside and told."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice import Settings, SettingsError
from practice.settings import FILE_NAME, load_settings, save_settings


def test_settings_read_back_as_they_were(tmp_path):
    settings = Settings(
        student_name="Mira", sa_hz=146.83, minutes=20, body=False, tarab=True, left_handed=True
    )
    save_settings(settings, tmp_path)
    assert load_settings(tmp_path) == (settings, None)


def test_a_lesson_reads_back_as_it_was_and_its_ragas_fall_back_alone(tmp_path):
    lesson = {"lesson_day": "friday", "lesson_time": "08:15"}
    save_settings(Settings(**lesson, lesson_ragas=("yaman", "desh")), tmp_path)
    settings, trouble = load_settings(tmp_path)
    assert trouble is None
    assert settings.lesson_ragas == ("yaman", "desh")
    path = tmp_path / FILE_NAME
    path.write_text(path.read_text().replace('"desh"', '"Gone!"'))
    settings, trouble = load_settings(tmp_path)
    assert (settings.lesson_day, settings.lesson_time) == ("friday", "08:15")
    assert settings.lesson_ragas == ()
    assert "lesson_ragas: ['yaman', 'Gone!'] cannot be used; give a list of the ids" in trouble


def test_a_first_start_has_the_usual_settings(tmp_path):
    settings, trouble = load_settings(tmp_path)
    assert trouble is None
    assert settings.sa_hz == 277.18
    assert settings.volume_db < 0


def test_at_first_the_body_is_heard_and_no_sympathetic_string():
    settings = Settings()
    assert settings.body
    assert not settings.tarab


def test_settings_kept_before_there_were_strings_to_choose_still_read(tmp_path):
    save_settings(Settings(student_name="Mira"), tmp_path)
    path = tmp_path / FILE_NAME
    kept = json.loads(path.read_text())
    del kept["body"], kept["tarab"]
    path.write_text(json.dumps(kept))
    settings, trouble = load_settings(tmp_path)
    assert trouble is None
    assert (settings.student_name, settings.body, settings.tarab) == ("Mira", True, False)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("sa_hz", 97.9),
        ("sa_hz", "high"),
        ("sa_hz", float("nan")),
        ("minutes", 0),
        ("minutes", 7.5),
        ("volume_db", 1.0),
        ("volume_db", True),
        ("body", 1),
        ("tarab", "on"),
        ("text_size", "huge"),
        ("gap_names", ""),
        ("language", "xx"),
        ("language", ["hi"]),
        ("letters", "tamil"),
        ("letters", {}),
        ("still", 0),
        ("high_contrast", "no"),
        ("left_handed", "yes"),
        ("student_id", " "),
        ("lesson_day", "Thursday"),
        ("lesson_day", None),
        ("lesson_time", "24:00"),
        ("lesson_time", "9:30"),
        ("lesson_ragas", "yaman"),
        ("lesson_ragas", ["Yawning"]),
        ("lesson_ragas", ["yaman", "yaman"]),
    ],
)
def test_a_value_out_of_range_is_refused_with_field_value_and_remedy(field, value):
    with pytest.raises(SettingsError, match=rf"^{field}: .* cannot be used; give "):
        Settings(**{field: value})


def test_a_bad_value_falls_back_alone_and_the_file_is_kept(tmp_path):
    save_settings(Settings(student_name="Mira"), tmp_path)
    path = tmp_path / FILE_NAME
    path.write_text(json.dumps(json.loads(path.read_text()) | {"sa_hz": 5000}))
    settings, trouble = load_settings(tmp_path)
    assert settings.student_name == "Mira"
    assert settings.sa_hz == 277.18
    assert "sa_hz: 5000 cannot be used; give a number of hertz from 98 to 330" in trouble
    assert (tmp_path / "settings-unreadable-1.json").exists()


@given(st.binary(max_size=60))
def test_whatever_the_file_holds_a_start_is_possible(tmp_path_factory, content):
    folder = tmp_path_factory.mktemp("settings")
    (folder / FILE_NAME).write_bytes(content)
    settings, trouble = load_settings(folder)
    assert isinstance(settings, Settings)
    assert trouble is None or str(folder) in trouble


def test_a_lost_settings_file_leaves_the_student_their_log(open_practice):
    from tests.steps import ask

    practice = open_practice()
    student = practice.settings.student_id
    session = practice.start(15)
    session.answer(ask(session).question.right[0])
    (practice.folder / FILE_NAME).write_text("{broken")
    again = open_practice()
    assert again.settings.student_id == student
    assert "could not be read" in again.troubles[0]
    assert again._memory.beliefs


def test_a_missing_scale_file_is_told_and_just_intonation_used(open_practice):
    from dataclasses import replace

    practice = open_practice()
    practice.save(replace(practice.settings, tuning="gone.scl"))
    again = open_practice()
    assert "gone.scl" in again.troubles[0]
    assert again._tuning == "just"


def test_an_unknown_speaker_is_told_and_another_used(open_practice):
    practice = open_practice(speaker="trumpet")
    assert "trumpet" in practice.troubles[0]
    assert practice.troubles[1] == "Another speaker is in use."
    assert practice.speaker.name in {"stream", "player", "silence"}


def test_settings_that_cannot_be_written_are_told_and_change_nothing(open_practice, tmp_path):
    from dataclasses import replace

    practice = open_practice()
    # A folder in the way of the file: this holds for root, too, who may write anywhere.
    (practice.folder / FILE_NAME).unlink()
    (practice.folder / FILE_NAME).mkdir()
    with pytest.raises(SettingsError, match="could not be written"):
        practice.save(replace(practice.settings, minutes=30))
    assert practice.settings.minutes == 15


def test_a_practice_that_cannot_be_heard_says_so(open_practice, monkeypatch):
    # No sound server, and no card on the machines that run these tests.
    monkeypatch.setenv("PULSE_SERVER", "unix:/nowhere")
    monkeypatch.setenv("ALSA_CONFIG_PATH", "/dev/null")
    practice = open_practice(speaker="auto")
    assert practice.speaker.name == "silence"
    assert "nothing can be heard" in practice.sound_trouble
    assert practice.sound_trouble in practice.troubles


def test_silence_that_was_chosen_is_no_trouble(open_practice):
    from dataclasses import replace

    practice = open_practice()
    practice.save(replace(practice.settings, speaker="silence"))
    assert open_practice().sound_trouble is None

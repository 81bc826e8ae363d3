"""A folder that a service keeps in step brings together what is answered on several devices."""

import json
import os
import shutil
import threading
import unicodedata
import zipfile
from contextlib import suppress
from datetime import timedelta
from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice import sync_files, sync_logs, sync_round, syncing
from practice.device import Device as Settings
from practice.device import load_device, save_device
from practice.errors import SettingsError
from practice.log_files import hand_over_log, take_log
from practice.students import Students
from practice.sync_names import own_name
from practice.syncing import Syncing, keep_in_step, keep_none_in_step, take_all
from scheduler import Log
from tests.practice import all_synced_folders
from tests.practice.devices import NOON, Device, files_in
from tests.steps import ask


@pytest.fixture
def cloud(tmp_path):
    return tmp_path / "cloud"


@pytest.fixture
def tablet(tmp_path, cloud):
    return Device(tmp_path / "tablet").keep(cloud)


@pytest.fixture
def phone(tmp_path, cloud):
    """The same student's, with a clock that is three days late."""
    return Device(tmp_path / "phone", off=timedelta(days=-3)).keep(cloud)


@pytest.fixture
def desk(tmp_path, cloud):
    """A teacher's."""
    return Device(tmp_path / "desk", "teacher", "The teacher").keep(cloud, takes_all=True)


def is_well(found):
    return not found.trouble and not found.faults


# What comes of it.


def test_two_devices_and_a_teacher_come_to_hold_the_same(tmp_path, cloud):
    """Students share a folder each with the teacher, who keeps the one in which these lie."""
    tablet = Device(tmp_path / "tablet").keep(cloud / "mira")
    phone = Device(tmp_path / "phone", off=timedelta(days=400)).keep(cloud / "mira")
    other = Device(tmp_path / "other", "ravi", "Ravi").keep(cloud / "ravi")
    desk = Device(tmp_path / "desk", "teacher", "The teacher").keep(cloud, takes_all=True)
    all_of_mira = tablet.answer(3) | phone.answer(2)
    other.answer(2, "ravi")
    assert tablet.look().written == ("Mira",)
    assert phone.look().taken == (("Mira", 3),)
    assert tablet.look().taken == (("Mira", 2),)
    other.look()
    assert desk.look().taken == (("Mira", 5), ("Ravi", 2))
    assert files_in(cloud) == ["mira/mira.phone.zip", "mira/mira.tablet.zip", "ravi/ravi.other.zip"]
    assert tablet.has() == phone.has() == desk.has()
    assert set(desk.has()) == all_of_mira
    assert [student.name for student in Students(desk.home).all()] == [
        "Mira",
        "Ravi",
        "The teacher",
    ]


def test_what_is_done_on_the_teachers_device_comes_back_to_the_student(tmp_path, cloud):
    """Beside the student's own files, where the student's device looks."""
    tablet = Device(tmp_path / "tablet").keep(cloud / "mira")
    desk = Device(tmp_path / "desk", "teacher", "The teacher").keep(cloud, takes_all=True)
    tablet.answer(session="a friend's")
    tablet.look()
    desk.look()
    answered = desk.answer(2)
    desk.leave_out("a friend's")
    assert desk.look().written == ("Mira",)
    assert "mira/mira.desk.zip" in files_in(cloud)
    assert tablet.look().taken == (("Mira", 2),)
    assert answered < set(tablet.has())
    with Log.reading(tablet.home / "log.sqlite") as log:
        assert log.left_out("mira") == {"a friend's"}


def test_what_is_only_noted_goes_the_same_way(tablet, phone, desk, cloud):
    """As on a day on which a student plays and answers nothing."""
    noted = tablet.note(2)
    assert tablet.look().written == ("Mira",)
    assert (tablet.look().written, tablet.look().taken) == ((), ())
    for other in (phone, desk):
        found = other.look()
        assert (found.taken, found.noted, found.faults) == ((), ("Mira",), ())
        assert is_well(found)
    noted |= phone.note() | desk.note()
    for device in (phone, desk, tablet, phone, desk):
        assert is_well(device.look())
    assert tablet.has_noted() == phone.has_noted() == desk.has_noted()
    assert set(desk.has_noted()) == noted


def test_notes_of_before_it_was_counted_what_was_put_there_are_put_there(tablet, phone):
    """What an older version remembers of the folder says nothing of notes."""
    tablet.answer()
    tablet.look()
    noted = tablet.note()
    memory = tablet.home / "in-step.json"
    told = json.loads(memory.read_text())
    for mine in told["students"].values():
        del mine["notes"]
    memory.write_text(json.dumps(told))
    assert tablet.look().written == ("Mira",)
    phone.look()
    assert set(phone.has_noted()) == noted


def test_a_log_that_has_lost_notes_gets_them_back_before_its_file_is_written_anew(tablet, cloud):
    tablet.answer()
    tablet.note(3)
    tablet.look()
    noted = tablet.has_noted()
    log = tablet.home / "log.sqlite"
    with Log(log) as whole, Log(tablet.home / "less.sqlite", keeps_journal=False) as less:
        less.append_all([*whole.answers(), *whole.notes()[:1]])
    shutil.rmtree(tablet.home / "backups")
    (tablet.home / "less.sqlite").replace(log)
    for _ in range(2):
        assert is_well(tablet.look())
    assert tablet.has_noted() == noted
    about = json.loads(zipfile.ZipFile(cloud / "mira.tablet.zip").read("about.json"))
    assert about["entries"]["notes.jsonl"]["rows"] == 3


def test_nothing_is_read_or_written_where_nothing_has_changed(tmp_path, cloud, desk, monkeypatch):
    for number in range(3):
        student = Device(tmp_path / f"tablet-{number}", f"s{number}", f"S{number}").keep(cloud)
        student.answer(student=f"s{number}")
        student.look()
    assert len(desk.look().taken) == 3
    desk.look()  # at the logs that were just made
    for module, name in (
        (sync_round, "about_log_file"),
        (sync_round, "copied"),
        (sync_round, "hand_over_log"),
        (sync_round, "put"),
        (sync_logs.Log, "reading"),
    ):
        monkeypatch.setattr(module, name, None)
    assert is_well(desk.look())


def test_answers_that_all_came_by_a_file_are_put_there_where_they_lie_in_none(tmp_path, cloud):
    """As of a student with a new tablet; and of nobody else who does not practise there."""
    old, new = Device(tmp_path / "old"), Device(tmp_path / "new")
    old.answer(3)
    other = Device(tmp_path / "other", "asha", "Asha")
    other.answer(2, student="asha")
    for device in (old, other):
        take_log(hand_over_log(device.home, device.home, NOON).path, new.home, NOON)
    found = new.keep(cloud).look()
    assert (found.written, files_in(cloud)) == (("Mira",), ["mira.new.zip"])
    assert new.look().written == ()


def test_only_students_who_practise_here_are_taken_in_unless_others_are_wanted(tablet, desk, phone):
    phone.answer(3)
    phone.look()
    take_all(desk.home, False)
    found = desk.look()
    assert (found.taken, [stranger.name for stranger in found.strangers]) == ((), ["Mira"])
    (stranger,) = desk.look().strangers
    assert desk.look(also=[stranger.id]).taken == (("Mira", 3),)
    phone.answer()
    phone.look()
    found = desk.look()
    assert (found.taken, found.strangers) == ((("Mira", 1),), ())


def test_who_was_set_aside_stays_so(desk, phone):
    phone.answer()
    phone.look()
    desk.look()
    students = Students(desk.home)
    students.set_aside(students.named("Mira"))
    phone.answer()
    phone.look()
    found = desk.look()
    assert (found.taken, found.strangers, is_well(found)) == ((), (), True)
    students.put_back(students.aside()[0])
    assert desk.look().taken == (("Mira", 1),)


# What services do.


def test_an_own_file_that_comes_back_older_or_goes_is_written_again(cloud, tablet, phone):
    own = cloud / "mira.tablet.zip"
    tablet.answer(2)
    tablet.look()
    shutil.copy(own, cloud.parent / "older.zip")
    tablet.answer(2)
    tablet.look()
    newer = own.read_bytes()
    os.replace(cloud.parent / "older.zip", own)
    assert tablet.look().written == ("Mira",)
    assert len(own.read_bytes()) == len(newer)
    own.unlink()
    assert tablet.look().written == ("Mira",)
    for rest in (newer[:-30], newer[:9], b"", b"\0" * len(newer)):
        own.write_bytes(rest)
        assert tablet.look().written == ("Mira",)
    assert tablet.look().written == ()
    assert phone.look().taken == (("Mira", 4),)


def test_what_may_hold_answers_of_others_is_not_written_over(cloud, tablet, tmp_path):
    other = Device(tmp_path / "other", "ravi", "Ravi").keep(cloud)
    other.answer(student="ravi")
    other.look()
    os.rename(cloud / "ravi.other.zip", cloud / "mira.tablet.zip")
    before = (cloud / "mira.tablet.zip").read_bytes()
    tablet.answer()
    found = tablet.look()
    assert (found.written, (cloud / "mira.tablet.zip").read_bytes()) == ((), before)
    assert "another file is in the way. Move it elsewhere." in found.faults[0]
    os.rename(cloud / "mira.tablet.zip", cloud / "elsewhere.zip")
    assert tablet.look().written == ("Mira",)


def test_half_an_own_file_is_not_written_over_by_a_log_that_has_lost_what_it_held(cloud, tablet):
    own = cloud / "mira.tablet.zip"
    answered = tablet.answer(6)
    tablet.look()
    whole = own.read_bytes()
    own.write_bytes(whole[: len(whole) // 2])  # the service is still bringing it
    for path in tablet.home.glob("log.sqlite*"):
        path.unlink()
    shutil.rmtree(tablet.home / "backups")
    answered |= tablet.answer()
    found = tablet.look()
    assert (found.written, own.read_bytes()) == ((), whole[: len(whole) // 2])
    assert "If it does not come to be whole, move it elsewhere." in found.faults[-1]
    own.write_bytes(whole)
    found = tablet.look()
    assert (found.taken, found.written, is_well(found)) == ((("Mira", 6),), ("Mira",), True)
    assert set(tablet.has()) == answered


def test_touching_an_own_file_writes_nothing(cloud, tablet):
    tablet.answer()
    tablet.look()
    os.utime(cloud / "mira.tablet.zip", (1, 1))
    found = tablet.look()
    assert (found.written, found.taken, is_well(found)) == ((), (), True)


def test_answers_that_a_device_has_lost_come_back_from_the_folder(tmp_path, cloud, tablet):
    tablet.answer(2)
    tablet.look()
    shutil.copytree(tablet.home, tmp_path / "backup")
    tablet.answer(2)
    tablet.look()
    before = tablet.has()
    for path in tablet.home.glob("log.sqlite*"):
        path.unlink()
    for path in (tmp_path / "backup").glob("log.sqlite*"):
        shutil.copy(path, tablet.home)
    assert len(tablet.has()) == 2
    assert tablet.look().taken == (("Mira", 2),)
    tablet.look()
    assert tablet.has() == before
    shutil.rmtree(tablet.home / "backups")
    for path in tablet.home.glob("log.sqlite*"):
        path.unlink()
    assert tablet.look().taken == (("Mira", 4),)
    assert sorted(tablet.has()) == sorted(before)


def test_conflict_copies_are_taken_in_once_and_left_alone(cloud, tablet, phone):
    phone.answer(2)
    phone.look()
    shutil.copy(cloud / "mira.phone.zip", cloud / "mira.phone (conflicted copy, 3 March).ZIP")
    phone.answer()
    phone.look()
    os.replace(cloud / "mira.phone.zip", cloud / "mira.phone (2).zip")
    assert tablet.look().taken == (("Mira", 3),)
    assert is_well(tablet.look())
    assert len(files_in(cloud)) == 2
    shutil.copy(cloud / "mira.phone (2).zip", cloud / "mira.phone (3).zip")
    assert tablet.look().taken == ()


@pytest.mark.parametrize(("share", "rest"), [(0, b""), (0.5, b""), (0.98, b""), (0.5, b"\0")])
def test_half_a_file_is_told_and_taken_when_it_is_whole(cloud, tablet, phone, share, rest):
    phone.answer(3)
    phone.look()
    path = cloud / "mira.phone.zip"
    whole = path.read_bytes()
    length = int(len(whole) * share)
    path.write_bytes(whole[:length] + rest * (len(whole) - length))
    for _ in range(2):
        found = tablet.look()
        assert (found.taken, tablet.has(), found.trouble) == ((), [], "")
        is_told = [fault.startswith("mira.phone.zip: ") for fault in found.faults]
        assert is_told == ([True] if length > 16 else [])  # else nobody knows what it is to be
    path.write_bytes(whole)
    assert tablet.look().taken == (("Mira", 3),)
    assert is_well(tablet.look())


def test_a_file_that_is_damaged_in_the_middle_leaves_the_log_as_it_is(cloud, tablet, phone):
    phone.answer(5)
    phone.look()
    path = cloud / "mira.phone.zip"
    whole = bytearray(path.read_bytes())
    whole[60] ^= 0xFF
    path.write_bytes(whole)
    found = tablet.look()
    assert found.faults == tablet.look().faults
    assert "mira.phone.zip: " in found.faults[0]
    assert tablet.has() == []


def test_a_file_that_is_replaced_while_it_is_read_is_read_next_time(
    cloud, tablet, phone, monkeypatch
):
    phone.answer(2)
    phone.look()
    path, before = cloud / "mira.phone.zip", cloud.parent / "before.zip"
    shutil.copy(path, before)
    phone.answer(2)
    phone.look()
    os.replace(before, cloud / "coming")

    class Replacing:
        """A digest whose file is replaced by an older one when its first part is taken."""

        def __init__(self, **_):
            pass

        def update(self, _):
            os.replace(cloud / "coming", path)

        def hexdigest(self):
            return "0"

    with monkeypatch.context() as patch:
        patch.setattr(sync_files.hashlib, "blake2b", Replacing)
        found = tablet.look()
    assert (found.taken, len(found.faults)) == ((), 1)
    assert "was changed while it was read" in found.faults[0]
    assert tablet.look().taken == (("Mira", 2),)


def test_other_things_that_lie_there_are_left_alone(cloud, tablet, phone):
    phone.answer()
    phone.look()
    outside = cloud.parent / "outside"
    (outside / "inner").mkdir(parents=True)
    (cloud / "deep" / "deeper").mkdir(parents=True)
    (cloud / ".versions").mkdir()
    log = shutil.move(cloud / "mira.phone.zip", outside / "mira.zip")
    shutil.copy(log, outside / "inner")
    for hidden in (".versions/mira.zip", ".mira.zip", "deep/deeper/mira.zip", "mira.zip.part"):
        shutil.copy(log, cloud / hidden)
    (cloud / "link.zip").symlink_to(log)
    (cloud / "linked").symlink_to(outside / "inner")
    (cloud / "nowhere.zip").symlink_to("nothing")
    (cloud / "folder.zip").mkdir()
    os.mkfifo(cloud / "pipe.zip")
    (cloud / "notes.zip").write_bytes(b"no zip file")
    shutil.make_archive(cloud / "deck", "zip", outside, "inner")
    before = files_in(cloud)
    for _ in range(2):
        found = tablet.look()
        assert (found.taken, is_well(found), tablet.has()) == ((), True, [])
    assert files_in(cloud) == before


def test_a_name_in_another_normal_form_is_the_same_name(tmp_path):
    """As between file systems that keep names put together and those that take them apart."""
    put_together, apart = (
        unicodedata.normalize(form, "Mīrā's répertoire") for form in ("NFC", "NFD")
    )
    assert put_together != apart
    folder = tmp_path / put_together
    tablet = Device(tmp_path / "tablet").keep(folder)
    phone = Device(tmp_path / "phone").keep(folder / put_together)
    phone.answer(2)
    phone.look()
    (folder / put_together).rename(folder / apart)
    folder.rename(tmp_path / apart)
    assert tablet.look().taken == (("Mira", 2),)
    tablet.answer()
    assert tablet.look().written == ("Mira",)
    assert phone.look().taken == (("Mira", 1),)
    assert not folder.exists()


def test_names_that_are_no_text_are_read_all_the_same(cloud, tablet, phone):
    phone.answer(2)
    phone.look()
    os.rename(cloud / "mira.phone.zip", os.fsencode(cloud) + b"/\xe9t\xe9.zip")
    assert tablet.look().taken == (("Mira", 2),)
    assert is_well(tablet.look())
    phone.look()
    with open(os.fsencode(cloud) + b"/\xe9\n.zip", "wb") as half:
        half.write((cloud / "mira.phone.zip").read_bytes()[:99])
    assert tablet.look().faults[0].startswith("…….zip: it may not be here whole yet")


def test_a_folder_that_is_gone_is_told_and_not_made_and_gone_on_with(cloud, tablet):
    tablet.answer()
    tablet.look()
    cloud.rename(cloud.parent / "unplugged")
    tablet.answer()
    assert f"{cloud} is not there. If it lies on a drive" in tablet.look().trouble
    assert not cloud.exists()
    (cloud.parent / "unplugged").rename(cloud)
    assert tablet.look().written == ("Mira",)


def test_a_folder_that_the_system_refuses_to_look_at_is_told(tablet):
    """A name longer than 255 bytes stands for a drive that has died: either is an error other than
    that there is no such folder (stat, POSIX)."""
    nowhere = tablet.home.parent / ("x" * 300)
    with pytest.raises(OSError, match="too long"):
        nowhere.stat()
    with pytest.raises(SettingsError, match="see that it can be reached"):
        keep_in_step(tablet.home, nowhere)
    save_device(Settings(sync_folder=str(nowhere)), tablet.home)
    assert "is not there" in tablet.look().trouble


def test_a_folder_that_may_only_be_read_is_told_and_still_read(cloud, tablet, phone, monkeypatch):
    phone.answer(2)
    phone.look()
    tablet.answer()

    def refuse(*_):
        raise OSError(30, "Read-only file system")

    with monkeypatch.context() as patch:  # root may write wherever there is a file system
        patch.setattr(sync_round, "put", refuse)
        for _ in range(2):
            found = tablet.look()
            assert "Nothing can be written to" in found.trouble
            assert "(Read-only file system)" in found.trouble
    assert len(tablet.has()) == 3
    assert tablet.look().written == ("Mira",)


# Several at once, and killed.


def test_killed_at_any_moment_it_goes_on_next_time(cloud, tablet, phone):
    """Killed before each of the moments at which something comes onto the disk, in turn."""
    steps, answered, code = 0, set(), 9
    while code:
        answered |= phone.answer() | tablet.answer()
        phone.look()
        child = os.fork()
        if child == 0:
            with suppress(BaseException):
                die_before(steps)
                found = tablet.look()
                os._exit(0 if found.taken and found.written and is_well(found) else 1)
            os._exit(2)
        code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        assert code in (0, 9)
        steps += 1
        assert is_well(tablet.look())
        assert set(tablet.has()) == answered
        assert files_in(cloud) == ["mira.phone.zip", "mira.tablet.zip"]
    assert 8 < steps < 40
    phone.look()
    assert set(phone.has()) == answered


def die_before(steps):
    """End this process, as if it was killed, at the next change to a disk after so many."""
    left = count(steps, -1)

    def step(real):
        def do(*values, **more):
            if next(left) == 0:
                os._exit(9)
            return real(*values, **more)

        return do

    for name in ("replace", "fsync", "unlink", "mkdir"):
        setattr(os, name, step(getattr(os, name)))


def test_devices_that_look_at_the_same_moment_lose_nothing(tmp_path, cloud):
    devices = [Device(tmp_path / name).keep(cloud) for name in ("a", "b", "c")]
    answered = set()

    def go(device):
        for _ in range(3):
            answered.update(device.answer(2))
            assert not device.look().trouble

    threads = [threading.Thread(target=go, args=(device,)) for device in devices]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for device in (*devices, *devices):
        assert is_well(device.look())
    assert all(set(device.has()) == answered for device in devices)
    assert devices[0].has() == devices[1].has() == devices[2].has()


@pytest.mark.parametrize("seed", range(4))
def test_whatever_a_service_does_all_devices_come_to_hold_the_same(seed):
    """Some of what `all_synced_folders` tries by the hundred."""
    all_synced_folders.run(seed)


def test_two_windows_of_one_device_look_one_after_the_other(tablet, phone, monkeypatch):
    phone.answer()
    phone.look()
    monkeypatch.setattr(syncing, "LOCK_WAIT_S", 0.02)
    with syncing.holding(tablet.home / syncing.LOCK_NAME, 1.0):
        assert "another window may be looking into it" in tablet.look().trouble
    assert tablet.look().taken == (("Mira", 1),)


# On a thread.


def test_nobody_waits_for_a_folder_that_does_not_answer(tablet, phone, monkeypatch):
    phone.answer()
    phone.look()
    begun, answers, real = threading.Event(), threading.Event(), sync_round.files_in

    def slow(folder):
        begun.set()
        answers.wait(30)
        return real(folder)

    monkeypatch.setattr(sync_round, "files_in", slow)
    told = []
    looking = Syncing(tablet.home, now=lambda: NOON)
    looking.on_done = told.append
    looking.look()
    begun.wait(30)
    looking.look()  # again, once that is done
    assert not looking.wait(0.01)
    assert (looking.is_looking, told) == (True, [])
    answers.set()
    assert looking.wait(30)
    assert [found.taken for found in told] == [(("Mira", 1),), ()]
    assert looking.last == told[-1]
    looking.close()
    looking.look()
    assert not looking.is_looking


def test_nothing_is_taken_in_during_a_practice(tablet, phone):
    phone.answer()
    phone.look()
    tablet.answer()
    practising = [True]
    looking = Syncing(tablet.home, now=lambda: NOON, is_busy=lambda: practising[0])
    looking.look()
    assert looking.wait(30)
    assert (looking.last.is_cut, len(tablet.has())) == (True, 1)
    practising.clear()
    practising.append(False)
    looking.look()
    assert looking.wait(30)
    assert (looking.last.is_cut, len(tablet.has())) == (False, 2)


def test_what_nobody_foresaw_is_told_and_it_looks_again(tablet, monkeypatch):
    told, real = [], syncing.look_around
    looking = Syncing(tablet.home, now=lambda: NOON)
    looking.on_done = told.append
    monkeypatch.setattr(syncing, "look_around", lambda *_, **__: 1 / 0)
    for look_around in (syncing.look_around, real):
        monkeypatch.setattr(syncing, "look_around", look_around)
        looking.look()
        assert looking.wait(30)
    assert "ZeroDivisionError" in told[0].trouble
    assert is_well(looking.last)


# What is set and what is remembered.


def test_without_a_folder_nothing_is_done(tmp_path):
    device = Device(tmp_path / "tablet")
    device.answer()
    before = files_in(device.home)
    looking = Syncing(device.home, now=lambda: NOON)
    looking.look()
    assert looking.wait(30)
    assert (looking.last, device.look(), files_in(device.home)) == (None, None, before)


def test_a_folder_is_kept_until_it_is_kept_no_more(cloud, tablet, tmp_path):
    tablet.answer()
    tablet.look()
    keep_none_in_step(tablet.home)
    tablet.answer()
    assert tablet.look() is None
    keep_in_step(tablet.home, tmp_path / "tablet" / ".." / "cloud")
    assert tablet.look().written == ("Mira",)
    assert files_in(cloud) == ["mira.tablet.zip"]


def test_a_folder_that_cannot_be_is_refused(tmp_path, tablet):
    (tablet.home / "decks").mkdir()
    for folder, wrong in (
        (tmp_path / "none", "there is no such folder"),
        (tablet.home / "settings.json", "there is no such folder"),
        (tablet.home, "Kaan keeps its own data there"),
        (tablet.home / "decks", "Kaan keeps its own data there"),
    ):
        with pytest.raises(SettingsError, match=wrong):
            keep_in_step(tablet.home, folder)


def test_memory_that_is_lost_or_nonsense_only_costs_time(cloud, tablet, phone):
    phone.answer(2)
    tablet.answer(2)
    phone.look()
    tablet.look()
    path = tablet.home / "in-step.json"
    for text in ("", "[]", '{"version": 1}', path.read_text().replace('"taken"', '"whatever"')):
        path.write_text(text)
        found = tablet.look()
        assert (found.taken, is_well(found)) == ((), True)
        assert tablet.look().written == ()
    assert len(tablet.has()) == 4


def test_settings_of_the_device_keep_what_they_do_not_know(tmp_path):
    path = tmp_path / "device.json"
    path.write_text('{"colour": "brass", "takes_all": 7, "sync_folder": "/somewhere"}')
    device, trouble = load_device(tmp_path)
    assert device == Settings("/somewhere")
    assert trouble == (
        f"In {path}: takes_all: 7 cannot be used; give true or false. The usual value is in use."
    )
    save_device(Settings("/elsewhere", True), tmp_path)
    assert load_device(tmp_path) == (Settings("/elsewhere", True), None)
    assert "brass" in path.read_text()
    path.write_text("nonsense")
    assert "could not be read" in load_device(tmp_path)[1]
    save_device(Settings(), tmp_path)
    assert (tmp_path / "device-unreadable-1.json").read_text() == "nonsense"


@given(st.lists(st.text(min_size=1), min_size=2, max_size=6, unique=True), st.text(min_size=1))
def test_names_of_files_are_a_students_own_on_every_system(students, device):
    """Windows, for one, tells no capitals apart and refuses these signs, and names of devices
    whatever stands behind the dot (Microsoft's "Naming Files, Paths, and Namespaces")."""
    names = [own_name(student, device) for student in (*students, "con", "Mira", "mira", "MIRA")]
    assert len({name.casefold() for name in names}) == len(
        {*students, "con", "Mira", "mira", "MIRA"}
    )
    for name in names:
        assert name.isascii()
        assert len(name) < 100
        assert not set(name) & set('<>:"/\\|?* ')
        assert name.split(".")[0] not in ("con", "prn", "aux", "nul", "com1", "lpt1")


# In a practice.


def test_a_practice_puts_its_answers_there_at_its_end_and_takes_in_others_when_it_opens(
    cloud, open_practice, tmp_path
):
    practice = open_practice()
    student = practice.settings.student_id
    phone = Device(tmp_path / "phone", student, "Mira").keep(cloud)
    phone.answer(2, student)
    phone.look()
    keep_in_step(practice.home, cloud)
    practice = open_practice()
    assert practice.syncing.wait(30)
    assert practice._looked() != practice._seen
    practice.refresh()
    assert practice.standing().history.weeks
    session = practice.start(5)
    session.answer(ask(session).question.right[0])
    assert len(files_in(cloud)) == 1
    practice.close()  # which ends it
    assert len(files_in(cloud)) == 2
    assert phone.look().taken[0][0] == "Mira"
    (practice.home / "device.json").write_text("nonsense")
    practice = open_practice()
    assert practice.syncing.wait(30)
    (trouble,) = practice.troubles
    assert "no folder is kept in step" in trouble

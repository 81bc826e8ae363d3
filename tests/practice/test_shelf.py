"""What comes into a folder comes whole or not at all, whatever else happens."""

import os
import re
import shutil
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from practice.errors import ShelfError
from practice.shelf import Shelf
from practice.staging import Staging
from quizzes.decks.faults import DeckError
from tests.practice.bundling import brought_in, deck_text, lying, tone, zipped

ROOT = Path(__file__).parents[2]
COURSE = """
name = "Spring"
about = "Of one term."
[[step]]
name = "First"
decks = ["first-gaps"]
"""
TRADITION = '[durga]\nconfirmed = ["hours"]\n'
OWN_RAGA = """
[our_kalyan]
name = "Our Kalyan"
notes = "S R G M P D N"
aroha = "N, R G M D N S'"
avaroha = "S' N D P M G R S"
vadi = "G N"
phrases = ["N, R G M D N D P", "P M G R G R S"]
"""
ASKS_OWN_RAGA = """
deck = "ours"
name = "Ours"
[[question]]
id = "which"
kind = "raga-from-phrase"
among = ["our_kalyan", "bhairav"]
"""


@pytest.fixture
def shelf(tmp_path):
    return Shelf(tmp_path / "home")


def put(shelf, path, text, **taken):
    path.write_text(text, encoding="utf-8")
    arrival = shelf.look(path)
    shelf.take(arrival, **taken)
    return arrival


def test_looking_and_reading_change_nothing_and_make_no_folder(shelf, tmp_path):
    path = tmp_path / "gaps.toml"
    path.write_text(deck_text())
    arrival = shelf.look(path)
    assert [each.deck.id for each in arrival.decks] == ["first-gaps"]
    assert (arrival.decks[0].before, arrival.decks[0].changes) == (None, ())
    assert shelf.decks() == ()
    assert not shelf.folder.exists()


def test_a_newer_version_says_what_it_changes_and_the_same_says_nothing(shelf, tmp_path):
    path = tmp_path / "gaps.toml"
    put(shelf, path, deck_text())
    assert shelf.look(path).decks[0].changes == ()
    arrival = put(shelf, path, deck_text(ids=("rest", "rest-2"), head="edition = 2"))
    assert arrival.decks[0].changes == (
        'One question is new: "On which swara does it rest?".',
        "It is edition 2, where edition 1 was.",
    )
    (kept,) = shelf.decks()
    assert [entry.id for entry in kept.deck.entries] == ["rest", "rest-2"]
    assert kept.path.read_text() == path.read_text()  # with all comments


def test_an_older_edition_comes_only_if_it_is_meant(shelf, tmp_path):
    path = tmp_path / "gaps.toml"
    put(shelf, path, deck_text(head="edition = 3"))
    path.write_text(deck_text(head="edition = 2"))
    arrival = shelf.look(path)
    assert arrival.decks[0].is_older
    with pytest.raises(ShelfError, match=r"edition 2, and edition 3 lies here.*--older"):
        shelf.take(arrival)
    assert shelf.decks()[0].deck.edition == 3
    shelf.take(arrival, older=True)
    assert shelf.decks()[0].deck.edition == 2


def test_decks_of_one_name_live_side_by_side_and_another_deck_of_a_known_id_is_refused(
    shelf, tmp_path
):
    put(shelf, tmp_path / "a.toml", deck_text("one"))
    put(shelf, tmp_path / "b.toml", deck_text("two"))
    assert [(kept.id, kept.deck.name) for kept in shelf.decks()] == [
        ("one", "First gaps"),
        ("two", "First gaps"),
    ]
    put(shelf, tmp_path / "c.toml", deck_text("two", name="Renamed"))  # shares its question
    put(shelf, tmp_path / "c.toml", deck_text("two", name="Renamed", ids=("other",)))
    (tmp_path / "d.toml").write_text(deck_text("two", name="Else", ids=("else",)))
    wanted = r'd.toml, line 1: deck: .two. is the id of another deck here, "Renamed"; give it '
    with pytest.raises(DeckError, match=wanted):
        shelf.look(tmp_path / "d.toml")


def test_a_sound_beside_a_deck_is_brought_in_and_the_text_keeps_its_comments(shelf, tmp_path):
    tone(tmp_path / "my phrase.wav")
    text = deck_text(recording="my phrase.wav")
    arrival = put(shelf, tmp_path / "gaps.toml", text)
    name = arrival.recordings["my phrase.wav"]
    assert os.listdir(shelf.recordings) == [name]
    assert shelf.decks()[0].path.read_text() == text.replace("my phrase.wav", name)
    assert shelf.decks()[0].deck.recordings == {name}
    # The text that lies there can be taken elsewhere only with its recording.
    shutil.copy(shelf.decks()[0].path, tmp_path / "again.toml")
    assert shelf.look(tmp_path / "again.toml").decks[0].changes == ()
    with pytest.raises(DeckError, match=r"again.toml, line \d+: recording: .* not among"):
        Shelf(tmp_path / "elsewhere").look(tmp_path / "again.toml")


def test_a_sound_that_cannot_be_used_is_a_fault_of_the_line_that_names_it(shelf, tmp_path):
    (tmp_path / "noise.mp3").write_bytes(b"no sound at all")
    path = tmp_path / "gaps.toml"
    path.write_text(deck_text(recording="noise.mp3"))
    wanted = r"gaps.toml, line 10: recording: noise.mp3 is neither .*; save it as"
    with pytest.raises(DeckError, match=wanted) as caught:
        shelf.look(path)
    assert caught.value.faults[0].entry == 0
    assert not shelf.folder.exists()


def test_a_recording_goes_with_the_last_deck_that_names_it(shelf, tmp_path):
    name, content = brought_in()
    files = {f"decks/{deck}.toml": deck_text(deck, recording=name) for deck in ("one", "two")}
    shelf.take(shelf.look(zipped(tmp_path / "b.zip", {**files, f"recordings/{name}": content})))
    young, old = (shelf.bring_in(tone(tmp_path / "t.wav", hz)) for hz in (300.0, 400.0))
    os.utime(shelf.recordings / old, (time.time() - 90_000,) * 2)
    shelf.remove("one")
    assert set(os.listdir(shelf.recordings)) == {name, young}
    shelf.remove("two")
    assert os.listdir(shelf.recordings) == [young]
    with pytest.raises(ShelfError, match="there is no such deck; there are none"):
        shelf.remove("two")


def test_a_deck_that_is_not_finished_is_kept_with_its_faults(shelf):
    shelf.write("mine", 'deck = "mine"\nname = ""\n')
    (kept,) = shelf.decks()
    assert (kept.id, kept.deck) == ("mine", None)
    assert {fault.field for fault in kept.faults} == {"name", "question"}
    shelf.write("mine", deck_text("other"))
    assert "is not the file's name; rename it" in str(shelf.decks()[0].faults[0])
    assert shelf.handed("My own") is None  # as a file put there by hand may be called
    (shelf.folder / "decks" / ".handed" / "mine.toml").mkdir(parents=True)
    assert shelf.handed("mine") is None
    for wrong in ("../mine", "Mine", "", "a/b", "a" * 41):
        with pytest.raises(ShelfError, match="is no id"):
            shelf.write(wrong, deck_text())
    assert sorted(lying(shelf.folder)) == ["decks/mine.toml"]


def test_what_is_handed_over_is_taken_elsewhere_just_so(shelf, tmp_path):
    name, content = brought_in()
    files = {"decks/first-gaps.toml": deck_text(recording=name), f"recordings/{name}": content}
    shelf.take(shelf.look(zipped(tmp_path / "b.zip", files)))
    (shelf.folder / "courses").mkdir()
    (shelf.folder / "courses" / "spring.toml").write_text(COURSE)
    (shelf.folder / "tradition.toml").write_text(TRADITION)
    out = tmp_path / "out.zip"
    entries = shelf.hand_over([], out, course="spring", tradition=True)
    assert entries == (
        "courses/spring.toml",
        "decks/first-gaps.toml",
        f"recordings/{name}",
        "tradition.toml",
    )
    other = Shelf(tmp_path / "other")
    arrival = other.look(out)
    assert [course.name for course in arrival.courses] == ["Spring"]
    other.take(arrival)
    taken, here = lying(other.folder), lying(shelf.folder)
    del here["decks/.handed/first-gaps.toml"]
    assert taken == here
    before = out.read_bytes()
    shelf.hand_over([], out, course="spring", tradition=True)
    assert out.read_bytes() == before


def test_a_deck_that_asks_a_raga_of_the_teachers_own_takes_the_tradition_along(shelf, tmp_path):
    shelf.write_tradition(OWN_RAGA)
    put(shelf, tmp_path / "in.toml", ASKS_OWN_RAGA)
    with pytest.raises(ShelfError, match="needs your tradition; let the name end"):
        shelf.hand_over(["ours"], tmp_path / "out.toml")
    out = tmp_path / "out.zip"
    assert shelf.hand_over(["ours"], out) == ("decks/ours.toml", "tradition.toml")
    other = Shelf(tmp_path / "other")
    other.take(other.look(out))
    assert other.decks()[0].deck is not None


def test_a_changed_deck_goes_out_as_the_next_edition(shelf, tmp_path):
    out = tmp_path / "gaps.toml"
    put(shelf, tmp_path / "in.toml", deck_text())
    shelf.hand_over(["first-gaps"], out)
    assert "edition" not in out.read_text()
    shelf.hand_over(["first-gaps"], out)
    assert "edition" not in out.read_text()
    for edition in (2, 3):
        text = shelf.decks()[0].path.read_text()
        shelf.write("first-gaps", re.sub('"Re.*"', f'"Re {edition}"', text))
        shelf.hand_over(["first-gaps"], out)
        assert f"edition = {edition}\n" in out.read_text()
        assert "# rest, written by hand" in out.read_text()
        assert shelf.decks()[0].path.read_text() == out.read_text()
    shelf.write("first-gaps", out.read_text().replace("edition = 3", "edition = 7"))
    shelf.hand_over(["first-gaps"], out)
    assert "edition = 7" in out.read_text()


@pytest.mark.parametrize(
    ("decks", "out", "more", "said"),
    [
        ([], "out.zip", {}, "nothing would be in it; name a deck"),
        (["gone"], "out.zip", {}, "there is no such deck; there are bad, good"),
        (["bad"], "out.zip", {}, "bad.toml, line 2: name"),
        (["good"], "out.txt", {}, "let its name end in .zip"),
        (["good"], "no/out.zip", {}, "there is no folder"),
        (["good"], "out.zip", {"course": "x"}, "there is no such course"),
        (["good"], "out.zip", {"tradition": True}, "there is no such tradition"),
        (["../x"], "out.zip", {}, "is no id"),
    ],
)
def test_what_cannot_be_handed_over_is_told_and_nothing_is_written(
    shelf, tmp_path, decks, out, more, said
):
    shelf.write("good", deck_text("good"))
    shelf.write("bad", 'deck = "bad"\nname = ""\n')
    before = lying(shelf.folder)
    with pytest.raises((ShelfError, DeckError), match=said):
        shelf.hand_over(decks, tmp_path / out, **more)
    assert lying(shelf.folder) == before
    assert list(tmp_path.glob("out*")) == []


def test_what_changed_between_look_and_take_is_not_overwritten(shelf, tmp_path):
    path = tmp_path / "gaps.toml"
    path.write_text(deck_text())
    arrival = shelf.look(path)
    shelf.write("first-gaps", deck_text(name="Mine"))
    with pytest.raises(ShelfError, match=r"has changed since .* was looked at"):
        shelf.take(arrival)
    assert shelf.decks()[0].deck.name == "Mine"
    name, content = brought_in()
    files = {"decks/x.toml": deck_text("x", recording=name), f"recordings/{name}": content}
    arrival = shelf.look(zipped(tmp_path / "b.zip", files))
    zipped(tmp_path / "b.zip", {**files, f"recordings/{name}": content[:-2] + b"xx"})
    before = lying(shelf.folder)
    with pytest.raises(ShelfError, match="has changed since the bundle was looked at"):
        shelf.take(arrival)
    assert lying(shelf.folder) == before


def test_who_comes_while_another_changes_the_folder_waits(shelf, tmp_path):
    staging, order = Staging(shelf.folder), []

    def write():
        shelf.write("mine", deck_text("mine"))
        order.append("second")

    with staging.alone():
        other = threading.Thread(target=write)
        other.start()
        time.sleep(0.1)
        order.append("first")
    other.join()
    assert order == ["first", "second"]
    assert [kept.id for kept in shelf.decks()] == ["mine"]


# Takes a bundle, and then opens a folder in which that was killed half way, each in a fork that
# kills itself before its nth step on a file of the folder, for every n until it comes to its end.
# Last, four processes at once take now one bundle and now the other.
KILLED = """
import os, shutil, signal, sys
from itertools import count
from pathlib import Path
from practice.errors import ShelfError
from practice.shelf import Shelf

os.fsync = lambda handle: None  # a process that is killed loses nothing that it has written
SEEN = {"open", "os.rename", "os.remove", "os.rmdir", "os.mkdir", "os.listdir", "os.scandir"}

def dying(folder, last):
    steps = count(1)
    def hook(event, args):
        named = any(isinstance(arg, (str, Path)) and str(folder) in str(arg) for arg in args)
        if event in SEEN and named and next(steps) == last:
            os.kill(os.getpid(), signal.SIGKILL)
    sys.addaudithook(hook)

def kill_all(before, work, act):
    work.mkdir()
    for last in count(1):
        folder = work / str(last)
        shutil.copytree(before, folder)
        child = os.fork()
        if not child:
            dying(folder, last)
            act(folder)
            os._exit(0)
        status = os.waitpid(child, 0)[1]
        if not os.WIFSIGNALED(status):
            assert status == 0
            return

before, other, bundle, taking, opening, at_once = map(Path, sys.argv[1:])
arrival = Shelf(before).look(bundle)
kill_all(before, taking, lambda folder: Shelf(folder).take(arrival))
ready = [path.parents[1] for path in taking.glob("*/incoming/ready-*") if any(path.iterdir())]
kill_all(max(ready, key=lambda folder: -int(folder.name)), opening, Shelf)

def take_many(first):
    for turn in range(6):
        shelf = Shelf(at_once)
        assert shelf.trouble is None
        try:
            shelf.take(shelf.look((other, bundle)[(first + turn) % 2]))
        except ShelfError as error:
            assert "has changed since" in str(error)
    os._exit(0)

children = [os.fork() or take_many(first) for first in range(4)]
assert not any(os.waitpid(child, 0)[1] for child in children)
"""


def in_order(work):
    """The folders that were left, in the order of the steps."""
    return sorted(work.iterdir(), key=lambda folder: int(folder.name))


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork a process")
def test_killed_at_any_step_of_taking_a_bundle_the_folder_holds_the_old_or_the_new_whole(tmp_path):
    shelf, bundles = Shelf(tmp_path / "before"), []
    for hz in (220.0, 330.0):
        name, content = brought_in(hz)
        decks = {f"decks/{deck}.toml": deck_text(deck, recording=name) for deck in ("one", "two")}
        files = {**decks, f"recordings/{name}": content, "tradition.toml": TRADITION + f"# {hz}"}
        bundles.append(zipped(tmp_path / f"{hz}.zip", files))
    shelf.take(shelf.look(bundles[0]))
    # So old that it is swept: nothing but a deck that names it may keep it.
    for path in shelf.recordings.iterdir():
        os.utime(path, (time.time() - 90_000,) * 2)
    old = lying(shelf.folder)
    shutil.copytree(shelf.folder, tmp_path / "new")
    (after := Shelf(tmp_path / "new")).take(after.look(bundles[1]))
    new = lying(after.folder)
    assert len({*old, *new}) == 6
    (swept,) = old.keys() - new.keys()
    assert new.keys() - old.keys() > {"tradition-before.toml"}

    taking, opening, at_once = (tmp_path / name for name in ("taking", "opening", "at once"))
    named = (shelf.folder, *bundles, taking, opening, at_once)
    command = [sys.executable, "-c", KILLED, *map(str, named)]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    subprocess.run(command, env=environment, check=True, timeout=100)
    halfway, ends = [], []
    for folder in in_order(taking):
        halfway += [folder] if lying(folder) not in (old, new) else []
        assert Shelf(folder).trouble is None
        found = lying(folder)
        if found.keys() > new.keys():  # swept when something is changed next
            del found[swept]
        assert found in (old, new), folder
        assert os.listdir(folder / "incoming") == [".lock"]
        ends.append(found == new)
    assert len(ends) > 30
    assert len(halfway) > 10
    assert ends == sorted(ends)
    assert set(ends) == {False, True}

    found, whole = lying(at_once), {"decks/one.toml", "decks/two.toml", "tradition.toml"}
    assert {name: found[name] for name in whole} in (
        {name: each[name] for name in whole} for each in (old, new)
    )
    assert all(kept.deck for kept in Shelf(at_once).decks())
    assert not [name for name in found if name.startswith("incoming")]

    assert len(in_order(opening)) > 10
    for folder in in_order(opening):
        assert Shelf(folder).trouble is None
        assert lying(folder).items() >= new.items()

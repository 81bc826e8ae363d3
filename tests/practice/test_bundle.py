"""Zip files that are not what they say are refused, with the place and the remedy; nothing is left.

What an entry is made of stands in PKWARE's APPNOTE 6.3 (from memory); zips are made by Python's
`zipfile` and then broken.
"""

import io
import re
import shutil
import stat
import struct
import subprocess
import zipfile
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from audio.recordings import LARGEST_BYTES
from practice import bundle as bundles
from practice import zips
from practice.bundle import read_bundle, write_bundle
from practice.errors import ShelfError
from practice.shelf import Shelf
from quizzes import courses, tradition
from quizzes.decks.faults import DeckError
from tests.practice.all_broken_bundles import Broken, refused
from tests.practice.bundling import brought_in, deck_text, lying, tone, zipped

DECK = {"decks/first-gaps.toml": deck_text()}
NAME, CONTENT = brought_in()
COURSE = (
    'name = "Spring"\nabout = "Of one term."\n[[step]]\nname = "First"\ndecks = ["first-gaps"]\n'
)


@pytest.fixture
def shelf(tmp_path):
    return Shelf(tmp_path / "home")


@pytest.fixture
def said(shelf, tmp_path):
    """What is said of a zip that is refused."""

    def look(files, **written):
        path = files if isinstance(files, Path) else zipped(tmp_path / "b.zip", files, **written)
        with pytest.raises((ShelfError, DeckError)) as caught:
            shelf.look(path)
        assert not shelf.folder.exists()
        return str(caught.value)

    return look


def info(name, *, mode=stat.S_IFREG | 0o644, flags=0):
    made = zipfile.ZipInfo(name)
    made.external_attr, made.create_system = mode << 16, 3
    made.flag_bits |= flags
    return made


@pytest.mark.parametrize(
    ("name", "wrong"),
    [
        ("../first-gaps.toml", "lies outside the bundle"),
        ("decks/../../x.toml", "lies outside the bundle"),
        ("/etc/x.toml", "lies outside the bundle"),
        ("C:/x.toml", "drive letter"),
        ("decks\\x.toml", r"holds a \ or a drive letter"),
        ("decks//x.toml", "has an empty part"),
        ("./x.toml", "has an empty part"),
        ("decks/x.toml.", "ends in a dot or a space"),
        ("decks /x.toml", "ends in a dot or a space"),
        ("decks/\u202ex.toml", r"decks/\u202ex.toml: its name holds signs that cannot be seen"),
        ("decks/\nx.toml", r"decks/\nx.toml: its name holds signs that cannot be seen"),
        ("decks/" + "x" * 200 + ".toml", "longer than 120 characters"),
        ("more.zip", "is packed within the bundle"),
        ("decks/more.tar.GZ", "is packed within the bundle"),
    ],
)
def test_a_name_that_leads_astray_is_refused_whatever_is_in_it(said, name, wrong):
    text = said({**DECK, name: "x"})
    assert wrong in text
    assert text.startswith("b.zip: ")
    assert "; " in text


@pytest.mark.parametrize("kind", [stat.S_IFLNK, stat.S_IFIFO, stat.S_IFCHR, stat.S_IFDIR])
def test_links_and_other_things_that_are_no_files_are_refused(said, tmp_path, kind):
    path = tmp_path / "b.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(info("decks/first-gaps.toml", mode=kind | 0o777), "/etc/passwd")
    assert "b.zip: decks/first-gaps.toml: is a link or another thing that is no" in said(path)


def patched(path, at, form, *values, start=b"PK\1\2"):
    """Write over a field of the first entry in a zip's list of entries, or of where it begins."""
    data = bytearray(path.read_bytes())
    struct.pack_into(form, data, data.find(start) + at, *values)
    path.write_bytes(data)
    return path


@pytest.mark.parametrize(
    ("at", "form", "value", "wrong"),
    [
        (8, "<H", 0x1, "is encrypted"),
        (8, "<H", 0x41, "is encrypted"),
        (10, "<H", 12, "is packed in a way that is not read here"),  # bzip2
        (24, "<L", 2**31, "times smaller than it says"),
        (24, "<L", 20, "not as long|cannot be unpacked"),
        (20, "<L", 5, "cannot be unpacked|not as long"),
        (16, "<L", 7, "cannot be unpacked"),  # the checksum
        (42, "<L", 1, "is not where the bundle says"),
        (42, "<L", 2**31, "is not where the bundle says"),
    ],
)
def test_an_entry_that_is_not_as_the_list_says_is_refused(said, tmp_path, at, form, value, wrong):
    path = patched(zipped(tmp_path / "b.zip", DECK), at, form, value)
    text = said(path)
    assert any(each in text for each in wrong.split("|")), text
    assert text.startswith("b.zip: decks/first-gaps.toml: ")


def test_bombs_are_refused_by_their_ratio_and_by_what_they_unpack_to(said, tmp_path, monkeypatch):
    text = said({**DECK, "recordings/a.wav": b"\0" * 2**20})
    assert "b.zip: recordings/a.wav: is packed more than 200 times smaller" in text
    text = said({"decks/first-gaps.toml": deck_text() + "#" * 2_000_000})
    assert "times smaller" in text
    text = said({"decks/a.toml": b"".join(b"# %d\n" % n for n in range(200_000))})
    assert "b.zip: decks/a.toml: is larger than 1000000 bytes" in text
    monkeypatch.setattr(zips, "MOST_BUNDLE_BYTES", 3000)
    assert "unpacks to more than" in said({**DECK, "notes.txt": deck_text() * 99})


def test_entries_that_share_their_bytes_are_refused(said, tmp_path):
    """The overlapping kind of bomb: many entries in the list, one content (Fifield 2019, "A better
    zip bomb", from memory)."""
    path = tmp_path / "b.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("decks/a.toml", deck_text())
        again = archive.getinfo("decks/a.toml")
        for number in range(3):
            copy = zipfile.ZipInfo(f"decks/{number}.toml")
            copy.CRC, copy.file_size, copy.compress_size = (
                again.CRC,
                again.file_size,
                again.file_size,
            )
            copy.header_offset = again.header_offset
            archive.filelist.append(copy)
    assert "overlaps with what follows it" in said(path)


def test_too_many_entries_are_refused_before_they_are_read(said, tmp_path):
    files = {f"notes/{number}": "" for number in range(zips.MOST_ENTRIES)}
    assert "holds more than 1000 files" in said({**DECK, **files})
    data = zipped(tmp_path / "few.zip", DECK).read_bytes()
    end = data.rindex(b"PK\5\6")
    lying_count = data[: end + 8] + struct.pack("<HH", 1, 1) + data[end + 12 :]
    listed = data[data.index(b"PK\1\2") : end] * 40_000
    begin = data.index(b"PK\1\2")
    bomb = data[:begin] + listed + lying_count[end : end + 12]
    bomb += struct.pack("<LLH", len(listed), begin, 0)
    (tmp_path / "many.zip").write_bytes(bomb)
    assert "holds more than 1000 files" in said(tmp_path / "many.zip")


@pytest.mark.parametrize(
    ("files", "wrong"),
    [
        ({"decks/a.toml": deck_text(), "decks/A.toml": deck_text()}, "stands twice"),
        ({"recordings/a.wav": "x", "a.wav": "y", **DECK}, "stands twice"),
        ({"decks/a.toml": deck_text(), "b.toml": deck_text()}, "is the id of"),
        ({"deck.toml": deck_text("con")}, "line 1: deck: no file may be called 'con'"),
        ({"notes.txt": "x"}, "holds no deck, course or tradition"),
        ({"decks/a.toml": b"deck = 'a'\n\xff"}, "decks/a.toml, line 2: file: is not in UTF-8"),
        ({"courses/spring.toml": COURSE}, "line 5: decks: first-gaps cannot be found"),
        ({**DECK, "courses/Spring!.toml": COURSE}, "its name should be of"),
        ({**DECK, "courses/first-path.toml": COURSE}, "a course that is shipped is called so"),
        ({**DECK, "tradition.toml": "[x]\ny = 1\n"}, "b.zip: tradition.toml, line 1: x"),
        (
            {"deck.toml": deck_text(recording=NAME)},
            "deck.toml, line 10: recording: " + NAME + " is not among the recordings",
        ),
        (
            {"deck.toml": deck_text(recording=NAME), f"recordings/{NAME}": CONTENT[:-2] + b"zz"},
            "line 10: recording: " + NAME + " holds other sound than its name says",
        ),
        (
            {"deck.toml": deck_text(recording="a.mp3"), "recordings/a.mp3": b"ID3" * 99},
            "deck.toml, line 10: recording: a.mp3 ",
        ),
    ],
)
def test_what_does_not_belong_together_is_told_with_its_place(said, files, wrong):
    text = said(files)
    assert wrong in text
    assert text.startswith("b.zip: ")


def test_all_that_is_wrong_is_told_at_once(said):
    files = {f"decks/{name}.toml": f'deck = "{name}"\nname = "{name}"\n' for name in "ab"}
    text = said({**files, "courses/x.toml": COURSE})
    assert [line.split(":")[1].split(",")[0].strip() for line in text.splitlines()] == [
        "decks/a.toml",
        "decks/b.toml",
        "courses/x.toml",
    ]


@pytest.mark.parametrize("what", ["", "PK", "PK\5\6" + "\0" * 17, "x" * 100, "PK\5\6" + "\0" * 18])
def test_what_is_no_zip_is_told(said, tmp_path, what):
    path = tmp_path / "b.zip"
    path.write_bytes(what.encode("latin-1"))
    assert said(path).startswith("b.zip: ")
    assert "No such file" in said(tmp_path / "none.zip")
    (tmp_path / "folder.zip").mkdir()
    assert "folder.zip: is no file" in said(tmp_path / "folder.zip")
    assert "is no deck; give a deck's .toml or a bundle's .zip" in said(tmp_path / "x.txt")
    assert "is a recording; open a question of a deck" in said(tmp_path / "x.mp3")


def test_what_is_no_part_of_a_bundle_is_told_and_left(shelf, tmp_path):
    files = {
        "my lesson/decks/first-gaps.toml": deck_text(recording="one phrase.wav"),
        "my lesson/recordings/one phrase.wav": tone(tmp_path / "t.wav").read_bytes(),
        "my lesson/recordings/unheard.wav": b"not even looked at",
        "my lesson/notes.txt": "x",
        "__MACOSX/my lesson/._notes.txt": "x",
    }
    arrival = shelf.look(zipped(tmp_path / "b.zip", files))
    assert arrival.unknown == (
        "notes.txt",
        "__MACOSX/my lesson/._notes.txt",
        "my lesson/recordings/unheard.wav",
    )
    shelf.take(arrival)
    assert shelf.decks()[0].deck.recordings == set(arrival.recordings.values())
    assert sorted(lying(shelf.folder)) == [
        "decks/first-gaps.toml",
        f"recordings/{arrival.recordings['one phrase.wav']}",
    ]


@pytest.mark.skipif(shutil.which("unzip") is None, reason="no other program reads zips here")
def test_another_program_reads_what_is_written(tmp_path):
    """Info-ZIP's unzip tests the whole file."""
    with (tmp_path / "b.zip").open("wb") as file:
        write_bundle(file, {"decks/ä.toml": b"x" * 5000, "recordings/y.wav": CONTENT})
    subprocess.run(["unzip", "-tqq", str(tmp_path / "b.zip")], check=True, timeout=20)


NAMES = st.from_regex(r"\A[a-z0-9][a-z0-9-]{0,9}\Z")


@settings(max_examples=60, deadline=None)
@given(
    st.dictionaries(NAMES, st.text(max_size=30), min_size=1, max_size=4),
    st.dictionaries(NAMES, st.binary(max_size=100), max_size=3),
)
def test_a_bundle_reads_as_it_was_written_whatever_the_order(tmp_path_factory, texts, sounds):
    path = tmp_path_factory.getbasetemp() / "written.zip"
    files = {f"decks/{name}.toml": text.encode("utf-8", "replace") for name, text in texts.items()}
    files |= {f"recordings/{name}.wav": sound for name, sound in sounds.items()}
    written = []
    for order in (list(files), list(reversed(files))):
        out = io.BytesIO()
        write_bundle(out, {name: files[name] for name in order})
        written.append(out.getvalue())
    assert written[0] == written[1]
    path.write_bytes(written[0])
    bundle = read_bundle(path)
    assert {name: text.encode() for name, text in bundle.decks.items()} == {
        f"decks/{name}.toml": text.encode("utf-8", "replace") for name, text in texts.items()
    }
    with bundle.reading() as archive:
        for name, sound in sounds.items():
            out = io.BytesIO()
            bundles.unpack(archive, bundle.recordings[f"{name}.wav"], out)
            assert out.getvalue() == sound


@pytest.fixture(scope="module")
def broken():
    with Broken() as made:
        yield made


@settings(max_examples=80, deadline=None)
@given(st.integers(0, 2**40))
@example(0)
def test_a_broken_bundle_is_taken_whole_or_refused_by_our_own_word(broken, seed):
    refused(broken, seed)


@pytest.mark.parametrize(
    "text",
    [
        "a." * 90_000 + "a = 1",  # which `tomllib` would read for many minutes
        "a = " + "[" * 190_000,
        "".join(f"[a{number}]\nb = 1\n" for number in range(6_000)),
    ],
)
@pytest.mark.parametrize("entry", ["decks/a.toml", "courses/a.toml", "tradition.toml"])
def test_texts_that_would_keep_a_reader_busy_are_refused(said, entry, text):
    assert said({**DECK, entry: text}).startswith(f"b.zip: {entry}")


def test_the_page_on_decks_tells_what_a_bundle_may_be():
    page = (Path(__file__).parents[2] / "DECKS.md").read_text("utf-8")
    section = page.partition("## A bundle\n")[2].partition("\n## ")[0]
    said = dict(re.findall(r"^\| (.*) \| ([\d,]+) \|$", section, re.MULTILINE))
    assert [int(most.replace(",", "")) for most in said.values()] == [
        zips.MOST_BUNDLE_BYTES >> 20,
        LARGEST_BYTES >> 20,
        zips.MOST_ENTRIES,
        zips.LONGEST_NAME,
        zips.MOST_RATIO,
        courses.MOST_BYTES,
    ]
    assert courses.MOST_BYTES == tradition.MOST_BYTES
    for suffix in bundles.AUDIO:
        assert suffix.removeprefix(".") in section.lower()

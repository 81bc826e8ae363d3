"""Breaks bundles in every way that comes to mind, and looks at what becomes of them.

    python -m tests.practice.all_broken_bundles --count 50000

Each is made from a seed: real zips with bytes changed, cut, doubled or exchanged, zips of hostile
entries, and zips whose decks, courses or traditions are broken as text. Whatever it is, it is
either found good and taken whole, or refused by an error of our own whose every line names the
file, the place and a remedy; the folder is then as it was. The tests try a sample.
"""

from __future__ import annotations

import argparse
import io
import random
import re
import shutil
import stat
import struct
import tempfile
import time
import warnings
import zipfile
from collections import Counter
from pathlib import Path

from practice.errors import ShelfError
from practice.shelf import Shelf
from quizzes.decks.faults import DeckError
from tests.practice.bundling import brought_in, deck_text, lying, tone

COURSE = 'name = "Spring"\nabout = "Of one term."\n[[step]]\nname = "First"\ndecks = ["one"]\n'
HOSTILE_NAMES = (
    "../one.toml", "decks/../../../one.toml", "/one.toml", "C:\\one.toml", "c:one.toml",
    "decks\\one.toml", "decks//one.toml", ".", "..", "", "/", "decks/", "decks/.toml",
    "decks/con.toml", "decks/one.toml/", "decks/one.toml/x", "DECKS/one.toml", "decks/ONE.toml",
    "decks/one\0.toml", "decks/\x1b[31m.toml", "decks/\u202etoml.one", "decks/o\u0308.toml",
    "decks/ö.toml", "recordings/../one.wav", "recordings/.wav", "incoming/ready-1/decks/x.toml",
    "log.sqlite", "settings.json", "tradition-before.toml", "deck.toml", "tradition.toml",
    "courses/one.toml", "courses/first-path.toml", "inner.zip", "recordings/a.mp3", "a" * 300,
    "decks/" + "d/" * 90 + "x.toml", "decks/" + "x" * 100 + ".toml", "?.toml",
)  # fmt: skip
HOSTILE_TEXTS = (
    b"", b"\0", b"\xff\xfe", b"\xef\xbb\xbf", b"[" * 5000, b"a." * 5000 + b"a = 1",
    b"a = " + b"[" * 9999, b"question = 1\n", b"[[question]]\n" * 2000, b'deck = "one"\n',
    b'deck = "../x"\nname = "x"\n', b'deck = ["one"]\nname = {}\nquestion = [[]]\n',
    b"step = 1\n", b"[[step]]\n" * 1000, b"[durga]\nvadi = 7\n", b"[durga]\n" * 2,
    b'x = "\\ud800"\n', b"x = 1e999999999\n", b"x = 0x" + b"f" * 9999, b"x = 9999-99-99\n",
    b"\r" * 99, b"# \x7f\n", b"RIFF" * 20, b"ID3\4" + b"\xff\xfb" * 99, b"OggS" * 40,
    b"fLaC" + b"\0" * 60,
)  # fmt: skip
REMEDY = re.compile("; |should be|should name|needs at least|known are|are allowed")
"""How it is said what would be right."""
MARKS = (b"", b'"', b"\n", b"[", b"=", b"-", b"\xff", b"0")


class Broken:
    """Makes broken bundles by their seeds, beside a folder that holds a deck already."""

    def __enter__(self) -> Broken:
        self.root = Path(tempfile.mkdtemp())
        self.path, self.home = self.root / "b.zip", self.root / "home"
        name, content = brought_in()
        raw = tone(self.root / "raw.wav", 300.0, 0.1).read_bytes()
        self._files = {
            "decks/one.toml": deck_text("one", recording=name, ids=("a", "b")).encode(),
            "decks/two.toml": deck_text("two", recording="raw.wav").encode(),
            f"recordings/{name}": content,
            "recordings/raw.wav": raw,
            "courses/spring.toml": COURSE.encode(),
            "tradition.toml": b'[durga]\nconfirmed = ["hours"]\n',
        }
        one = deck_text("one").encode()
        self._light = {"decks/one.toml": one, "courses/spring.toml": COURSE.encode()}
        Shelf(self.home).write("one", deck_text("one"))
        self._begun = lying(self.home)
        return self

    def __exit__(self, *_: object) -> None:
        shutil.rmtree(self.root)

    def make(self, seed: int) -> str:
        """Write the bundle of this seed; the name of the way in which it is broken."""
        rng = random.Random(seed)
        way = rng.choice((_bytes, _bytes, _fields, _fields, _cut, _joined, _names, _texts, _texts))
        files = self._files if rng.random() < 0.1 else self._light
        self.path.write_bytes(way(rng, dict(files)))
        return way.__name__.strip("_")

    def put_back(self) -> None:
        shutil.rmtree(self.home)
        Shelf(self.home).write("one", deck_text("one"))

    def is_as_begun(self) -> bool:
        return lying(self.home) == self._begun and sorted(
            path.name for path in self.root.iterdir()
        ) == ["b.zip", "home", "raw.wav"]


def refused(broken: Broken, seed: int) -> str:
    """What became of the bundle of a seed: `taken` or `refused`, and how it was broken."""
    way = broken.make(seed)
    shelf = Shelf(broken.home)
    try:
        arrival = shelf.look(broken.path)
    except (DeckError, ShelfError) as error:
        assert broken.is_as_begun(), seed
        lines = str(error).splitlines()
        assert lines, seed
        for line in lines:
            assert line.startswith("b.zip: "), (seed, line)
            assert REMEDY.search(line), (seed, line)
            assert line.isprintable(), (seed, line)
        return f"{way} refused"
    assert broken.is_as_begun(), seed
    if arrival.decks or arrival.courses or arrival.tradition:
        shelf.take(arrival, older=True)
        assert shelf.trouble is None, seed
        for kept in shelf.decks():
            assert kept.deck is not None, (seed, kept.faults)
        allowed = {"decks", "recordings", "courses", "incoming", "tradition.toml"}
        assert {path.name for path in broken.home.iterdir()} <= allowed, seed
        assert [path.name for path in (broken.home / "incoming").iterdir()] == [".lock"], seed
        broken.put_back()
    return f"{way} taken"


def _zip(rng: random.Random, entries: list[tuple[zipfile.ZipInfo, bytes]]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # that a name stands there twice
        for info, content in entries:
            how = rng.choice((zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED))
            archive.writestr(info, content, how)
    return out.getvalue()


def _entries(files: dict[str, bytes]) -> list[tuple[zipfile.ZipInfo, bytes]]:
    return [(zipfile.ZipInfo(name), content) for name, content in files.items()]


def _whole(rng: random.Random, files: dict[str, bytes]) -> bytes:
    return _zip(rng, _entries(files))


def _bytes(rng: random.Random, files: dict[str, bytes]) -> bytes:
    """Some bytes are others."""
    data = bytearray(_whole(rng, files))
    for _ in range(rng.choice((1, 1, 2, 5, 50))):
        data[rng.randrange(len(data))] = rng.choice((0, 1, 0x7F, 0x80, 0xFF, rng.randrange(256)))
    return bytes(data)


def _fields(rng: random.Random, files: dict[str, bytes]) -> bytes:
    """A field of a header says something else."""
    data = bytearray(_whole(rng, files))
    mark, sizes = rng.choice(((b"PK\1\2", 46), (b"PK\3\4", 30), (b"PK\5\6", 22)))
    places = [found.start() for found in re.finditer(re.escape(mark), data)]
    for _ in range(rng.choice((1, 1, 2, 4))):
        form = rng.choice(("<H", "<L"))
        high = 2**16 - 1 if form == "<H" else 2**32 - 1
        value = rng.choice((0, 1, 2, high, high // 2 + 1, rng.randrange(high), rng.randrange(300)))
        at = rng.choice(places) + rng.randrange(4, sizes - struct.calcsize(form) + 1)
        struct.pack_into(form, data, at, value)
    return bytes(data)


def _cut(rng: random.Random, files: dict[str, bytes]) -> bytes:
    """Something is missing, or stands there twice."""
    data = _whole(rng, files)
    first, last = sorted(rng.randrange(len(data) + 1) for _ in range(2))
    return rng.choice(
        (data[:first], data[last:], data[:first] + data[last:], data[:last] + data[first:])
    )


def _joined(rng: random.Random, files: dict[str, bytes]) -> bytes:
    """Other things stand before, behind or between."""
    data, more = _whole(rng, files), rng.randbytes(rng.choice((1, 22, 300)))
    other = _whole(rng, {"decks/other.toml": deck_text("other").encode()})
    return rng.choice((more + data, data + more, data + data, other + data, data + other))


def _names(rng: random.Random, files: dict[str, bytes]) -> bytes:
    """Entries have hostile names, are of odd forms, or stand there twice."""
    entries = _entries(files)
    for _ in range(rng.choice((1, 1, 2, 5))):
        name, content = rng.choice(HOSTILE_NAMES), rng.choice(list(files.values()))
        if rng.random() < 0.3:
            name = rng.choice(list(files))
        info = zipfile.ZipInfo("x")
        info.filename = name
        kinds = (0, stat.S_IFREG, stat.S_IFLNK, stat.S_IFDIR, stat.S_IFIFO, rng.randrange(2**16))
        info.external_attr = rng.choice(kinds) << 16 | rng.choice((0, 0x10, rng.randrange(2**16)))
        info.create_system = rng.choice((0, 3, 19, 255))
        info.extra = rng.choice((b"", b"", struct.pack("<HHQ", 1, 8, 2**40), rng.randbytes(9)))
        entries.insert(rng.randrange(len(entries) + 1), (info, content))
    return _zip(rng, entries)


def _texts(rng: random.Random, files: dict[str, bytes]) -> bytes:
    """What the entries hold is broken."""
    for _ in range(rng.choice((1, 1, 2, 3))):
        name = rng.choice(list(files))
        if rng.random() < 0.1:
            del files[name]
            files["notes.txt"] = b"x"
            continue
        files[name] = rng.choice((_other, _changed, _changed, _lines))(rng, files[name])
    return _whole(rng, files)


def _other(rng: random.Random, content: bytes) -> bytes:
    return rng.choice((*HOSTILE_TEXTS, rng.randbytes(200), content + rng.choice(HOSTILE_TEXTS)))


def _changed(rng: random.Random, content: bytes) -> bytes:
    data = bytearray(content or b"x")
    for _ in range(rng.choice((1, 2, 8))):
        at = rng.randrange(len(data))
        data[at : at + rng.choice((0, 1, 1, 5))] = rng.choice(MARKS)
        data = data or bytearray(b"x")
    return bytes(data)


def _lines(rng: random.Random, content: bytes) -> bytes:
    lines = content.splitlines(keepends=True) or [b""]
    match rng.randrange(3):
        case 0:
            rng.shuffle(lines)
        case 1:
            lines.pop(rng.randrange(len(lines)))
        case _:
            lines.insert(rng.randrange(len(lines)), rng.choice(lines))
    return b"".join(lines)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=50_000)
    parser.add_argument("--first", type=int, default=0, help="the first seed")
    options = parser.parse_args()
    begun, told = time.monotonic(), Counter[str]()
    with Broken() as broken:
        for seed in range(options.first, options.first + options.count):
            try:
                told[refused(broken, seed)] += 1
            except Exception:
                print(f"seed {seed}", flush=True)
                raise
    for what, count in sorted(told.items()):
        print(f"{count:8} {what}")
    print(f"{options.count} bundles in {time.monotonic() - begun:.0f} s")


if __name__ == "__main__":
    main()

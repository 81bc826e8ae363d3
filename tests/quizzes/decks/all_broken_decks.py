"""Very many broken decks: is each refused with its place, and is one that loads asked without fail?

Run by hand: `.venv/bin/python -m tests.quizzes.decks.all_broken_decks --count 200000 --seed 1
[--workers 2] [--ask 20] [--keep FOLDER]`. Takes whole decks, shipped and of `DECKS.md`, and breaks
each in one to four ways: bytes turned, lines lost or doubled, values swapped or of another kind,
tables of another deck put in, nests, odd encodings, swaras scrambled. Prints how many were refused
and how many still loaded, how often each field was told, the slowest, and every failure with the
number by which `broken` makes it again. Of decks that load, one in `--ask` is asked, answered wrong
and explained.
"""

from __future__ import annotations

import argparse
import json
import random
import re
import time
from collections import Counter
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import cache, partial
from pathlib import Path

from quizzes import Setting, kind_of
from quizzes.decks import narrowed, own, reading
from quizzes.decks.asking import entry_text, skills_of
from quizzes.decks.deck import FORMS, Deck, as_json, from_json
from quizzes.decks.faults import DeckError, Fault
from quizzes.decks.reading import read_deck, text_of

ROOT = Path(__file__).parent.parent.parent.parent
FILE = "broken.toml"
MOST_BROKEN = 4
CHUNK = 500
LONGEST_MESSAGE = 1_500

VALUES = (
    '""|" "|"x"|true|false|0|-1|1|3|1.5|nan|inf|-inf|1e400|[]|[[]]|{}|[1]|["a", "a"]|["S R", 3]|'
    '{a = 1}|[{text = "a"}, {text = "a", right = true}]|1979-05-27|07:32:00|1979-05-27T07:32:00Z|'
    '1979-02-30|\'\'|\'\'\'\n\'\'\'|"""a\n"""|"\\u0000"|"\\uD800"|"\\n"|"[b]x[/b]"|"../../x.wav"|'
    '"/dev/zero"|"yaman"|"tintal"|"gap:R-P:down"|"gap:"|"S R G"|"SR/m"|"S:2 -"|"S,,"|"(S)R~"|".:1"|'
    f'0x{"f" * 5000}|{"9" * 5000}|"{"S " * 3000}"|"{"x" * 3000}"|{"[" * 400}|{"[" * 60}{"]" * 60}'
).split("|")
KEYS = (
    *(*reading.KEYS, *own.SHARED, *narrowed.KEYS),
    *(key for keys in own.KEYS.values() for key in keys),
    *(*own.CHOICE_KEYS, *own.BEFORE_KEYS, *own.REASON_KEYS),
    *("zzz", '"a.b"', '""', "a.b.c", "question.x"),
)
KINDS = (*FORMS, "deck", "gap", "swara", "raga-from-phrase", "raga-rest", "raga-vadi", "sam")
SIGNS = "SrRgGmMPdDnN',-.:/\\<>(){}~c|[]^x0123\u0938 "
LINES = (
    "[[question]]",
    "[question]",
    "[[question.choice]]",
    "[question.phrases]",
    "[[question.before]]",
    "[[question.reason]]",
    "[",
    "]]",
    '"""',
    "'''",
    "\x00",
    "a.b.c.d.e.f.g.h.i.j = 1",
    "\u2028",
    "= 1",
    "\ufeff",
)


@cache
def valid_decks() -> tuple[str, ...]:
    """Whole decks that load, of every kind of question."""
    page = (ROOT / "DECKS.md").read_text(encoding="utf-8")
    shipped = sorted((ROOT / "assets" / "decks").glob("*.toml"))
    return (
        "\n".join(re.findall(r"```toml\n(.*?)```", page, re.DOTALL)),
        *(path.read_text(encoding="utf-8") for path in shipped),
    )


def broken(number: int, seed: int) -> bytes:
    """The deck of this number, the same each time."""
    luck = random.Random(f"{seed} {number}")
    text = luck.choice(valid_decks())
    if luck.random() < 0.7:  # shorter ones are broken where it tells
        text = _with_few_questions(luck, text)
    for _ in range(luck.randint(1, MOST_BROKEN)):
        text = luck.choice(IN_TEXT)(luck, text)
    data = text.encode("utf-8", "surrogatepass")
    return luck.choice(IN_BYTES)(luck, data) if luck.random() < 0.15 else data


def _with_few_questions(luck: random.Random, text: str) -> str:
    head, *questions = text.split("[[question]]")
    some = luck.sample(questions, min(len(questions), luck.randint(1, 3)))
    return "[[question]]".join([head, *some])


Luck = random.Random


def _at_lines(change: Callable[[Luck, list[str], int], None], luck: Luck, text: str) -> str:
    lines = text.split("\n")
    change(luck, lines, luck.randrange(len(lines)))
    return "\n".join(lines)


def _lose(luck: Luck, lines: list[str], at: int) -> None:
    del lines[at : at + luck.randint(1, 3)]


def _double(luck: Luck, lines: list[str], at: int) -> None:
    lines.insert(luck.randrange(len(lines) + 1), lines[at])


def _put_in(luck: Luck, lines: list[str], at: int) -> None:
    lines.insert(at, luck.choice(LINES))


def _add_key(luck: Luck, lines: list[str], at: int) -> None:
    lines.insert(at, f"{luck.choice(KEYS)} = {luck.choice(VALUES)}")


def _settings(lines: Sequence[str]) -> list[int]:
    return [at for at, line in enumerate(lines) if "=" in line]


def _other_value(luck: Luck, lines: list[str], at: int) -> None:
    for each in luck.sample(_settings(lines), min(1, len(_settings(lines)))):
        lines[each] = f"{lines[each].partition('=')[0]}= {luck.choice(VALUES)}"


def _other_key(luck: Luck, lines: list[str], at: int) -> None:
    for each in luck.sample(_settings(lines), min(1, len(_settings(lines)))):
        lines[each] = f"{luck.choice(KEYS)} ={lines[each].partition('=')[2]}"


def _swap_values(luck: Luck, lines: list[str], at: int) -> None:
    places = _settings(lines)
    if len(places) > 1:
        one, other = luck.sample(places, 2)
        first, second = (lines[each].partition("=") for each in (one, other))
        lines[one], lines[other] = f"{first[0]}={second[2]}", f"{second[0]}={first[2]}"


def _other_kind(luck: Luck, lines: list[str], at: int) -> None:
    places = [at for at, line in enumerate(lines) if line.startswith("kind")]
    for each in luck.sample(places, min(1, len(places))):
        lines[each] = f'kind = "{luck.choice(KINDS)}"'


def _scramble_swaras(luck: Luck, lines: list[str], at: int) -> None:
    places = [at for at, line in enumerate(lines) if re.match(r" *(sargam|right|\w+ = \[)", line)]
    for each in luck.sample(places, min(1, len(places))):
        key, equals, value = lines[each].partition("=")
        spot = luck.randrange(len(value) + 1)
        signs = "".join(luck.choices(SIGNS, k=luck.randint(1, 4)))
        lines[each] = key + equals + value[:spot] + signs + value[spot + luck.randint(0, 2) :]


def _pad(luck: Luck, lines: list[str], at: int) -> None:
    """Blanks inside quotes mean nothing."""
    place = lines[at].find('"')
    if place >= 0:
        lines[at] = f"{lines[at][: place + 1]} {lines[at][place + 1 :]}"


def _turn_sign(luck: Luck, text: str) -> str:
    at = luck.randrange(len(text) + 1)
    sign = luck.choice("\"'[]{}=,.#\\\n\r\t \x00\x1b\ufeff\u0915\U0001d11e\ud800aS1")
    return text[:at] + sign + text[at + luck.randint(0, 1) :]


def _cut(luck: Luck, text: str) -> str:
    return text[: luck.randrange(len(text) + 1)]


def _splice(luck: Luck, text: str) -> str:
    """A piece of another deck in the middle of this one."""
    other = luck.choice(valid_decks()).split("[[")
    mine = text.split("[[")
    mine.insert(luck.randrange(len(mine) + 1), luck.choice(other))
    return "[[".join(mine)


def _shuffle(luck: Luck, text: str) -> str:
    parts = text.split("\n\n")
    luck.shuffle(parts)
    return "\n\n".join(parts)


def _swell(luck: Luck, text: str) -> str:
    """Too much of something; seldom, since it takes its time."""
    if luck.random() > 0.02:
        return text
    return text + luck.choice(
        [
            "\n[[question]]" * 600,
            f"\nx = {'[' * 3000}",
            f"\nx = '{'y' * 20_000}'",
            "\n" * 200_000,
            "\n[" + ".".join("a" * 300) + "]",
            "\n[[question.choice]]\ntext = 'a'" * 3000,
            "\n" + "\n".join(f"k{at} = 1" for at in range(5000)),
            "\nx = {a = " * 30,
        ]
    )


IN_TEXT: tuple[Callable[[Luck, str], str], ...] = (
    *(
        partial(_at_lines, change)
        for change in (
            *(_lose, _double, _put_in, _add_key, _other_value, _other_value, _other_key),
            *(_swap_values, _other_kind, _scramble_swaras, _pad),
        )
    ),
    *(_turn_sign, _turn_sign, _cut, _splice, _shuffle, _swell),
)


def _turn_bytes(luck: Luck, data: bytes) -> bytes:
    turned = bytearray(data)
    for _ in range(luck.randint(1, 5) if data else 0):
        turned[luck.randrange(len(turned))] ^= 1 << luck.randrange(8)
    return bytes(turned)


def _put_in_bytes(luck: Luck, data: bytes) -> bytes:
    at = luck.randrange(len(data) + 1)
    return data[:at] + luck.randbytes(luck.randint(1, 6)) + data[at:]


def _encode(luck: Luck, data: bytes) -> bytes:
    text = data.decode("utf-8", "replace")
    name = luck.choice(["utf-8-sig", "utf-16", "utf-16-be", "utf-32", "latin-1", "utf-7", "cp1252"])
    return text.encode(name, "replace")


def _other_ends(luck: Luck, data: bytes) -> bytes:
    return data.replace(b"\n", luck.choice([b"\r\n", b"\r", b"\n\r"]))


IN_BYTES = (_turn_bytes, _put_in_bytes, _encode, _other_ends)


def judged(data: bytes) -> tuple[Deck | None, list[str]]:
    """The deck, if it still loads, and the fields that were told, if it does not.

    Raises AssertionError where a fault has no place, and whatever else than DeckError came.
    """
    try:
        deck = read_deck(text_of(data, FILE), FILE, recording=lambda name: 2.0)
    except DeckError as error:
        check_faults(error.faults, lines=data.count(b"\n") + 1)
        return None, [fault.field for fault in error.faults]
    for entry in deck.entries:
        assert from_json(json.loads(json.dumps(as_json(entry)))) == entry, entry
    return deck, []


def check_faults(faults: Sequence[Fault], *, lines: int) -> None:
    """Every fault has its place and remedy, in one line that can be printed."""
    assert faults, "no fault is told"
    for fault in faults:
        assert fault.file == FILE, fault
        assert 1 <= fault.line <= lines, (fault, lines)
        assert all((fault.field, fault.wrong, fault.remedy)), fault
        assert fault.entry is None or fault.entry >= 0, fault
        assert len(str(fault)) <= LONGEST_MESSAGE, fault
        assert str(fault).isprintable(), fault


def ask(deck: Deck, seed: int) -> int:
    """Ask a few questions of a deck, and explain a wrong answer where there is one; how many."""
    skills = skills_of(deck)
    luck = random.Random(seed)
    some = luck.sample(skills, min(3, len(skills)))
    for skill in some:
        kind = kind_of(skill.id)
        text = entry_text(deck, skill.id) if skill.kind == "deck" else ""
        setting = Setting(138.59, deck=text, met=tuple(each.id for each in skills))
        question = kind.make(skill.id, seed=seed, setting=setting)
        assert 0.0 < question.chance <= 1.0, question.chance
        kind.introduce(question)
        given = [question.right[0]]
        if question.answer_on == "choices":
            given += [choice.id for choice in question.choices]
        for each in given:
            assert kind.mark(question, each).right == (each in question.right), (skill.id, each)
            kind.explain(question, each)
    return len(some)


class Tally:
    """What was seen of some decks."""

    def __init__(self) -> None:
        self.refused = self.loaded = self.asked = 0
        self.told: Counter[str] = Counter()
        self.faults = 0
        self.failed: list[tuple[int, str]] = []
        self.slowest = (0.0, 0)

    def add(self, other: Tally) -> None:
        self.refused += other.refused
        self.loaded += other.loaded
        self.asked += other.asked
        self.faults += other.faults
        self.told += other.told
        self.failed += other.failed
        self.slowest = max(self.slowest, other.slowest)


def judge(numbers: range, seed: int, every: int) -> Tally:
    """Break and judge the decks of these numbers."""
    tally = Tally()
    for number in numbers:
        data = broken(number, seed)
        begun = time.perf_counter()
        try:
            deck, told = judged(data)
        except Exception as error:
            tally.failed.append((number, f"{type(error).__name__}: {error}"[:600]))
            continue
        tally.slowest = max(tally.slowest, (time.perf_counter() - begun, number))
        tally.faults += len(told)
        tally.told.update({re.sub(r"[ ,].*", "", field) for field in told})
        if deck is None:
            tally.refused += 1
            continue
        tally.loaded += 1
        if tally.loaded % every == 0:
            try:
                tally.asked += ask(deck, number)
            except Exception as error:
                tally.failed.append((number, f"asked: {type(error).__name__}: {error}"[:600]))
    return tally


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--count", type=int, default=200_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--ask", type=int, default=20)
    parser.add_argument("--keep", type=Path, help="where to write the decks that failed")
    options = parser.parse_args()
    chunks = [
        range(begin, min(begin + CHUNK, options.count)) for begin in range(0, options.count, CHUNK)
    ]
    tally, begun = Tally(), time.perf_counter()
    with ProcessPoolExecutor(options.workers) as pool:
        for part in pool.map(partial(judge, seed=options.seed, every=options.ask), chunks):
            tally.add(part)
    print(f"{options.count} decks in {time.perf_counter() - begun:.0f} s, seed {options.seed}")
    print(
        f"refused {tally.refused}, with {tally.faults} faults in all; still loaded {tally.loaded}"
    )
    print(f"questions asked of those that loaded: {tally.asked}")
    print(f"slowest: {tally.slowest[0]:.2f} s, number {tally.slowest[1]}")
    print("decks in which a field was told:", dict(tally.told.most_common(40)))
    print(f"failed: {len(tally.failed)}")
    for number, what in tally.failed[:20]:
        print(f"  number {number}: {what}")
        if options.keep:
            options.keep.mkdir(parents=True, exist_ok=True)
            path = options.keep / f"{options.seed}-{number}.toml"
            path.write_bytes(broken(number, options.seed))
    return 1 if tally.failed else 0


if __name__ == "__main__":
    raise SystemExit(main())

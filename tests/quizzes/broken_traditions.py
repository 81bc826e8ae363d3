"""Very many broken traditions: no exception but our own, each fault with its place, the rest whole.

Run by hand: `.venv/bin/python -m tests.quizzes.broken_traditions [--count 50000] [--seed 1]`. Each
text is a whole tradition to which a few random things were done: signs and lines taken out, put in,
doubled and turned round, values made of another type, tables cut, nested and named anew, bytes that
are no letters. Prints how many had faults, how many faults there were, and what was wrong.
"""

from __future__ import annotations

import argparse
import random
import time
from collections import Counter
from collections.abc import Callable

from quizzes.ragas import ragas
from quizzes.stages.fitting import fits
from quizzes.stages.layouts import layouts
from quizzes.stages.tradition import form
from quizzes.talas import talas
from quizzes.talas.layakari import layakaris
from quizzes.tradition import read_words
from tests.quizzes.taught_raga import SHORT, as_tradition

BESIDE = """
[durga]
vadi = "D R"   # as taught here
confirmed = ["nyas", "phrases"]

[yaman.nyas]
is = "G N"

[tala.rupak]
tali = [1, 4, 6]
khali = []

[[tala.rupak.theka]]
bols = "tin tin na | dhi na | dhi na"

[tala.sevens]
name = "Sevens"
vibhags = [4, 3]
khali = [5]
laya = ["madhya"]
theka = [{ bols = "dha dhin dhin dha | tin tin ta" }]

[layakari.kuad]
ratio = "9/4"

[stage.jor]
name = "Jod"
heard = { tempo = [60, 120] }

[[order]]
first = "jor"
then = "alap"
strength = "usual"

[[fit]]
asks = "laya"
id = "very-slow"
why = "bears its weight"

[[layout]]
stage = "alap"
share = [0.3, 0.5]
"""
WHOLE = (f"{SHORT}{BESIDE}", f"{as_tradition()}{BESIDE}", BESIDE)
VALUES = (
    "3", "-1", "true", '""', '"x"', "[]", "{}", "[[]]", '[""]', "[7]", '{ is = 3 }', "1.5", "nan",
    "1979-05-27", '"S R G"', '"""\nS\n"""', "9" * 5000, '"' + "S " * 3000 + '"', '"\\u0000"',
    '["S R", 3]', '"D D"', "[{ sargam = 3 }]", '[{ sargam = "S R", confidence = "Z" }]',
)  # fmt: skip
SIGNS = "[]{}=\",'#\n.SrRgGmMPdDnN, -_\\\u0915\u2028\x00"
HEADINGS = (
    "[durga]", "[nope]", "[tala]", "[[tala]]", "[stage]", "[[stage]]", "[order]", "[[durga]]",
    "[mangal.notes]", "[[mangal.phrase]]", '["a b"]', "[a.b.c.d.e.f.g.h.i.j.k.l.m.n]", "[layout]",
    "[[fit]]", "[tala.mine]", "[yaman]", '[""]',
)  # fmt: skip

Line = list[str]


def _cut(lines: Line, luck: random.Random) -> None:
    del lines[luck.randrange(len(lines))]


def _double(lines: Line, luck: random.Random) -> None:
    lines.insert(luck.randrange(len(lines)), luck.choice(lines))


def _shuffle(lines: Line, luck: random.Random) -> None:
    one, other = luck.randrange(len(lines)), luck.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]


def _value(lines: Line, luck: random.Random) -> None:
    at = luck.randrange(len(lines))
    head, sign, _ = lines[at].partition("=")
    lines[at] = f"{head}= {luck.choice(VALUES)}" if sign else lines[at]


def _sign(lines: Line, luck: random.Random) -> None:
    at = luck.randrange(len(lines))
    place = luck.randint(0, len(lines[at]))
    taken = luck.randint(0, 2)
    put = "".join(luck.choice(SIGNS) for _ in range(luck.randint(0, 2)))
    lines[at] = lines[at][:place] + put + lines[at][place + taken :]


def _heading(lines: Line, luck: random.Random) -> None:
    lines.insert(luck.randrange(len(lines)), luck.choice(HEADINGS))


def _rename(lines: Line, luck: random.Random) -> None:
    at = luck.randrange(len(lines))
    _, sign, tail = lines[at].partition("=")
    others = [each.partition("=")[0] for each in lines if "=" in each]
    lines[at] = f"{luck.choice(others)}={tail}" if sign and others else lines[at]


CHANGES: tuple[Callable[[Line, random.Random], None], ...] = (
    _cut, _double, _shuffle, _value, _sign, _heading, _rename,
)  # fmt: skip


def broken(seed: int) -> str:
    """A tradition to which a few random things were done."""
    luck = random.Random(seed)
    lines = luck.choice(WHOLE).split("\n")
    for _ in range(luck.randint(1, 6)):
        luck.choice(CHANGES)(lines, luck)
        lines = lines or [""]
    text = "\n".join(lines)
    return text[: luck.randrange(len(text) + 1)] if luck.random() < 0.05 else text


def faults_of(text: str) -> tuple[str, ...]:
    """What is wrong with a text, told well; AssertionError where it is not, or what is left is not
    whole."""
    words = read_words(text, "mine.toml")
    lines = text.count("\n") + 1
    for fault in words.faults:
        assert fault.file == "mine.toml"
        assert 1 <= fault.line <= lines, fault
        assert fault.wrong.strip(), fault
        assert fault.remedy.strip(), fault
        assert "\n" not in str(fault), fault
    if words.faults and words.text:
        left = read_words(words.text)
        assert not left.faults, (words.text, [*map(str, left.faults)])
    for read in (ragas, talas, layakaris, form, fits, layouts):
        read(words.text)
    return tuple(fault.wrong for fault in words.faults)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=50_000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    begun, told, with_faults = time.monotonic(), Counter[str](), 0
    for number in range(options.count):
        seed = options.seed * 10_000_000 + number
        try:
            found = faults_of(broken(seed))
        except Exception:
            print(f"seed {seed}:\n{broken(seed)}")
            raise
        with_faults += bool(found)
        told.update(" ".join(wrong.split()[-4:]) for wrong in found)
    print(
        f"{options.count} traditions, {with_faults} with faults, {told.total()} faults, "
        f"{time.monotonic() - begun:.0f} s"
    )
    for wrong, count in told.most_common(20):
        print(f"{count:7} … {wrong}")


if __name__ == "__main__":
    main()

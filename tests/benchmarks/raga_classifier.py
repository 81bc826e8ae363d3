"""Do grown phrases sound like their raga: named by models of phrases, and by models of scales.

Run by hand: `python tests/benchmarks/raga_classifier.py [--phrases 40]`. It reads the files with
tomllib alone, trains one model of each raga on the phrases that its file lists and one on its aroha
and avaroha, and names phrases grown by the program by either: the share named first, and among the
first five, of all ragas. Then which ragas are taken for which, and whether the files call them
near.

A model is a trigram of swaras without their octave, since a phrase may lie in any saptak, each with
the direction in which it is come to; what was seen with two swaras before, with one, with none and
never is weighed as Witten and Bell (1991, doi 10.1109/18.87000) do, so that no constant is chosen.
"""

from __future__ import annotations

import argparse
import math
import sys
import tomllib
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

LETTERS = "SrRgGmMPdDnN"
CHOICES = len(LETTERS) * 3
"""Swaras with the directions in which they are come to."""

Steps = tuple[int, ...]
Sign = tuple[int, int]
"""A swara without its octave, and whether it is come to from below (1), above (-1) or neither."""


def steps(text: str) -> Steps:
    """`N, S R'` as semitones above middle Sa."""
    return tuple(
        LETTERS.index(word[0]) + 12 * (word.count("'") - word.count(",")) for word in text.split()
    )


def signs(phrase: Sequence[int]) -> list[Sign]:
    ways = [0, *((b > a) - (b < a) for a, b in pairwise(phrase))]
    return [(step % 12, way) for step, way in zip(phrase, ways, strict=True)]


class Model:
    """What is likely to follow what, of one raga."""

    def __init__(self, lines: Iterable[Sequence[int]]) -> None:
        self.counts: list[dict[tuple[Sign, ...], Counter[Sign]]] = [{}, {}, {}]
        for line in lines:
            heard = signs(line)
            for place, sign in enumerate(heard):
                for size in range(min(place, 2) + 1):
                    before = tuple(heard[place - size : place])
                    self.counts[size].setdefault(before, Counter())[sign] += 1

    def surprise(self, phrase: Sequence[int]) -> float:
        """In nats; the higher, the less like this raga."""
        heard = signs(phrase)
        return -sum(
            math.log(self._share(tuple(heard[max(place - 2, 0) : place]), sign))
            for place, sign in enumerate(heard)
        )

    def _share(self, before: tuple[Sign, ...], sign: Sign) -> float:
        fewer = self._share(before[1:], sign) if before else 1.0 / CHOICES
        counts = self.counts[len(before)].get(before)
        if counts is None:
            return fewer
        return (counts[sign] + len(counts) * fewer) / (counts.total() + len(counts))


def tables(folder: Path = ROOT / "assets" / "ragas") -> dict[str, dict]:
    """The raga files as they are."""
    found = {path.stem: tomllib.loads(path.read_text("utf-8")) for path in folder.glob("*.toml")}
    return {name: table for name, table in sorted(found.items()) if "phrase" in table}


def of_phrases(table: Mapping) -> Model:
    return Model([steps(phrase["sargam"]) for phrase in table["phrase"]])


def of_scales(table: Mapping) -> Model:
    return Model([steps(table["scale"]["aroha"]), steps(table["scale"]["avaroha"])])


def ranked(models: Mapping[str, Model], phrase: Sequence[int]) -> list[str]:
    """The ragas, likeliest first."""
    return sorted(models, key=lambda name: models[name].surprise(phrase))


def places(models: Mapping[str, Model], grown: Mapping[str, Sequence[Steps]]) -> list[int]:
    """At which place of the ranking, from 0, each grown phrase's own raga stands."""
    return [
        ranked(models, phrase).index(name) for name, phrases in grown.items() for phrase in phrases
    ]


def share_within(found: Sequence[int], first: int) -> float:
    return sum(place < first for place in found) / len(found)


def grown_phrases(names: Iterable[str], count: int) -> dict[str, list[Steps]]:
    from quizzes.fresh import Fresh
    from quizzes.ragas import grow, ragas

    return {
        name: [
            tuple(swara.steps for swara in grow(Fresh(f"classifier:{name}", seed), ragas()[name]))
            for seed in range(count)
        ]
        for name in names
    }


def confusions(
    models: Mapping[str, Model], grown: Mapping[str, Sequence[Steps]]
) -> Counter[tuple[str, str]]:
    """How often one raga's phrase was named another."""
    return Counter(
        (name, first)
        for name, phrases in grown.items()
        for phrase in phrases
        if (first := ranked(models, phrase)[0]) != name
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--phrases", type=int, default=40, help="of each raga")
    known = tables()
    grown = grown_phrases(known, parser.parse_args().phrases)
    by_phrases = {name: of_phrases(table) for name, table in known.items()}
    by_scales = {name: of_scales(table) for name, table in known.items()}
    for label, models in (("phrases", by_phrases), ("scales", by_scales)):
        found = places(models, grown)
        print(
            f"trained on {label:8} named first {share_within(found, 1):6.1%}   "
            f"among the first five {share_within(found, 5):6.1%}   of {len(known)} ragas, "
            f"{len(found)} phrases"
        )
    found = confusions(by_phrases, grown)
    near = {
        frozenset((name, each["raga"])) for name in known for each in known[name].get("near", ())
    }
    called = sum(count for pair, count in found.items() if frozenset(pair) in near)
    pairs = len(known) * (len(known) - 1) // 2
    print(
        f"of {found.total()} taken for another raga {called / max(found.total(), 1):.1%} were "
        f"taken for one called near ({len(near) / pairs:.1%} of all pairs are)"
    )
    for (name, first), count in found.most_common(25):
        told = "near" if frozenset((name, first)) in near else ""
        print(f"{count:4}  {name:20} named {first:20} {told}")


if __name__ == "__main__":
    main()

"""Every stage played in many ragas from many seeds, and listened to: is it as its description says?

Run by hand: `.venv/bin/python -m tests.quizzes.all_stage_passages [--seeds 20] [--ragas 10]
[--stages alap jor] [--show 2]`; it takes about ten minutes on one core. `stage_listener` hears each
passage from its sound alone, over its drone; its description is read from `stages.toml`. Prints, by
stage, the share of passages inside by feature; then how well a classifier names the stages of a
performance from what is heard, tried on ragas that it has not met, beside the same with loudness
alone. Exits with 1 where a stage or the classifier fails.
"""

from __future__ import annotations

import argparse
import math
import sys
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from audio.format import SAMPLE_RATE
from audio.render import render
from quizzes.fresh import Fresh
from quizzes.ragas.tradition import ragas
from quizzes.stages.passages import LONGEST_S, SHORTEST_S, bears, passage
from quizzes.stages.tradition import form
from tests.quizzes import stage_oracle as oracle
from tests.quizzes.stage_listener import Listened, listen

SA_HZ = 277.18
"""C sharp 4, the Sa of most sitars (common practice)."""
MORE_RAGAS = ("desh", "durga", "kafi", "bhairav", "bhairavi", "asavari", "marwa", "todi")
"""Beside those in which stages are usually played, for as many as are asked for."""
SAPTAKS = {"mandra": -12, "madhya": 0, "tar": 12}
"""Where each begins, in semitones from Sa."""
WIDER = 0.2
"""Strokes a second may lie outside the range by so large a share."""
UNDER_DRUMS = 0.3
"""So many fewer may be heard where a tabla is struck as well and hides some."""
SHAKEN = 0.4
"""So many more may be heard where swaras are shaken: some shakes are taken for strokes."""
CHIKARI_WIDER = 0.15
"""The chikari's share may be heard so much too large or too small, or by one blow: in a quick jhala
one in seven is taken for a played Sa."""
TEMPO_WIDER = 0.04
"""As in evaluations of tempo (Gouyon et al. 2006, IEEE Trans. Audio Speech Lang. Process. 14)."""
EDGE_STEPS = 2.0
"""A phrase that turns round Sa belongs to either saptak."""
LEAST_INSIDE = 0.9
"""Of a stage's passages, by each feature."""


@dataclass(frozen=True)
class Tried:
    """A passage and what was heard in it."""

    stage: str
    raga: str
    seed: int
    seconds: float
    heard: Listened

    @property
    def inside(self) -> dict[str, bool]:
        """By feature, whether what is heard is what the stage's description says."""
        return inside(self.stage, self.heard, self.seconds)


def inside(stage: str, heard: Listened, seconds: float) -> dict[str, bool]:
    """Compare with `[stage.heard]`; a feature that the description leaves out is not compared."""
    said = oracle.known().stages[stage]["heard"]
    one_blow = 1 / max(1, sum(blow.what != "drum" for blow in heard.blows))
    found = {
        "seconds": SHORTEST_S <= seconds <= LONGEST_S,
        "pulse": heard.has_pulse == ("tempo" in said),
        "tabla": heard.tabla == bool(said.get("talas")),
        "register": _lies(heard, said["register"], unfolds=not said.get("talas")),
        "chikari": _within(heard.chikari, said["chikari"], more=max(CHIKARI_WIDER, one_blow)),
        "strokes": _struck(heard, said),
    }
    if "tempo" in said:
        found["tempo"] = any(
            _within(60.0 / period, said["tempo"], times=TEMPO_WIDER) for period in heard.periods_s
        )
    return found


def _within(value: float, span: Sequence[float], *, more: float = 0.0, times: float = 0.0) -> bool:
    """`more` and `times` say by how much it may lie outside."""
    return span[0] * (1 - times) - more <= value <= span[1] * (1 + times) + more


def _struck(heard: Listened, said: dict) -> bool:
    """Whether strokes a second lie in the range, as far as the ear can count them."""
    fewer = UNDER_DRUMS if said.get("talas") else WIDER
    more = SHAKEN if said.get("shaken") or said.get("run") == "gamak" else WIDER
    low, high = said["strokes"]
    return low * (1 - fewer) <= heard.strokes <= high * (1 + more)


def _lies(heard: Listened, register: Sequence[str], *, unfolds: bool) -> bool:
    """The median lies in one of the saptaks; what unfolds goes from the first towards the last."""
    begins = [SAPTAKS[saptak] for saptak in register]
    lies = min(begins) - EDGE_STEPS <= heard.register <= max(begins) + 12 + EDGE_STEPS
    way = begins[-1] - begins[0]
    return lies and (way == 0 or not unfolds or math.copysign(1, way) * heard.way > -EDGE_STEPS)


def some_ragas(count: int) -> list[str]:
    """Those in which stages are usually played, and others."""
    return list(dict.fromkeys([*form().ragas, *MORE_RAGAS]))[:count]


def listened(
    stages: Iterable[str], raga_ids: Sequence[str], seeds: Iterable[int]
) -> Iterator[Tried]:
    """Play and listen; a raga that does not bear a stage is left out there."""
    known, seeds = form(), tuple(seeds)
    for name in stages:
        for raga in raga_ids:
            stage, played_in = known.stages[name], ragas("")[raga]
            if not bears(stage, played_in):
                continue
            for seed in seeds:
                fresh = Fresh(f"which-stage:{name}:{raga}", seed)
                sounds = passage(fresh, stage, played_in, sa_hz=SA_HZ, tuning="just")
                samples = render(sounds.score)
                heard = listen(samples, near_sa_hz=SA_HZ)
                yield Tried(name, raga, seed, len(samples) / SAMPLE_RATE, heard)


# The classifier.

NEIGHBOURS = 7


def features(heard: Listened) -> list[float]:
    """What is heard, in numbers that are about evenly spread; loudness is left out."""
    return [
        heard.pulse,
        math.log2(max(heard.tempo, 15.0)),
        math.log2(max(heard.notes_tempo, 15.0)),
        2.0 * heard.tabla,
        heard.register / 12,
        heard.low / 12,
        heard.high / 12,
        math.log2(max(heard.strokes, 0.1)),
        math.log2(max(heard.blows_a_second, 0.1)),
        2.0 * heard.chikari,
    ]


def named_rightly(tried: Sequence[Tried], numbers: np.ndarray, neighbours: int) -> float:
    """The share that the nearest neighbours name rightly among passages in other ragas, each stage
    counting alike."""
    names = np.array([each.stage for each in tried])
    in_raga = np.array([each.raga for each in tried])
    right: dict[str, list[bool]] = defaultdict(list)
    for raga in sorted(set(in_raga)):
        learned, asked = in_raga != raga, in_raga == raga
        mean, spread = numbers[learned].mean(axis=0), numbers[learned].std(axis=0) + 1e-9
        known, new = (numbers[learned] - mean) / spread, (numbers[asked] - mean) / spread
        far = ((new[:, None, :] - known[None, :, :]) ** 2).sum(axis=2)
        for name, order in zip(names[asked], far.argsort(axis=1), strict=True):
            near = Counter(names[learned][order[:neighbours]])
            right[name].append(near.most_common(1)[0][0] == name)
    return float(np.mean([np.mean(each) for each in right.values()]))


@dataclass(frozen=True)
class Named:
    """How well passages were named, each a share."""

    by_features: float
    by_loudness: float
    chance: float
    error: float
    """The standard error of naming by chance."""

    @property
    def is_well(self) -> bool:
        """The features name most, loudness about as many as chance."""
        return self.by_features > LEAST_NAMED and self.by_loudness < self.chance + LOUDNESS_TELLS


LEAST_NAMED = 0.75
LOUDNESS_TELLS = 0.1
"""Above chance: by so much it would help."""


def named(tried: Sequence[Tried], *, neighbours: int = NEIGHBOURS) -> Named:
    stages = {each.stage for each in tried}
    chance = 1 / len(stages)
    return Named(
        named_rightly(tried, np.array([features(each.heard) for each in tried]), neighbours),
        named_rightly(tried, np.array([[each.heard.lufs] for each in tried]), neighbours),
        chance,
        math.sqrt(chance * (1 - chance) / len(tried)),
    )


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seeds", type=int, default=20)
    parser.add_argument("--ragas", type=int, default=10)
    parser.add_argument("--stages", nargs="*", default=None)
    parser.add_argument("--show", type=int, default=1, help="how many passages outside to print")
    asked = parser.parse_args()
    stages = asked.stages or list(oracle.known().stages)
    columns = ("seconds", "pulse", "tempo", "tabla", "register", "chikari", "strokes")
    print(f"{'stage':22} {'n':>4} " + " ".join(f"{column:>8}" for column in columns) + "   LUFS")
    fails, performance = [], []
    for stage in stages:
        tried = list(listened([stage], some_ragas(asked.ragas), range(asked.seeds)))
        if stage in oracle.known().divisions["performance"]["parts"]:
            performance += tried
        shares = {
            column: np.mean([each.inside[column] for each in tried])
            for column in columns
            if column in tried[0].inside
        }
        low = [column for column, share in shares.items() if share < LEAST_INSIDE]
        fails += [f"{stage}: {column}" for column in low]
        cells = " ".join(
            f"{shares[column]:8.2f}" if column in shares else f"{'-':>8}" for column in columns
        )
        lufs = np.array([each.heard.lufs for each in tried])
        print(
            f"{stage:22} {len(tried):4} {cells}  {lufs.mean():6.1f} ± {lufs.std():.1f}", flush=True
        )
        for column in low:
            outside = [each for each in tried if not each.inside[column]]
            for each in outside[: asked.show]:
                print(f"    {column}: {each.raga} seed {each.seed}: {told(each.heard)}")
    if len({each.stage for each in performance}) > 1:
        found = named(performance)
        print(
            f"stages of a performance named by what is heard {found.by_features:.3f}, "
            f"by loudness alone {found.by_loudness:.3f}, by chance {found.chance:.3f} "
            f"± {found.error:.3f}"
        )
        if not found.is_well:
            fails.append("the classifier")
    print("outside: " + (", ".join(fails) or "nothing"))
    return 1 if fails else 0


def told(heard: Listened) -> str:
    """A line of what is heard."""
    tempi = " ".join(f"{60.0 / period:.0f}" for period in heard.periods_s[:6])
    return (
        f"pulse {heard.pulse:.2f} at {tempi or '-'}, strokes {heard.strokes:.2f}, "
        f"chikari {heard.chikari:.2f}, register {heard.register:.0f} "
        f"({heard.low:.0f} to {heard.high:.0f}, way {heard.way:+.0f}), tabla {heard.tabla}"
    )


if __name__ == "__main__":
    sys.exit(main())

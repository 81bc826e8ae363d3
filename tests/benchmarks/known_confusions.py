"""Whether what made-up students mishear is what the picture and the page show first.

Run by hand: `python tests/benchmarks/known_confusions.py [--students 12] [--days 20]`. Each student
practises a quarter of an hour a day in a real practice, its questions really made and its answers
kept in a real log; a few things are always likely to be heard as another, all else is known with a
chance of its own, and where it is not, one of the choices is guessed. Told are

- at which places of the list of what is taken for what the true confusions stand, beside a peer
  that counts wrong answers without regard to how often each was asked;
- how often the intervals hold the truth, at the rate of 95 % that they state: of each skill, the
  chance that it is known (luck taken out), and of each confusion, its share;
- the same coverage from draws alone, for few answers and many, where nothing is planned or chosen.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from practice import Mode, Practice
from practice.gaps import gaps_of
from practice.pages.confusions import confusions_in, heard_as
from practice.pages.topic import topic_of
from practice.pairs import Pair, worst_pairs
from practice.recording import Recorder
from practice.settings import Settings, save_settings
from practice.sounding import Instrument
from practice.standing import Standing
from practice.steps import StepMaker, Student
from practice.thresholds import Thresholds
from quizzes.catalogue import kind_of
from quizzes.question import Question
from scheduler import Proportion

START = datetime(2026, 3, 2, 17, tzinfo=UTC)
ANSWER_S, MINUTES = 4.0, 15.0
CONFUSED_OFTEN = 0.6
"""How likely a true confusion is heard where both are offered."""
LISTED = 10
"""So long a list of confusions is looked at."""
LEAST_ASKED = 5
"""A confusion that was hardly ever offered cannot be seen by anybody."""

KNOWN = (
    (("gap:S-G:up", "S-m"), ("gap:S-R:up", "S-G"), ("swara:R", "G")),
    (("gap:S-P:up", "S-m"), ("swara:D", "N"), ("gap:S-D:up", "S-P")),
    (("gap:S-m:up", "S-P"), ("swara:G", "m"), ("gap:S-R:up", "S-D")),
    (("swara:m", "P"), ("gap:S-S':up", "S-D"), ("gap:S-G:up", "S-R")),
)
"""Skill and the wrong answer that is heard for it, one row a student, in turn."""


@dataclass
class Hearing:
    """What a made-up student hears."""

    number: int
    confusions: dict[str, str] = field(init=False)
    knows: dict[str, float] = field(default_factory=dict)
    drawn: random.Random = field(init=False)
    shares: defaultdict[tuple[str, str], list[float]] = field(
        default_factory=lambda: defaultdict(list)
    )
    """Skill and wrong answer → at each question on the skill, the chance that it is given."""

    def __post_init__(self) -> None:
        self.confusions = dict(KNOWN[self.number % len(KNOWN)])
        self.drawn = random.Random(self.number)

    def known(self, skill: str) -> float:
        """The chance with which a skill that is not confused is known."""
        if skill not in self.knows:
            self.knows[skill] = random.Random(f"{self.number} {skill}").uniform(0.6, 1.0)
        return self.knows[skill]

    def answer(self, question: Question, told: bool) -> str:
        right = question.right[0]
        if told:
            return right
        wrong = self.confusions.get(question.skill)
        offered = [choice.id for choice in question.choices]
        if question.answer_on not in ("choices", "string", "wheel"):
            return right
        if wrong is not None:
            is_offered = wrong in offered
            self.shares[question.skill, wrong].append(CONFUSED_OFTEN if is_offered else 0.0)
            if is_offered and self.drawn.random() < CONFUSED_OFTEN:
                return wrong
            return right
        if self.drawn.random() < self.known(question.skill):
            return right
        return self.drawn.choice(sorted(question.possible or offered))


def practise(folder: Path, hearing: Hearing, days: int) -> tuple[Practice, datetime]:
    """So many days of practice in `folder`; the practice, still open, and the time at its end."""
    save_settings(Settings(student_name=f"Student {hearing.number}"), folder)
    now = START

    def clock() -> datetime:
        return now

    seeds = iter(range(1, 10**9))
    practice = Practice(folder, speaker="silence", now=clock, seeds=lambda: next(seeds))
    for day in range(days):
        now = START + timedelta(days=day)
        plan = practice._plan(practice.modes().asked(Mode()), MINUTES, now, next(seeds))
        settings = practice.settings
        student = Student(
            settings.student_id, settings.device_id, settings.sa_hz, "just", "swara", practice.given
        )
        maker = StepMaker(
            plan=plan,
            student=student,
            instrument=Instrument(False, False, practice.shelf.recordings),
            thresholds=Thresholds(),
            seeds=lambda: next(seeds),
            now=clock,
        )
        recorder = Recorder(practice._log.append, student, clock)
        passed_s, number = 0.0, 1
        while ready := maker.make(number, seconds_left=60.0 * MINUTES - passed_s):
            step, number = ready.step, number + 1
            passed_s += plan.items[step.question.skill].seconds
            now = START + timedelta(days=day, seconds=passed_s)
            given = hearing.answer(step.question, step.introduction is not None)
            mark = kind_of(step.question.skill).mark(step.question, given)
            steady_s = 86_400.0 * day + passed_s
            plan.answered(recorder.record(step, given, mark, steady_s, steady_s - ANSWER_S))
            maker.heard(step.question.skill, right=mark.right)
        practice._remember()
    return practice, now


def places(hearing: Hearing, shown: list[tuple[str, str]]) -> Iterator[int | None]:
    """Where in what is shown each true confusion stands that was met often enough, from 1."""
    for skill, wrong in hearing.confusions.items():
        if sum(share > 0 for share in hearing.shares.get((skill, wrong), ())) >= LEAST_ASKED:
            yield shown.index((skill, wrong)) + 1 if (skill, wrong) in shown else None


def by_ids(pairs: tuple[Pair, ...]) -> list[tuple[str, str]]:
    """Skill asked and id given of each."""
    found = []
    for pair in pairs:
        skill = pair.asked_in[0] if len(pair.asked_in) == 1 else pair.skills[0]
        found.append((skill, pair.given.rpartition(":")[0] if ":" in pair.given else pair.given))
    return found


def on_page(standing: Standing) -> list[tuple[str, str]]:
    """The same of what stands on the lesson page, told by its words."""
    every = worst_pairs(standing, most=1000)
    said = [heard_as(standing, pair) for pair in every]
    ids = dict(zip(said, by_ids(every), strict=True))
    return [ids[one.words] for one in confusions_in(standing, topic_of(standing))]


def wrong_answers(standing: Standing) -> list[tuple[str, str]]:
    """A peer: wrong answers by how often they were given, the most first."""
    counts: Counter[tuple[str, str]] = Counter()
    for skill in standing.history.given:
        for (right, given), count in standing.history.answers(skill).items():
            if right != given:
                counts[skill, given] += count
    return [pair for pair, _ in counts.most_common(LISTED)]


def intervals_of(hearing: Hearing, standing: Standing) -> Iterator[tuple[str, bool]]:
    """For each interval that is shown: of what it is, and whether it holds the truth."""
    for skill in standing.history.weeks:
        found = standing.history.tally(skill).proportion
        if skill not in hearing.confusions and skill in hearing.knows and found.asked:
            low, high = found.known_interval
            size = "few" if found.is_few else "many"
            yield f"known, {size}", low - 1e-9 <= hearing.knows[skill] <= high + 1e-9
    for (skill, wrong), shares in hearing.shares.items():
        asked = sum(standing.history.answers(skill).values())
        count = sum(
            n for (_, given), n in standing.history.answers(skill).items() if given == wrong
        )
        if asked:
            low, high = Proportion(count, asked).interval
            yield "confusion", low <= sum(shares) / len(shares) <= high


def students(count: int, days: int) -> None:
    ours: list[int | None] = []
    page: list[int | None] = []
    peer: list[int | None] = []
    holds: defaultdict[str, list[bool]] = defaultdict(list)
    for number in range(count):
        hearing = Hearing(number)
        with tempfile.TemporaryDirectory() as name:
            practice, _ = practise(Path(name), hearing, days)
            standing = practice.standing()
            ours += places(hearing, by_ids(worst_pairs(standing, most=LISTED)))
            page += places(hearing, on_page(standing))
            peer += places(hearing, wrong_answers(standing))
            weakest = {gap.skill for gap in gaps_of(standing)[:LISTED]}
            met = (skill for (skill, _), shares in hearing.shares.items() if any(shares))
            holds[f"gaps among the {LISTED} shakiest of the picture"] += [
                skill in weakest for skill in met if skill.startswith("gap:")
            ]
            for what, is_held in intervals_of(hearing, standing):
                holds[what].append(is_held)
            practice.close()
    tell_places("what is taken for what", ours)
    tell_places("the lesson page", page)
    tell_places("peer: wrong answers counted", peer)
    for what, held in sorted(holds.items()):
        if held:
            print(f"  {what}: {sum(held)} of {len(held)}, {100 * sum(held) / len(held):.1f} %")


def tell_places(what: str, found: list[int | None]) -> None:
    first = sum(place is not None and place <= 3 for place in found)
    missing = found.count(None)
    placed = sorted(place for place in found if place is not None)
    print(
        f"  {what}: {first} of {len(found)} among the first three, {missing} not listed; {placed}"
    )


def draws(times: int = 4000) -> None:
    """Coverage where answers are drawn and nothing else: by how many, the chance of luck and what
    is known."""
    drawn = random.Random(1)
    print("\nof draws: share of intervals that hold what is known, in %")
    for asked in (3, 5, 10, 20, 50, 200):
        cells = []
        for luck, known in ((0.0, 0.5), (0.2, 0.8), (0.25, 0.3), (0.5, 0.7), (0.33, 0.95)):
            right_chance = known + (1 - known) * luck
            held = 0
            for _ in range(times):
                right = sum(drawn.random() < right_chance for _ in range(asked))
                low, high = Proportion(right, asked, luck * asked).known_interval
                held += low <= known <= high
            cells.append(f"{100 * held / times:5.1f}")
        print(f"  {asked:4} answers: {'  '.join(cells)}")
    print("  (luck, known): (0, .5) (.2, .8) (.25, .3) (.5, .7) (.33, .95)")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--students", type=int, default=12)
    parser.add_argument("--days", type=int, default=20)
    asked = parser.parse_args()
    print(f"{asked.students} students, {asked.days} days")
    students(asked.students, asked.days)
    draws()


if __name__ == "__main__":
    main()

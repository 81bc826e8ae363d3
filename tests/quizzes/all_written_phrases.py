"""What writing without hearing earns in dictation, and how often the likeliest line comes.

`python -m tests.quizzes.all_written_phrases --count 400` prints, for every skill of `write` and for
three students, the mean credit of the best of several ways of writing blindly, and how often the
line that comes oftenest does beside the chance of luck that is told. `test_dictation.py` judges a
sample.
"""

import argparse
import random
from collections import Counter

from quizzes import Setting
from quizzes.kinds.write import WriteKind, asked

MET = tuple(f"swara:{letter}" for letter in "SRGmPDN")
STUDENTS = {
    "who has met nothing": Setting(sa_hz=138.59),
    "who has met seven swaras": Setting(sa_hz=138.59, met=MET),
    "who has begun three ragas": Setting(
        sa_hz=138.59, met=MET, ragas=("bhupali", "yaman", "darbari")
    ),
}


def blind_lines(question, count, former, chance):
    """Lines that can be written without hearing anything, by what they are called."""
    letters = [choice.id for choice in question.choices]
    up_and_down = letters + letters[-2:0:-1]
    yield "Sa alone", ["S"] * count
    yield "one swara", [letters[len(letters) // 2]] * count
    yield "up and down", [up_and_down[at % len(up_and_down)] for at in range(count)]
    yield "any swaras", [chance.choice(letters) for _ in range(count)]
    yield "as many as fit", (letters * question.places)[: question.places]
    at, near = chance.randrange(len(letters)), []
    for _ in range(count):
        near.append(letters[at])
        at = max(0, min(len(letters) - 1, at + chance.choice((-2, -1, 1, 2))))
    yield "swaras near to each other", near
    if former:
        yield "what was right once", [former[0]]
        yield "what was right lately", [former[-1]]


def blind_credit(skill, setting, count):
    """The mean credit of each way of writing blindly, over so many questions."""
    kind, chance, former = WriteKind(), random.Random(skill), []
    earned = Counter()
    for seed in range(count):
        question = kind.make(skill, seed=seed, setting=setting)
        for name, words in blind_lines(question, asked(skill)[1].count, former, chance):
            try:
                earned[name] += kind.mark(question, " ".join(words)).credit
            except KeyError:  # what was right once holds swaras that are not offered now
                earned[name] += 0.0
        former.append(question.right[0])
    return {name: credit / count for name, credit in earned.items()}


def likeliest(skill, setting, count):
    """How often the line comes that comes oftenest, and the chance of luck, as told."""
    kind = WriteKind()
    made = [kind.make(skill, seed=seed, setting=setting) for seed in range(count)]
    lines = Counter(question.right[0] for question in made)
    return max(lines.values()) / count, sum(question.luck for question in made) / count


def main():
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--count", type=int, default=200)
    count = parser.parse_args().count
    for student, setting in STUDENTS.items():
        print(student)
        for skill in WriteKind().skills():
            earned = blind_credit(skill.id, setting, count)
            best = max(earned, key=earned.get)
            often, luck = likeliest(skill.id, setting, count)
            print(
                f"  {skill.id:18} {earned[best]:6.3f} by {best:26} "
                f"likeliest line {often:.4f}, told {luck:.4f}"
            )


if __name__ == "__main__":
    main()

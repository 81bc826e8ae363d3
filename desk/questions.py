"""`main.py questions`: questions of one kind as JSON lines, and their cues as sound files."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from audio import render
from audio.wav import write_wav
from desk.options import add_sa, add_seed, add_tradition, add_tuning, tradition_of, whole_between
from desk.writing import refuse
from quizzes import (
    Question,
    Setting,
    UnknownSkill,
    kind_of,
    load_course,
    make_question,
    skill_of,
)
from quizzes.catalogue import added_skills, hears_teacher, is_asked
from quizzes.kept import skills_of
from quizzes.kinds import OWN_KINDS
from quizzes.wheel import Wheel

MOST_QUESTIONS = 100_000

EXAMPLES = """\
examples:
  main.py questions gap --count 5 --seed 7 --sound cues
  main.py questions raga-vadi --skill raga-vadi:durga --tradition my_teacher.toml
"""


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    parser = commands.add_parser(
        "questions",
        help="write questions of one kind, one JSON object to a line",
        description=(
            "Write questions of one kind as JSON lines: kind, skill, seed, prompt, choices, "
            "answer_on, places, whole, right, why, cue (as sargam) and Sa in hertz. The same seed "
            "gives the same questions."
        ),
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("kind", choices=OWN_KINDS, help="what is asked; see main.py kinds")
    parser.add_argument(
        "--count",
        metavar="N",
        type=whole_between(1, MOST_QUESTIONS, "how many"),
        default=20,
        help="how many questions (%(default)s unless given)",
    )
    add_seed(parser, "where to begin; another number gives other questions")
    parser.add_argument("--skill", help="ask this skill only, such as gap:R-P:up")
    parser.add_argument(
        "--names",
        choices=("swara", "size"),
        default="swara",
        help="name gaps by their swaras, or also by semitones, ratio and Western name",
    )
    add_sa(parser)
    add_tuning(parser)
    add_tradition(parser)
    parser.add_argument(
        "--sound", metavar="FOLDER", type=Path, help="also write each cue there as a WAV file"
    )
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    if options.tradition is not None and not hears_teacher(options.kind):
        return refuse(
            "--tradition is a teacher's word on ragas, talas and the stages of a performance; "
            f"{options.kind} asks of none of them."
        )
    if options.skill is not None:
        _check_skill(options)
    for number, question in enumerate(make_questions(options), 1):
        line = as_line(question)
        if options.sound is not None:
            path = options.sound / f"{question.kind}-{number:05d}.wav"
            path.parent.mkdir(parents=True, exist_ok=True)
            write_wav(path, render.blocks(question.cue))
            line["sound"] = str(path)
        json.dump(line, sys.stdout, ensure_ascii=False)
        sys.stdout.write("\n")
    return 0


def _check_skill(options: argparse.Namespace) -> None:
    """Raises UnknownSkill where this kind does not ask it, or not in the teacher's tradition."""
    tradition = tradition_of(options)
    if skill_of(options.skill, tradition).kind != options.kind:
        raise UnknownSkill(
            f"{options.skill!r} is no skill of {options.kind}; "
            f"`main.py kinds {options.kind}` lists them"
        )
    if not is_asked(options.skill, tradition):
        raise UnknownSkill(f"{options.skill!r} is not asked where a teacher has it so")


def make_questions(options: argparse.Namespace) -> Iterator[Question]:
    """The skills of this kind in turn, all of them met: those of the first course if it has any."""
    tradition = tradition_of(options)
    of_course = [s.id for s in load_course().skills if s.kind == options.kind]
    known = of_course or [s.id for s in skills_of(options.kind)]
    known += [s.id for s in added_skills(tradition) if s.kind == options.kind]
    met = tuple(skill for skill in known if is_asked(skill, tradition))
    skills = met if options.skill is None else (options.skill,)
    setting = Setting(
        sa_hz=options.sa,
        tuning=options.tuning,
        names=options.names,
        met=met,
        tradition=tradition,
    )
    for index in range(options.count):
        yield make_question(skills[index % len(skills)], seed=options.seed + index, setting=setting)


def as_line(question: Question) -> dict[str, Any]:
    """What a reader outside needs of a question, as JSON values."""
    explanation = kind_of(question.skill).explain(question, question.right[0])
    return {
        "kind": question.kind,
        "skill": question.skill,
        "seed": question.seed,
        "prompt": question.prompt,
        "answer_on": question.answer_on,
        "choices": [{"id": choice.id, "label": choice.label} for choice in question.choices],
        "places": question.places,
        "whole": question.whole,
        "cycle": None if question.wheel is None else _cycle(question.wheel),
        "right": list(question.right),
        "why": explanation.why,
        "cue": question.sargam,
        "sa_hz": question.cue.sa_hz,
        "detail": dict(question.detail),
    }


def _cycle(wheel: Wheel) -> dict[str, Any]:
    """The picture of a cycle that is shown with the question; of a blind one its length alone."""
    form = wheel.form
    if wheel.blind:
        return {"matras": form.matras}
    return {
        "matras": form.matras,
        "vibhags": list(form.vibhags),
        "tali": list(form.tali),
        "khali": list(form.khali),
    }

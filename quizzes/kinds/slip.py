"""`slip`: a student runs a palta and slips once: in which group; or what went wrong in it?

`slip:swara`, `slip:timing`, `slip:dropped` and `slip:stroke` ask where, each of one sort of slip;
`slip:which` asks of which sort it was.
"""

from __future__ import annotations

from collections.abc import Iterator

from audio.sargam import write
from quizzes.errors import not_asked
from quizzes.explanation import Explanation, Marked
from quizzes.fresh import Fresh
from quizzes.kinds.slip_sound import (
    DROPPED,
    SORTS,
    TIMING,
    Run,
    Slip,
    beside_clean,
    cue_of,
    fresh_run,
    fresh_slip,
    line_of,
    slip_in,
    slowly,
)
from quizzes.kinds.slip_words import (
    WHICH,
    choices_of,
    describe,
    introduced,
    name_of,
    played_instead,
    prompt_of,
    skill_of,
)
from quizzes.levels import Level
from quizzes.met import ALSO_MET
from quizzes.names import counted, swara_name
from quizzes.question import Mark, Question, Setting, Skill
from words import in_script, say, to_say

FINEST, TYPICAL, CLEAR, COARSEST = 5.0, 14.0, 30.0, 40.0
"""How early or late a note is, in per cent of its time. Musicians find out 2.5 % where a tone of an
even row is displaced (Friberg & Sundberg 1995); here the note stands in a melody of which the place
is not known, so the finest is twice that (assumption). Less than half of a note is the coarsest,
lest it be heard as another rhythm."""

LEFT_OUT = "-"
"""In a drawing, as a hold is written."""


class SlipKind:
    name = "slip"
    title = to_say("A student runs a palta and slips once: where, or how?")
    also_met = ALSO_MET

    def skills(self) -> tuple[Skill, ...]:
        return tuple(map(skill_of, (*SORTS, WHICH)))

    def name_of(self, skill: str) -> str:
        return name_of(_asked(skill))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        what = _asked(skill)
        run, slip = _drawn(skill, seed, setting)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=prompt_of(what, run),
            choices=choices_of(what),
            right=(slip.sort if what == WHICH else str(slip.group + 1),),
            cue=cue_of(run, setting, slip),
            sargam=write(line_of(run, slip)),
            detail=_detail(what, run, slip),
        )

    def mark(self, question: Question, given: str) -> Mark:
        question.choice(given)
        return Mark(float(given in question.right))

    def explain(self, question: Question, given: str) -> Explanation:
        setting = question.setting
        run, slip = _drawn(question.skill, question.seed, setting)
        right = given in question.right
        other = slip if right else _instead(question, run, slip, given)
        played = beside_clean(run, setting, slip)
        clean = say("The run as it was played is followed by the same run clean.")
        return Explanation(
            right_label=question.choice(question.right[0]).label,
            given_label=question.choice(given).label,
            why=f"{describe(run, slip)} {clean}",
            right_cue=played,
            given_cue=None if right else cue_of(run, setting, other),
            given_plays="" if right else played_instead(slip, other),
            slow_cue=slowly(run, setting, slip),
            drawn=tuple(_marked(run, slip)),
            right_written=in_script(f"{write(line_of(run, slip))} / {write(line_of(run))}"),
            given_written="" if right else in_script(write(line_of(run, other))),
        )

    def level(self, skill: str) -> Level | None:
        if _asked(skill) != TIMING:
            return None
        return Level(to_say("% of a note"), FINEST, COARSEST, TYPICAL, CLEAR)

    def several(self, count: int) -> str:
        return counted(count, "{number} slip to hear", "{number} slips to hear")

    def introduce(self, question: Question) -> str:
        _, slip = _drawn(question.skill, question.seed, question.setting)
        return introduced(_asked(question.skill), slip)


def _drawn(skill: str, seed: int, setting: Setting) -> tuple[Run, Slip]:
    """All that is drawn for a question."""
    what, fresh = _asked(skill), Fresh(skill, seed)
    run = fresh_run(fresh, setting)
    sort = fresh.one_of(SORTS) if what == WHICH else what
    level = CLEAR if what == WHICH or setting.level is None else setting.level
    return run, fresh_slip(fresh, run, sort, off=level / 100.0)


def _detail(what: str, run: Run, slip: Slip) -> dict[str, object]:
    at = {"group": slip.group + 1, "place": slip.place + 1, "palta": run.palta.id}
    return {**at, "level": 100.0 * abs(slip.off)} if what == TIMING else at


def _instead(question: Question, run: Run, slip: Slip, given: str) -> Slip:
    """The same run with the slip that was answered."""
    places = [slip.place, *(place for place in range(1, run.palta.swaras) if place != slip.place)]
    if _asked(question.skill) == WHICH:
        return slip_in(run, given, slip.group, places, slip.off or CLEAR / 100.0)
    return slip_in(run, slip.sort, int(given) - 1, places, slip.off)


def _marked(run: Run, slip: Slip) -> Iterator[Marked]:
    """The swaras of the run as it was played, each at its time."""
    matra_s, fault = 60.0 / run.tempo, run.at(slip.group, slip.place)
    late_s = slip.off * run.note_s
    for at, note in enumerate(line_of(run).notes()):
        swara = slip.sounded if at == fault else note.swara
        yield Marked(
            start_s=float(note.onset) * matra_s + (late_s if at == fault else 0.0),
            end_s=float(note.end) * matra_s + (late_s if at == fault - 1 else 0.0),
            label=LEFT_OUT if at == fault and slip.sort == DROPPED else swara_name(swara),
            deciding=at == fault,
        )


def _asked(skill: str) -> str:
    """What is asked: one of SORTS, or WHICH. Raises UnknownSkill."""
    kind, _, what = skill.partition(":")
    if kind != "slip" or what not in (*SORTS, WHICH):
        raise not_asked(skill, "slip")
    return what

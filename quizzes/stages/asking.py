"""What all kinds of question about the stages of a performance share."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from quizzes.fresh import Fresh
from quizzes.names import capital
from quizzes.question import Setting, Skill
from quizzes.ragas.raga import Raga
from quizzes.ragas.tradition import ragas
from quizzes.stages.passages import bears
from quizzes.stages.stage import Form, Stage
from quizzes.stages.tradition import form
from quizzes.taught import TaughtKind
from words import language, say


class StageKind(TaughtKind):
    """A kind that asks of stages as the student's teacher has them."""

    plays_in_ragas = True

    def skills_taught(self, tradition: str) -> tuple[Skill, ...]:
        return self.skills_of(form(tradition))

    def skills_of(self, known: Form) -> tuple[Skill, ...]:
        """All that can be asked where a performance unfolds so. Overridden by each kind."""
        raise NotImplementedError


def stages_in(skills: Iterable[str], known: Form) -> frozenset[str]:
    """The stages of which these skills ask; a skill of this kind ends with its stage."""
    return frozenset(skill.rpartition(":")[2] for skill in skills) & known.stages.keys()


def raga_for(fresh: Fresh, setting: Setting, known: Form) -> Raga:
    """The raga in which a question is played: one that the student has begun, else a usual one."""
    all_ragas = ragas(setting.tradition)
    begun = [raga for raga in setting.ragas if raga in all_ragas]
    return all_ragas[fresh.one_of(begun or known.ragas)]


def raga_suiting(fresh: Fresh, setting: Setting, known: Form, stages: Sequence[str]) -> Raga:
    """A raga that bears all these stages, in the order that is usual: one that lives high may turn
    the way through the saptaks round. Begun ones come first, then usual ones."""
    all_ragas, asked = ragas(setting.tradition), [known.stages[stage] for stage in stages]
    by_saptak = any(_keeps_to_one(stage) for stage in asked)
    begun = [raga for raga in setting.ragas if raga in all_ragas]
    for one in (*fresh.shuffled(begun), *fresh.shuffled(known.ragas), *all_ragas):
        raga = all_ragas[one]
        if not (by_saptak and _lives_high(raga)) and all(bears(stage, raga) for stage in asked):
            return raga
    return raga_for(fresh, setting, known)


def _keeps_to_one(stage: Stage) -> bool:
    """Whether a stage is one of a saptak, low or high."""
    return len(stage.heard.register) == 1 and stage.heard.register[0] != "madhya"


def _lives_high(raga: Raga) -> bool:
    return "tar" in raga.register.value and "mandra" not in raga.register.value


THEN = "\u00a0› "
"""Between two stages in an order; no line begins with the sign."""


def named(known: Form, stages: Sequence[str]) -> str:
    """Stages by name, in this order."""
    return THEN.join(title_of(known, stage) for stage in stages)


def title_of(known: Form, stage: str) -> str:
    """`Jor`, `Jhala of the alap`: what it is called by itself, as in a list."""
    return say(known.stages[stage].name)


def stage_name(known: Form, stage: str, *, begins: bool = False) -> str:
    """`jor`, `the drut gat`, `the jhala of the alap`; at the beginning of a sentence `Jor`."""
    written, name = known.stages[stage].name, title_of(known, stage)
    if language() == "en":  # others write a name in one way
        name = name[:1].lower() + name[1:]
    is_one_of_a_kind = " of " in written or (" " in written and known.whole_of(stage).ordered)
    if is_one_of_a_kind and not written.casefold().startswith("the "):
        name = say("the {stage}", stage=name)
    return capital(name) if begins else name

"""What `slip` asks, in ids and in words."""

from __future__ import annotations

from quizzes.kinds.slip_sound import DROPPED, GROUPS, SORTS, STROKE, SWARA, TIMING, Run, Slip
from quizzes.names import capital, number_word, ordinal, swara_name
from quizzes.question import Choice, Skill
from words import say, to_say

WHICH = "which"
"""What sort of slip it was; of the sorts themselves it is asked where."""

PROMPTS = {
    SWARA: to_say("In which group is a swara wrong?"),
    TIMING: to_say("In which group does a note come early or late?"),
    DROPPED: to_say("In which group is a note left out?"),
    STROKE: to_say("In which group is a stroke swallowed?"),
    WHICH: to_say("What went wrong in it?"),
}
LABELS = {
    SWARA: to_say("A wrong swara"),
    TIMING: to_say("A note early or late"),
    DROPPED: to_say("A note left out"),
    STROKE: to_say("A stroke swallowed"),
}
NAMES = {
    SWARA: to_say("a wrong swara in a student's palta"),
    TIMING: to_say("a note early or late in a student's palta"),
    DROPPED: to_say("a note left out of a student's palta"),
    STROKE: to_say("a stroke swallowed in a student's palta"),
    WHICH: to_say("what goes wrong in a student's palta"),
}
ABOUT = {
    SWARA: to_say("one swara is wrong, and lies beside the right one"),
    TIMING: to_say("one note comes early or late, and the next one is in time again"),
    DROPPED: to_say("one note is left out, and the one before it rings on in its time"),
    STROKE: to_say("one stroke is swallowed: the fingers sound the swara, but nothing strikes it"),
}


def prompt_of(what: str, run: Run) -> str:
    runs = say(
        "A student runs a palta, {groups} groups of {swaras}.",
        groups=number_word(GROUPS),
        swaras=number_word(run.palta.swaras),
    )
    return f"{runs} {say(PROMPTS[what])}"


def choices_of(what: str) -> tuple[Choice, ...]:
    """The groups in their order; or the sorts of slips in theirs."""
    if what == WHICH:
        return tuple(Choice(sort, say(LABELS[sort])) for sort in SORTS)
    return tuple(Choice(str(n + 1), _group(n)) for n in range(GROUPS))


def _group(group: int) -> str:
    return say("The {group} group", group=ordinal(group))


def played_instead(slip: Slip, other: Slip) -> str:
    """What is played of an answer that is not right."""
    if other.sort != slip.sort:
        return say("the run with the slip that you named")
    return say("the run with the slip in the {group} group", group=ordinal(other.group))


def introduced(what: str, slip: Slip) -> str:
    """What is heard, before the skill is first asked."""
    meant = say(ABOUT[slip.sort])
    if what == WHICH:
        return say(
            "A student's run of a palta with one slip: a wrong swara, a note early or late, a "
            "note left out or a stroke swallowed. Here {meant}. Then comes the same run clean.",
            meant=meant,
        )
    return say(
        "A student's run of a palta in which {meant}. Then comes the same run clean.", meant=meant
    )


def name_of(what: str) -> str:
    """`A wrong swara in a student's palta`."""
    return capital(say(NAMES[what]))


def skill_of(what: str) -> Skill:
    return Skill(
        id=f"slip:{what}",
        kind="slip",
        name=name_of(what),
        family="perception",
        cluster="slips",
        chance=1 / len(choices_of(what)),
        seconds=16.0,
    )


def describe(run: Run, slip: Slip) -> str:
    """What went wrong and where, in one sentence."""
    at = run.at(slip.group, slip.place)
    told = _EARLY if slip.sort == TIMING and slip.off < 0 else _WENT_WRONG[slip.sort]
    return say(
        told,
        place=ordinal(slip.place),
        group=ordinal(slip.group),
        right=swara_name(run.swaras[at]),
        sounded=swara_name(slip.sounded),
        ms=round(1000 * abs(slip.off) * run.note_s),
        part=f"{100 * abs(slip.off):.0f}",
    )


_WENT_WRONG = {
    SWARA: to_say("The {place} swara of the {group} group was {sounded} where {right} belongs."),
    TIMING: to_say(
        "The {place} swara of the {group} group, {right}, came {ms} ms late: {part} % of a note."
    ),
    DROPPED: to_say(
        "The {place} swara of the {group} group, {right}, was left out; {sounded} rang on in its "
        "time."
    ),
    STROKE: to_say(
        "The {place} swara of the {group} group, {right}, had no stroke of its own: it sounded on "
        "the one before."
    ),
}
_EARLY = to_say(
    "The {place} swara of the {group} group, {right}, came {ms} ms early: {part} % of a note."
)

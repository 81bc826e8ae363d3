"""What `slip` asks, in ids and in words."""

from __future__ import annotations

from quizzes.kinds.slip_sound import DROPPED, GROUPS, SORTS, STROKE, SWARA, TIMING, Run, Slip
from quizzes.names import ORDINALS, capital, number_word, swara_name
from quizzes.question import Choice, Skill

WHICH = "which"
"""What sort of slip it was; of the sorts themselves it is asked where."""

PROMPTS = {
    SWARA: "In which group is a swara wrong?",
    TIMING: "In which group does a note come early or late?",
    DROPPED: "In which group is a note left out?",
    STROKE: "In which group is a stroke swallowed?",
    WHICH: "What went wrong in it?",
}
LABELS = {
    SWARA: "A wrong swara",
    TIMING: "A note early or late",
    DROPPED: "A note left out",
    STROKE: "A stroke swallowed",
}
NAMES = {
    SWARA: "a wrong swara in a student's palta",
    TIMING: "a note early or late in a student's palta",
    DROPPED: "a note left out of a student's palta",
    STROKE: "a stroke swallowed in a student's palta",
    WHICH: "what goes wrong in a student's palta",
}
ABOUT = {
    SWARA: "one swara is wrong, and lies beside the right one",
    TIMING: "one note comes early or late, and the next one is in time again",
    DROPPED: "one note is left out, and the one before it rings on in its time",
    STROKE: "one stroke is swallowed: the fingers sound the swara, but nothing strikes it",
}


def prompt_of(what: str, run: Run) -> str:
    groups = f"{number_word(GROUPS)} groups of {number_word(run.palta.swaras)}"
    return f"A student runs a palta, {groups}. {PROMPTS[what]}"


def choices_of(what: str) -> tuple[Choice, ...]:
    """The groups in their order; or the sorts of slips in theirs."""
    if what == WHICH:
        return tuple(Choice(sort, LABELS[sort]) for sort in SORTS)
    return tuple(Choice(str(n + 1), f"The {ORDINALS[n]} group") for n in range(GROUPS))


def skill_of(what: str) -> Skill:
    return Skill(
        id=f"slip:{what}",
        kind="slip",
        name=capital(NAMES[what]),
        family="perception",
        cluster="slips",
        chance=1 / len(choices_of(what)),
        seconds=16.0,
    )


def describe(run: Run, slip: Slip) -> str:
    """What went wrong and where, in one sentence."""
    at = run.at(slip.group, slip.place)
    right, sounded = swara_name(run.swaras[at]), swara_name(slip.sounded)
    note = f"the {ORDINALS[slip.place]} swara of the {ORDINALS[slip.group]} group"
    if slip.sort == SWARA:
        return f"{capital(note)} was {sounded} where {right} belongs."
    if slip.sort == TIMING:
        part, way = f"{100 * abs(slip.off):.0f} %", "late" if slip.off > 0 else "early"
        ms = round(1000 * abs(slip.off) * run.note_s)
        return f"{capital(note)}, {right}, came {ms} ms {way}: {part} of a note."
    if slip.sort == DROPPED:
        return f"{capital(note)}, {right}, was left out; {sounded} rang on in its time."
    return f"{capital(note)}, {right}, had no stroke of its own: it sounded on the one before."

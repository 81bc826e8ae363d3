"""Questions of the tests' own: lines to write on pads of any size, and names of any length."""

from __future__ import annotations

from audio.score import Score, Stroke
from practice import Step
from quizzes.question import Choice, Explanation, Mark, Question, Setting

STROKES = ("da", "ra", "dir", "chikari")
BOLS = ("dha", "dhin", "na", "ta", "tin", "tun", "ge", "ke", "ti", "ra", "ki", "te")
SWARAS = ("S", "r", "R", "g", "G", "m", "M", "P", "d", "D", "n", "N", "S'", "P,", "N,")
MIDDLE = "Sa, komal Re, Re, komal Ga, Ga, Ma, tivra Ma, Pa, komal Dha, Dha, komal Ni, Ni"
SWARA_LABELS = dict(
    zip(SWARAS, (*MIDDLE.split(", "), "tar Sa", "mandra Pa", "mandra Ni"), strict=True)
)
CUE = Score(138.59, (Stroke(0.0, 1.0, ((0.0, 0.0),)),))

KINDS = ("line", "name", "order")
ORDER = {
    "alhaiya_bilawal": "Alhaiya Bilawal",
    "vrindavani_sarang": "Vrindavani Sarang",
    "puriya_dhanashri": "Puriya Dhanashri",
    "yaman": "Yaman",
    "darbari": "Darbari Kanada",
    "malkauns": "Malkauns",
}
TURNS = {"rise": "S G R m", "bend": "G m D N S'", "fall": "S' D n P", "rest": "m G R S"}
"""Things to be put in order, with keys of long names and of sargam."""
LONG = (
    (
        "ornament",
        "How is the swara approached and left?",
        (
            "Zamzama: hammered and pulled off, again and again",
            "Krintan: pulled off to a lower swara within one stroke",
            "Murki: three or more swaras touched within one stroke",
            "Andolan: a slow swing about the swara",
        ),
    ),
    (
        "changed",
        "Two lines sound. What is it that the second one has changed, if anything?",
        (
            "Tone: brighter or duller",
            "Tempo: faster or slower",
            "Loudness: stronger or softer strokes",
            "Register: a saptak higher or lower",
            "Ornament: plain or with meend",
            "Nothing: both lines are the same",
        ),
    ),
)
"""Names and prompts as long as they come: (name, prompt, labels)."""


def line_step(right, keys=STROKES, *, places=16, fewest=1, new=False, labels=None):
    """A step that asks for the line `right`, such as "da ra dir da"."""
    labels, right = labels or {}, right.strip()
    choices = tuple(Choice(key, labels.get(key, key)) for key in keys)
    prompt = "Which strokes does the right hand play?"
    introduction = f"A new line: {right}." if new else None
    return _step(
        prompt,
        choices,
        right,
        introduction,
        answer_on="written",
        places=places,
        fewest=fewest,
        kind="line",
    )


def order_step(labels, *, prompt="Put these in the order of their hours, from the morning on."):
    """A step that asks for all of `labels` in the order in which they stand here."""
    ids = list(labels)
    choices = tuple(Choice(key, labels[key]) for key in [*ids[1::2], *ids[::2]])
    whole = {"places": len(ids), "fewest": len(ids)}
    return _step(prompt, choices, " ".join(ids), None, answer_on="order", kind="order", **whole)


def name_step(prompt, labels, *, new=False, introduction=""):
    """A step that asks for one of several names, the first of which is right."""
    choices = tuple(Choice(str(number), label) for number, label in enumerate(labels))
    introduction = introduction or f"This is {labels[0]}." if new else None
    return _step(prompt, choices, "0", introduction, kind="name")


def _step(prompt, choices, right, introduction, *, kind, **question):
    made = Question(
        kind=kind,
        skill=f"{kind}:{right}",
        seed=1,
        setting=Setting(sa_hz=138.59),
        prompt=prompt,
        choices=choices,
        right=(right,),
        cue=CUE,
        sargam="S",
        **question,
    )
    return Step(
        number=1,
        question=made,
        why="written otherwise twice this week",
        introduction=introduction,
        chance=made.chance,
        predicted=0.5,
        reason="settling 1",
    )


def mark(question, given):
    """Part credit for a line by the keys that stand in their own place; none for a name."""
    if given in question.right:
        return Mark(1.0)
    if not question.is_line:
        return Mark(0.0)
    was, written = question.written(question.right[0]), question.written(given)
    same = sum(one == other for one, other in zip(was, written, strict=False))
    return Mark(min(0.9, same / len(was)))


def explain(question, given):
    """What was and what was given, with a sentence of the usual length."""

    def label(answer):
        keys = question.written(answer) if question.is_line else [answer]
        return " ".join(question.choice(key).label for key in keys)

    right = given in question.right
    return Explanation(
        right_label=label(question.right[0]),
        given_label=label(given),
        why="Dir is two strokes in the time of one, in and out.",
        right_cue=CUE,
        given_cue=None if right else CUE,
    )

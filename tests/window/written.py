"""Questions of the tests' own: lines to write on pads of any size, and names of any length."""

from __future__ import annotations

from audio.score import Score, Stroke
from practice import Step
from quizzes.explanation import Explanation
from quizzes.question import Choice, Mark, Question, Setting
from quizzes.stages.asking import THEN

STROKES = ("da", "ra", "dir", "chikari")
BOLS = ("dha", "dhin", "na", "ta", "tin", "tun", "ge", "ke", "ti", "ra", "ki", "te")
SWARAS = ("S", "r", "R", "g", "G", "m", "M", "P", "d", "D", "n", "N", "S'", "P,", "N,")
MIDDLE = "Sa, komal Re, Re, komal Ga, Ga, Ma, tivra Ma, Pa, komal Dha, Dha, komal Ni, Ni"
SWARA_LABELS = dict(
    zip(SWARAS, (*MIDDLE.split(", "), "tar Sa", "mandra Pa", "mandra Ni"), strict=True)
)
CUE = Score(138.59, (Stroke(0.0, 1.0, ((0.0, 0.0),)),))

KINDS = ("line", "name", "sequence", "shared", "cycle")
ORDER = {
    "alhaiya_bilawal": "Alhaiya Bilawal",
    "vrindavani_sarang": "Vrindavani Sarang",
    "puriya_dhanashri": "Puriya Dhanashri",
    "yaman": "Yaman",
    "darbari": "Darbari Kanada",
    "malkauns": "Malkauns",
}
TURNS = {"rise": "S G R m", "bend": "G m D N S'", "fall": "S' D n P", "rest": "m G R S"}
"""Things to be put in order, with long names and with pieces of sargam."""
STAGES = {
    "alap-mandra": "Alap in the mandra saptak",
    "jor": "Jor",
    "alap-jhala": "The jhala of the alap",
    "vilambit-gat": "Vilambit gat",
    "gat-vistar": "Elaboration of the gat",
    "gat-tans": "Tans of the vilambit gat",
    "madhya-gat": "Gat in madhya laya",
    "drut-gat": "Drut gat",
    "tihai": "Closing jhala and tihai",
}
"""As many stages as are ever put in order, with names as long as they come."""
PAIRS = (
    "Alap in the mandra saptak comes before Jor: without pulse first, then with it.",
    "The jhala of the alap comes before Vilambit gat: the alap is played alone, and only with the "
    "gat does the tabla begin.",
    "Vilambit gat comes before Drut gat: the tempo rises from one gat to the next.",
)
"""An explanation of several lines, one for each pair that was broken."""
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


def order_step(
    labels,
    *,
    prompt="Put these in the order of their hours, from the morning on.",
    also=(),
    why=(),
    new=False,
):
    """A step that asks for all of `labels` in the order in which they stand here, or one of `also`;
    the lines of `why` explain."""
    ids = list(labels)
    choices = tuple(Choice(key, labels[key]) for key in [*ids[1::2], *ids[::2]])
    whole = {"places": len(ids), "fewest": len(ids), "detail": {"why": list(why)}}
    right = (" ".join(ids), *also)
    introduction = f"They follow so: {THEN.join(labels.values())}." if new else None
    return _step(prompt, choices, right, introduction, answer_on="order", kind="sequence", **whole)


def shares_step(labels, shares, *, new=False, why=()):
    """A step that asks to share minutes out among `labels` so."""
    choices = tuple(Choice(key, label) for key, label in labels.items())
    whole = {"whole": sum(shares), "lines": 20, "detail": {"why": list(why)}}
    right = " ".join(map(str, shares))
    prompt = f"You have {sum(shares)} minutes. How long is each stage?"
    introduction = "Most of the time goes to the alap." if new else None
    return _step(prompt, choices, right, introduction, answer_on="shares", kind="shared", **whole)


def name_step(prompt, labels, *, new=False, introduction=""):
    """A step that asks for one of several names, the first of which is right."""
    choices = tuple(Choice(str(number), label) for number, label in enumerate(labels))
    introduction = introduction or f"This is {labels[0]}." if new else None
    return _step(prompt, choices, "0", introduction, kind="name")


def wheel_step(wheel, right, *, told=None, cue=CUE, new=False, why=(), labels=(), prompt=""):
    """A step that asks which matra of a wheel is `right`; where there are `labels`, which of them,
    beside the wheel. After the answer the wheel `told` is shown."""
    if labels:
        choices = tuple(Choice(str(number), label) for number, label in enumerate(labels, 1))
    else:
        numbers = range(1, wheel.matras + 1)
        choices = tuple(Choice(str(number), f"matra {number}") for number in numbers)
    prompt = prompt or "On which matra does the note of the sitar fall?"
    introduction = "It falls on khali." if new else None
    return _step(
        prompt,
        choices,
        str(right),
        introduction,
        kind="cycle",
        answer_on="choices" if labels else "wheel",
        wheel=wheel,
        cue=cue,
        detail={"why": list(why), "told": told},
    )


def _step(prompt, choices, right, introduction, *, kind, **question):
    rights = (right,) if isinstance(right, str) else right
    made = Question(
        kind=kind,
        skill=f"{kind}:{rights[0]}",
        seed=1,
        setting=Setting(sa_hz=138.59),
        prompt=prompt,
        choices=choices,
        right=rights,
        sargam="S",
        **{"cue": CUE, **question},
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
    if question.answer_on == "shares":
        off = sum(abs(a - b) for a, b in zip(*map(question.shared, (question.right[0], given)),
                                             strict=True)) / question.whole  # fmt: skip
        return Mark(max(0.0, 0.9 - off))
    if not question.is_line:
        return Mark(0.0)
    was, written = question.written(question.right[0]), question.written(given)
    same = sum(one == other for one, other in zip(was, written, strict=False))
    return Mark(min(0.9, same / len(was)))


def explain(question, given):
    """What was and what was given, with a sentence of the usual length."""

    def label(answer):
        if question.answer_on == "shares":
            return answer
        keys = question.written(answer) if question.is_line else [answer]
        return " ".join(question.choice(key).label for key in keys)

    right = given in question.right
    return Explanation(
        right_label=label(question.right[0]),
        given_label=label(given),
        why="\n".join(question.detail.get("why", ()))
        or "Dir is two strokes in the time of one, in and out.",
        right_cue=question.cue,
        given_cue=None if right else CUE,
        wheel=question.detail.get("told"),
    )

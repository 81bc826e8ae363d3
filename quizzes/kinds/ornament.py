"""`ornament`: what the left hand does on one stroke of a short phrase.

Schools use the words differently, so a choice says what the hand does, without the word: the acts
differ where the words run together. The word comes with the introduction and the explanation.
"""

from __future__ import annotations

from collections.abc import Sequence

from audio.line import Beat, Line, Tone
from audio.ornaments import MEEND_DOWN, MEEND_UP, Hand
from audio.ornaments import ornaments as known_ornaments
from audio.playing import score_of
from audio.sargam import write
from audio.score import Drone, Score
from audio.tuning import load_tuning
from quizzes.choice_sets import fair_sets
from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.left_hand import (
    PARTS,
    SCALES,
    Place,
    beat_of,
    describe,
    end_of,
    fresh_hand,
    joined,
    mirrored,
    place_at,
    slow_hand,
)
from quizzes.names import capital, counted, swara_name, swara_word
from quizzes.phrases import Phrase, fresh_phrase, ladder_of
from quizzes.question import Choice, Mark, Question, Setting, Skill

ACTS = {
    "kan": "touched one other note for an instant first",
    "sparsh": "held a note, then hammered on a higher one",
    "krintan": "held a note, then plucked off to a lower one",
    "zamzama": "hammered on and plucked off, again and again",
    "murki": "ran quickly through three notes, then rested",
    "meend": "pulled the string for one smooth glide",
    "ghaseet": "slid along the string, fret by fret",
    "gamak": "pulled from below again and again, fast",
    "andolan": "swung slowly and gently about the note",
}
"""What the hand does, short enough for one line of a choice. Each is true of its own sound alone: a
kan's first note is touched, a sparsh's or krintan's is held, and these change once, a zamzama again
and again."""

NAMES = tuple(ACTS)
MEETING_ORDER = (
    "meend", "kan", "andolan", "gamak", "krintan", "sparsh", "ghaseet", "murki", "zamzama",
)  # fmt: skip
"""Our own order: each soon after what it is easily taken for."""

NEAR = tuple(
    frozenset(pair.split("|"))
    for pair in (
        "kan|sparsh", "gamak|andolan", "krintan|zamzama", "meend|ghaseet", "murki|zamzama",
        "kan|murki", "kan|krintan", "sparsh|krintan",
    )
)  # fmt: skip
"""Ornaments that are easily taken for one another."""

WORDS = {
    "kan": "Singers also call it a sparsh-swara; on strings a quick sparsh or krintan makes one.",
    "sparsh": "Some schools call this a zamzama or a krintan.",
    "krintan": "Some schools use the word for other moves of the fingers too.",
    "zamzama": "Some schools use the word even where a finger is hammered on only once.",
    "murki": "Some schools call a quick cluster on one stroke a krintan.",
    "gamak": "Some schools also call a gently rocked swara a gamak.",
    "andolan": "Some schools count it among the gamaks.",
}
"""What is told of a word when it is met: how schools differ in it.

Zamzama for hammering on once or more: Sitar Malika p. 44 (a Hindi sitar manual scanned at Hindi
Wikisource). Krintan for up to four swaras fingered on one stroke, and for several quick lifts:
https://www.indianetzone.com/techniques_sitar. Gamak for a gently rocked swara: Sitar Malika p. 47.
Andolan among the gamaks: common practice. Kan: an academy's page on the sparsh of plucked strings
has that a kan, or sparsh-swara, is executed on instruments by a swift short glide, by a sparsh (the
technique, another thing than the sparsh-swara) or by a krintan."""

SPANS = (1, 2, 3, 4, 5)
SIDES = ("above", "below")

UNMOVED = "SP"
"""Sa and Pa never swing (common practice), so no ornament is asked on them where it could be an
andolan: the swara would tell."""

PLAIN_STROKES = {"": 3, "span": 2, "side": 2}

MET_FOR_FOUR = 3
"""Once so many others are met, four are offered; two before that."""


class OrnamentKind:
    name = "ornament"
    title = "One stroke is ornamented: what did the left hand do?"

    def skills(self) -> tuple[Skill, ...]:
        whole = [_skill(name) for name in MEETING_ORDER]
        sides = [_skill(f"side:{name}") for name in ("kan", "meend")]
        return (*whole, *sides, *(_skill(f"span:{span}") for span in SPANS))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        what, detail = asked(skill)
        fresh, phrase, place, hand, right = _drawn(skill, seed, setting)
        beat = beat_of(_ornament_of(skill), place)
        offered = _offered(what, detail, fresh, setting)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=_prompt(what, detail),
            choices=tuple(_choice(what, answer) for answer in offered),
            right=(right,),
            cue=phrase.cue(beat, load_tuning(setting.tuning), hand),
            sargam=phrase.written(beat),
            possible=tuple(
                answer
                for answer in offered
                if answer == right or what == "side" or _id(what, answer) in setting.met
            ),
        )

    def mark(self, question: Question, given: str) -> Mark:
        choice = question.choice(given)
        return Mark(1.0) if given in question.right else Mark(0.0, heard=choice.skill)

    def explain(self, question: Question, given: str) -> Explanation:
        right = question.right[0]
        return Explanation(
            right_label=_told(question, right),
            given_label=_told(question, given),
            why=_why(question, given),
            right_cue=_played(question, right),
            given_cue=None if given == right else _played(question, given),
            right_written=_written(question, right),
            given_written="" if given == right else _written(question, given),
        )

    def level(self, skill: str) -> None:
        return None

    def several(self, count: int) -> str:
        return counted(count, "ornament")

    def introduce(self, question: Question) -> str:
        what, detail = asked(question.skill)
        place = _drawn(question.skill, question.seed, question.setting)[2]
        if what == "span":
            return f"This meend goes {_span_text(int(detail))}. {capital(describe('meend', place))}"
        if what == "side":
            return (
                f"A {detail} can come from above or from below. "
                f"This one comes from {question.right[0]}. {capital(describe(detail, place))}"
            )
        text = f"Here this is called {_one(detail)}. {known_ornaments()[detail].about}"
        return f"{text} {WORDS[detail]}" if detail in WORDS else text


def asked(skill: str) -> tuple[str, str]:
    """What is asked ("", "span" or "side") and of what, from a skill's id. Raises UnknownSkill."""
    kind, _, rest = skill.partition(":")
    what, colon, detail = rest.partition(":")
    if kind == "ornament":
        if not colon and what in NAMES:
            return "", what
        if what == "span" and detail in map(str, SPANS):
            return what, detail
        if what == "side" and detail in ("kan", "meend"):
            return what, detail
    raise UnknownSkill(
        f"{skill!r} is not asked; write ornament: and one of {' '.join(NAMES)}, "
        "ornament:span:1 to ornament:span:5, ornament:side:kan or ornament:side:meend"
    )


def _ornament_of(skill: str) -> str:
    what, detail = asked(skill)
    return "meend" if what == "span" else detail


def _id(what: str, answer: str) -> str:
    return f"ornament:{what}:{answer}" if what else f"ornament:{answer}"


def _drawn(skill: str, seed: int, setting: Setting) -> tuple[Fresh, Phrase, Place, Hand, str]:
    """Everything that is drawn for a question, and its right answer."""
    what, detail = asked(skill)
    fresh = Fresh(skill, seed)
    right = fresh.one_of(SIDES) if what == "side" else detail
    side = right if what == "side" else fresh.one_of(SIDES)
    spans = (int(detail),) if what == "span" else SPANS if what == "side" else (3, 4, 5)
    ladder = ladder_of(fresh.one_of(SCALES))
    place = place_at(fresh, ladder, side, spans, but="" if what else UNMOVED)
    phrase = fresh_phrase(fresh, setting.sa_hz, ladder, place.target, count=PLAIN_STROKES[what])
    return fresh, phrase, place, fresh_hand(fresh, place, load_tuning(setting.tuning)), right


def _prompt(what: str, detail: str) -> str:
    if what == "span":
        return "How far did the meend go?"
    if what == "side":
        return f"Did the {detail} come from above or from below?"
    return "What did the left hand do?"


def _choice(what: str, answer: str) -> Choice:
    if what == "side":
        return Choice(answer, f"From {answer}")
    if what == "span":
        label = f"{capital(_span_text(int(answer)))}, as from Sa to {swara_word(int(answer))}"
        return Choice(answer, label, _id(what, answer))
    return Choice(answer, capital(ACTS[answer]), _id(what, answer))


def _told(question: Question, answer: str) -> str:
    """An answer as it is explained: the act with its word."""
    label = question.choice(answer).label
    return label if asked(question.skill)[0] else f"{capital(answer)}: {ACTS[answer]}"


def _span_text(span: int) -> str:
    return counted(span, "semitone")


def _offered(what: str, right: str, fresh: Fresh, setting: Setting) -> list[str]:
    """The answers offered: what has been met, what is confused with the right one first."""
    if what == "side":
        return list(SIDES)
    met, rivals = (_answers(what, skills, right) for skills in (setting.met, setting.rivals))
    if what == "span":
        far = [str(span) for span in SPANS if abs(span - int(right)) > 1]
        return sorted({right, *(met or [fresh.one_of(far)])})
    if not met:
        met.append(next(name for name in NAMES if frozenset((name, right)) in NEAR))
    sets = fair_sets(tuple(sorted({right, *met})), 4 if len(met) >= MET_FOR_FOUR else 2, NEAR)
    usable = [chosen for chosen in sets if right in chosen]
    confused = [chosen for chosen in usable if set(rivals[:1]) <= set(chosen)]
    usable = confused or usable
    (chosen,) = fresh.weighted(usable, [sets[one] for one in usable], 1)
    return fresh.shuffled(chosen)


def _answers(what: str, skills: Sequence[str], right: str) -> list[str]:
    """The answers, other than the right one, that those skills would show."""
    found = (asked(skill) for skill in skills if skill.startswith("ornament:"))
    return [detail for kind, detail in found if kind == what and detail != right]


def _played(question: Question, answer: str) -> Score:
    """What was asked, or the same phrase with another answer, slowly."""
    what, _ = asked(question.skill)
    tuning = load_tuning(question.setting.tuning)
    _, phrase, place, hand, _ = _drawn(question.skill, question.seed, question.setting)
    phrase = phrase.explained()
    if what == "span":
        return score_of(
            _beside_plain(place, int(answer)),
            tuning,
            sa_hz=phrase.sa_hz,
            matras_per_min=phrase.matras_per_min,
            drone=Drone(),
            hand=hand,
        )
    return phrase.cue(_beat(question, answer), tuning, slow_hand(hand))


def _written(question: Question, answer: str) -> str:
    """The same in writing."""
    _, phrase, place, _, _ = _drawn(question.skill, question.seed, question.setting)
    if asked(question.skill)[0] == "span":
        return write(_beside_plain(place, int(answer)))
    return phrase.written(_beat(question, answer))


def _beat(question: Question, answer: str) -> Beat:
    """The stroke of a phrase that bears the answer."""
    what, _ = asked(question.skill)
    _, _, place, _, right = _drawn(question.skill, question.seed, question.setting)
    if what == "side":
        place = place if answer == right else mirrored(place)
        answer = _ornament_of(question.skill)
    return beat_of(answer, place)


def _beside_plain(place: Place, span: int) -> Line:
    """A meend of so many semitones from the same start, and then its two swaras struck plainly."""
    end = end_of(place, span)
    join = MEEND_UP if end.steps > place.start.steps else MEEND_DOWN
    meend = joined(place.start, join, end, PARTS // 2)
    return Line((meend, Beat((Tone(place.start),)), Beat((Tone(end),))))


def _why(question: Question, given: str) -> str:
    what, detail = asked(question.skill)
    place = _drawn(question.skill, question.seed, question.setting)[2]
    right = question.right[0]
    if what == "span":
        why = f"{capital(describe('meend', place))} That is {_span_text(int(right))}."
        end = swara_name(end_of(place, int(given)))
        other = f"{capital(_span_text(int(given)))} would have led to {end}."
    elif what == "side":
        why = f"The {detail} came from {right}. {capital(describe(detail, place))}"
        other = f"From {given}: {describe(detail, mirrored(place))}"
    else:
        why = f"Here this is called {_one(right)}: {describe(right, place)}"
        other = f"In {_one(given)}, {describe(given, place)}"
    return why if given == right else f"{why} {other}"


def _one(ornament: str) -> str:
    return f"{'an' if ornament.startswith('a') else 'a'} {ornament}"


def _skill(detail: str) -> Skill:
    what, colon, of = detail.partition(":")
    names = {
        "span": f"a meend of {of} semitone{'s' * (of != '1')}",
        "side": f"a {of} from above or below",
    }
    return Skill(
        id=f"ornament:{detail}",
        kind="ornament",
        name=names[what] if colon else detail,
        family="perception",
        cluster=f"ornament {what if colon else _FAMILIES[detail]}",
        chance={"span": 0.2, "side": 0.5}[what] if colon else 0.25,
        seconds=14.0,
    )


_FAMILIES = {
    **dict.fromkeys(("kan", "sparsh", "krintan", "zamzama", "murki"), "fingers"),
    **dict.fromkeys(("meend", "ghaseet"), "slides"),
    **dict.fromkeys(("gamak", "andolan"), "swings"),
}

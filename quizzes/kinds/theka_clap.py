"""`theka:clap:jhaptal`: how a tala is counted on the hand; which signs, over which vibhags.

Four patterns of as many matras: two ways to divide the cycle, each with two ways to clap it, so
that none is what the others have in common. What any known variant of the tala has is not offered
but as the right one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import accumulate

from audio.score import Score
from quizzes.fresh import Fresh
from quizzes.kinds.theka_way import ThekaWay, cycle_again, cycles_of, kept, turning_wheel
from quizzes.names import counted
from quizzes.question import Choice, Explanation, Mark, Question, Setting, Skill
from quizzes.talas.asking import asked_talas
from quizzes.talas.cues import ThekaCue
from quizzes.talas.hearing import plucked
from quizzes.talas.tala import Form, Tala
from quizzes.talas.tradition import talas
from quizzes.talas.wording import form_told

FEWEST_VIBHAGS, MOST_VIBHAGS = 2, 8
SHORTEST = 2
"""Matras of a vibhag in a division that is made up."""
CHANCE = 1 / 4
SECONDS = 22.0


class Clapping(ThekaWay):
    way, family = "clap", "facts"

    def skill_of(self, tala: Tala) -> Skill | None:
        if not _is_asked(tala):
            return None
        return self.skill(tala, "its tali and khali", chance=CHANCE, seconds=SECONDS)

    def make(self, skill: str, tala: Tala, *, seed: int, setting: Setting) -> Question:
        fresh = Fresh(skill, seed)
        theka = fresh.one_of(self.usable(tala))
        cue = self.heard(fresh, setting, tala, theka, lands=True)
        known = talas(setting.tradition)
        forms = _offered(Fresh(f"{skill} choices", seed), tala, known)
        return Question(
            kind="theka",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=(
                f"How is {tala.name} counted on the hand? You hear "
                f"{counted(cycles_of(tala), 'cycle')} of it, from sam."
            ),
            choices=tuple(
                Choice(_id(form), _label(form), _skill_of(form, known)) for form in forms
            ),
            right=(_id(tala.form),),
            cue=cue.score,
            sargam=cue.written,
            detail=kept(cue),
        )

    def mark(self, question: Question, given: str) -> Mark:
        choice = question.choice(given)
        if given in question.right:
            return Mark(1.0)
        return Mark(0.0, heard=choice.skill if choice.skill != question.skill else None)

    def explain(self, question: Question, given: str) -> Explanation:
        tala, is_right = self.tala_of(question), given in question.right
        cue = cycle_again(question, tala)
        return Explanation(
            right_label=_label(tala.form),
            given_label=question.choice(given).label,
            why="\n".join(_why(tala)),
            right_cue=_clapped(cue, tala.form),
            given_cue=None if is_right else _clapped(cue, _form_of(given)),
            given_plays="" if is_right else "the theka with a string on the claps of your answer",
            wheel=turning_wheel(cue),
        )

    def introduce(self, question: Question) -> str:
        tala = self.tala_of(question)
        return (
            "X stands for a clap on sam, figures for further claps, 0 for a wave. "
            f"{tala.name}: {form_told(tala.form)}. A string is plucked on each clap."
        )


def _is_asked(tala: Tala) -> bool:
    return FEWEST_VIBHAGS <= len(tala.vibhags) <= MOST_VIBHAGS and bool(
        _bases(tala, {}) and _clapped_otherwise(tala.form, tala)
    )


def _why(tala: Tala) -> Iterator[str]:
    yield f"{tala.name}: {form_told(tala.form)}."
    for form in tala.forms[1:]:
        if form.matras == tala.matras:
            yield f"Others have it as {_label(form)}."


def _clapped(cue: ThekaCue, form: Form) -> Score:
    """The theka with a string on each clap."""
    return plucked(cue, [matra - 1 for matra in form.tali])


def _label(form: Form) -> str:
    """`X 2 0 3 over 4 4 4 4`"""
    return f"{' '.join(_signs(form))} over {' '.join(map(str, form.vibhags))}"


def _signs(form: Form) -> list[str]:
    return [form.sign(start) for start in form.starts]


def _id(form: Form) -> str:
    """`4-4-4-4:X203`; one sign for each vibhag, of which there are fewer than ten."""
    return f"{'-'.join(map(str, form.vibhags))}:{''.join(_signs(form))}"


def _form_of(choice: str) -> Form:
    vibhags, _, signs = choice.partition(":")
    waved = {number for number, sign in enumerate(signs) if sign == "0"}
    return _formed(tuple(map(int, vibhags.split("-"))), waved)


def _formed(vibhags: tuple[int, ...], waved: set[int] | frozenset[int]) -> Form:
    """The form with these vibhags, counted from 0, waved and the others clapped."""
    starts = (1, *(1 + end for end in accumulate(vibhags[:-1])))
    return Form(
        sum(vibhags),
        vibhags,
        tuple(start for number, start in enumerate(starts) if number not in waved),
        tuple(start for number, start in enumerate(starts) if number in waved),
    )


def _waved(form: Form) -> frozenset[int]:
    return frozenset(form.starts.index(matra) for matra in form.khali)


def _offered(fresh: Fresh, tala: Tala, known: Mapping[str, Tala]) -> list[Form]:
    """The right one, the same vibhags clapped otherwise, and both of another division; clapped
    otherwise in the same way, where that can be."""
    base = fresh.one_of(_bases(tala, known))
    own = fresh.one_of(_clapped_otherwise(tala.form, tala))
    others = _clapped_otherwise(base, tala)
    same = [each for each in others if _waved(each) == _waved(own)]
    same = same if len(base.vibhags) == len(own.vibhags) else []
    return fresh.shuffled([tala.form, own, base, fresh.one_of(same or others)])


def _clapped_otherwise(form: Form, tala: Tala) -> list[Form]:
    """The same vibhags with one wave elsewhere; one more, or none, where there is no such way."""
    waved, others = _waved(form), set(range(len(form.vibhags))) - _waved(form)
    free = others if 0 in waved else others - {0}
    moved = [waved - {one} | {to} for one in sorted(waved) for to in sorted(free)]
    more = [waved | {to} for to in sorted(free) if len(waved) + 1 < len(form.vibhags)]
    fewer = [waved - {one} for one in sorted(waved)]
    for ways in (moved, more, fewer):
        found = [_formed(form.vibhags, way) for way in ways]
        found = [each for each in found if each not in tala.forms]
        if found:
            return found
    return []


def _bases(tala: Tala, known: Mapping[str, Tala]) -> list[Form]:
    """Forms of as many matras and other vibhags than any that the tala is known to have: those of
    other talas; where there are none, the tala's own claps over a division that is made up."""
    taken = {form.vibhags for form in tala.forms}
    real = [other.form for other in known.values() if other.matras == tala.matras]
    same = [_formed(vibhags, _waved(tala.form)) for vibhags in _divisions(tala.vibhags)]
    even = [_formed(vibhags, {_middle(vibhags)}) for vibhags in _even(tala.matras)]
    for forms in (real, same, even):
        found = [
            each
            for each in dict.fromkeys(forms)
            if each.vibhags not in taken
            and FEWEST_VIBHAGS <= len(each.vibhags) <= MOST_VIBHAGS
            and _clapped_otherwise(each, tala)
        ]
        if found:
            return found
    return []


def _divisions(vibhags: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    """As many vibhags: begun from another one, backwards, or, of equal ones, short and long by
    turns."""
    for turn in range(1, len(vibhags)):
        yield vibhags[turn:] + vibhags[:turn]
    yield vibhags[::-1]
    if len(set(vibhags)) == 1 and len(vibhags) % 2 == 0 and vibhags[0] > SHORTEST:
        short, long = vibhags[0] - 1, vibhags[0] + 1
        yield (short, long) * (len(vibhags) // 2)
        yield (long, short) * (len(vibhags) // 2)


def _even(matras: int) -> Iterator[tuple[int, ...]]:
    """Equal vibhags."""
    for size in (2, 3, 4, 5):
        if matras % size == 0:
            yield (size,) * (matras // size)


def _middle(vibhags: tuple[int, ...]) -> int:
    """The vibhag with which the second half begins, or the first after it; of two, the second."""
    starts = list(accumulate((0, *vibhags[:-1])))
    return next(
        (number for number, start in enumerate(starts) if 2 * start >= sum(vibhags)),
        len(vibhags) - 1,
    )


def _skill_of(form: Form, known: Mapping[str, Tala]) -> str | None:
    """The skill that a pattern would have shown: that of the first tala of which it is the form."""
    for tala in asked_talas(known).values():
        if tala.form == form and _is_asked(tala):
            return f"theka:clap:{tala.id}"
    return None

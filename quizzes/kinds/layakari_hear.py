"""`layakari:hear:tigun`: the sitar plays steady notes over a theka in thah: which layakari is it?

Beside the four of whole numbers come ada, kuad and biad once they are met. How fast
the theka goes, and how closely the notes follow, is drawn so that neither tells much
(`layakari_pace`); how long the cue lasts tells nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import pairwise

from audio.score import Score, Stroke
from audio.tuning import Swara, Tuning, load_tuning
from quizzes.contours import HIGHEST, LOWEST, THATS
from quizzes.errors import not_asked
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.kinds.layakari_pace import ALONE, LASTING_S, lengths, luck_of, meeting
from quizzes.kinds.layakari_way import LayakariWay
from quizzes.names import capital, listed, number_word, ordinal
from quizzes.question import Choice, Question, Setting, Skill
from quizzes.stages.offering import drawn, never_beside, offerable
from quizzes.talas.asking import tala_for
from quizzes.talas.cues import ThekaCue
from quizzes.talas.hearing import plain_cue
from quizzes.talas.layakari import Layakari, in_words, layakaris
from quizzes.talas.steady import even_talas, even_theka, is_counted_one_way, struck_cue
from quizzes.talas.tala import Tala
from quizzes.talas.tradition import talas
from quizzes.wheel import Wheel
from words import say, say_many

LAST_S = 0.8
SHARE_PLAYED = 0.65
"""From here on the sitar may come to its end, lest the number of its notes should tell."""
TURNS_BACK = 0.2
"""How often the melody turns before it has come to an end of its reach."""
EXPLAINED_MATRAS = 8
NINE = 9
"""Of one such layakari the ordinal is a word, though others are in figures from there on."""
DENSEST_HZ = 6.5
"""So many notes a second an explanation plays at most."""


class HearWay(LayakariWay):
    asks = "hear"

    def skills(
        self, known: Mapping[str, Tala], ratios: Mapping[str, Layakari]
    ) -> tuple[Skill, ...]:
        if not _steady(known):
            return ()
        pool, size = _pool(ratios)
        return tuple(
            Skill(
                id=_skill_id(one),
                kind="layakari",
                name=_name(ratios[one]),
                family="perception",
                cluster="layakari by ear",
                chance=1 / size,
                seconds=18.0,
            )
            for one in ratios
            if one in pool
        )

    def name_of(self, skill: str) -> str:
        known = layakaris()
        return _name(known[_named(skill, known)])

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        ratios, fresh = layakaris(setting.tradition), Fresh(skill, seed)
        right = ratios[_named(skill, ratios)]
        offered = _offered(fresh, right, ratios, setting)
        tala = tala_for(fresh, setting, of=_steady(talas(setting.tradition)))
        theka = even_theka(tala)
        meet = meeting(ratios[one].ratio for one in offered)
        lasts_s = fresh.one_of(LASTING_S)
        ways = lengths(right.ratio, lasts_s, meet)
        (matras,) = fresh.weighted(list(ways), list(ways.values()), 1)
        tempo = 60 * matras / lasts_s
        cue = struck_cue(fresh, setting, tala, theka, matras=matras, matras_per_min=tempo)
        most = int((matras - ALONE) * right.ratio) + 1
        line = run(fresh, round(most * fresh.between(SHARE_PLAYED, 1.0)))
        notes = _notes(line, right.ratio, tempo, load_tuning(setting.tuning), fresh)
        met = {right.id, *(one for one in ratios if _skill_id(one) in setting.met)}
        possible = tuple(one for one in offered if one in met)
        return Question(
            kind="layakari",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("The theka keeps thah. How many notes does the sitar play to a matra?"),
            choices=tuple(
                Choice(one, f"{ratios[one].called}: {ratios[one].in_words}", _skill_id(one))
                for one in offered
            ),
            right=(right.id,),
            cue=cue.with_strokes(notes),
            sargam=f"{cue.written} / {' '.join(map(str, line))}",
            detail={
                "tala": tala.id,
                "tempo": str(tempo),
                "ratios": {one: str(ratios[one].ratio) for one in offered},
            },
            possible=possible,
            luck=luck_of(tuple(sorted(ratios[one].ratio for one in possible)), meet),
        )

    def explain(self, question: Question, given: str) -> Explanation:
        right = question.right[0]
        ratios = {one: Fraction(text) for one, text in question.detail["ratios"].items()}
        tala = talas(question.setting.tradition)[question.detail["tala"]]
        densest = max(ratios[right], ratios[given])
        tempo = min(Fraction(question.detail["tempo"]), 60 * Fraction(str(DENSEST_HZ)) / densest)
        cue = plain_cue(question, tala, even_theka(tala), tempo, matras=EXPLAINED_MATRAS)
        return Explanation(
            right_label=question.choice(right).label,
            given_label=question.choice(given).label,
            why=_why(layakaris(question.setting.tradition)[right], ratios[right]),
            right_cue=_with_sitar(question, cue, ratios[right]),
            given_cue=None if given == right else _with_sitar(question, cue, ratios[given]),
            given_plays=""
            if given == right
            else say("{notes} over the same theka", notes=in_words(ratios[given])),
            wheel=Wheel(tala.form, turning=cue.turning),
        )

    def introduce(self, question: Question) -> str:
        layakari = layakaris(question.setting.tradition)[question.right[0]]
        told = {
            "layakari": layakari.called,
            "about": layakari.told,
            "notes": layakari.in_words,
        }
        said = say("{layakari} is {about}: {notes} of the theka.", **told)
        if layakari.also:
            said = say(
                "{layakari}, also called {names}, is {about}: {notes} of the theka.",
                **told,
                names=listed([say(name) for name in layakari.also], "or"),
            )
        return " ".join([said, *_taught_otherwise(layakari)])


def _why(layakari: Layakari, ratio: Fraction) -> str:
    said = say(
        "{notes}: {layakari}.",
        notes=capital(in_words(ratio)),
        layakari=layakari.called.lower(),
    )
    return " ".join([said, _between(ratio), *_taught_otherwise(layakari)])


def _between(ratio: Fraction) -> str:
    """How the notes fell to the strokes of the theka, as a sentence."""
    if ratio == 1:
        return say("Each note fell on a stroke of the theka, and none between.")
    if ratio.denominator == 1:
        return say_many(
            "Between two strokes of the theka {number} note fell.",
            "Between two strokes of the theka {number} notes fell.",
            ratio.numerator - 1,
            number=number_word(ratio.numerator - 1),
        )
    every = say("ninth") if ratio.numerator == NINE else ordinal(ratio.numerator - 1)
    return say(
        "Every {place} note fell on a stroke of the theka, {number} matras apart; the others went "
        "across.",
        place=every,
        number=number_word(ratio.denominator),
    )


def _taught_otherwise(layakari: Layakari) -> list[str]:
    return [
        say(
            "Some call {notes} {layakari} ({about}).",
            notes=in_words(other.ratio),
            layakari=layakari.called.lower(),
            about=say(other.about),
        )
        for other in layakari.others
    ]


def _pool(ratios: Mapping[str, Layakari]) -> tuple[tuple[str, ...], int]:
    """What can be offered, and how many together."""
    return offerable(tuple(ratios), _never(ratios))


def _never(ratios: Mapping[str, Layakari]) -> tuple[frozenset[str], ...]:
    """Pairs of which somebody calls the one by the other's name."""
    return never_beside(
        tuple(ratios),
        lambda one, other: (
            not (
                ratios[one].ratio in ratios[other].ratios
                or ratios[other].ratio in ratios[one].ratios
            )
        ),
    )


def _near(names: Sequence[str], ratios: Mapping[str, Layakari]) -> tuple[frozenset[str], ...]:
    """Neighbours by their ratio; of whole numbers, too, as if there were no others."""
    rising = sorted(names, key=lambda one: ratios[one].ratio)
    whole = [one for one in rising if ratios[one].ratio.denominator == 1]
    pairs = [*pairwise(rising), *pairwise(whole)]
    return tuple(dict.fromkeys(frozenset(pair) for pair in pairs))


def _offered(
    fresh: Fresh, right: Layakari, ratios: Mapping[str, Layakari], setting: Setting
) -> list[str]:
    """Whole numbers only, until another is met or asked."""
    pool, size = _pool(ratios)
    met = [one for one in pool if _skill_id(one) in setting.met]
    whole = tuple(one for one in pool if ratios[one].ratio.denominator == 1)
    if {right.id, *met} <= set(whole) and len(whole) >= size:
        pool = whole
    return drawn(
        fresh,
        right.id,
        pool,
        size,
        near=_near(pool, ratios),
        never=_never(ratios),
        met=met,
        rivals=[one for one in pool if _skill_id(one) in setting.rivals],
    )


def _steady(known: Mapping[str, Tala]) -> tuple[str, ...]:
    return tuple(tala.id for tala in even_talas(known) if is_counted_one_way(tala))


def run(fresh: Fresh, count: int) -> tuple[Swara, ...]:
    """So many swaras of a that, step by step up and down, in no groups that could be counted."""
    letters = set(fresh.one_of(THATS).split())
    reach = range(LOWEST.steps, HIGHEST.steps + 1)
    ladder = [swara for swara in map(Swara.at, reach) if swara.letter in letters]
    at, step = fresh.one_of(range(len(ladder))), fresh.one_of((-1, 1))
    line = [ladder[at]]
    while len(line) < count:
        if fresh.between(0, 1) < TURNS_BACK or not 0 <= at + step < len(ladder):
            step = -step
        if not 0 <= at + step < len(ladder):
            step = -step
        at += step
        line.append(ladder[at])
    return tuple(line)


def _notes(
    line: Sequence[Swara],
    ratio: Fraction,
    tempo: Fraction,
    tuning: Tuning,
    fresh: Fresh | None,
    alone: int = ALONE,
) -> tuple[Stroke, ...]:
    """The line at this ratio to the matras, the last note held; varied by `fresh`, or plain."""
    note_s = float(60 / (tempo * ratio))
    strokes = []
    for index, swara in enumerate(line):
        onset_s = float((alone + index / ratio) * 60 / tempo)
        lasts_s = LAST_S if index == len(line) - 1 else note_s
        cents = tuning.cents_of(swara)
        if fresh is None:
            strokes.append(Stroke(onset_s, lasts_s, ((0.0, cents),)))
        else:
            strokes.append(fresh.stroke(cents, onset_s=onset_s, duration_s=lasts_s))
    return tuple(strokes)


def _with_sitar(question: Question, cue: ThekaCue, ratio: Fraction) -> Score:
    """The theka from sam, the sitar with it from the first stroke on."""
    line = run(Fresh(question.skill, question.seed), int(EXPLAINED_MATRAS * ratio) + 1)
    tuning = load_tuning(question.setting.tuning)
    return cue.with_strokes(_notes(line, ratio, cue.matras_per_min, tuning, None, alone=0))


def _name(layakari: Layakari) -> str:
    return say("{layakari} by ear", layakari=layakari.called)


def _skill_id(layakari: str) -> str:
    return f"layakari:hear:{layakari}"


def _named(skill: str, ratios: Mapping[str, Layakari]) -> str:
    name = skill.rpartition(":")[2]
    if name not in ratios:
        raise not_asked(skill, "layakari")
    return name

"""`tap:tali:rupak`: keep tali with the theka: tap on every clap, after one cycle that is heard.

Right is what meets every clap within the window and taps nothing else. Less is worth the F-measure
or Cemgil's accuracy, whichever is more, above that of tapping every matra: one clap left out costs
little, taps beside their claps are worth something, taps that mark no claps nothing. Steady taps
that are all late, or early, alike are worth up to half: the beat is kept, and the device or a habit
moves it. Where teachers clap otherwise in the same matras, their claps are as right.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from audio.score import Stroke
from quizzes.errors import not_asked
from quizzes.explanation import Explanation, Met
from quizzes.fresh import Fresh
from quizzes.kinds.tap_words import (
    hand_told,
    missed_told,
    name_told,
    prompt,
    timing_told,
)
from quizzes.names import capital, counted, number_word
from quizzes.question import KEYS_APART, Mark, Question, Setting, Skill
from quizzes.talas.asking import TalaKind, asked_talas, shipped_tala
from quizzes.talas.cues import MINUTE_MS, ThekaCue, drawn_tempo, theka_cue
from quizzes.talas.hearing import drawn_theka
from quizzes.talas.tala import Form, Tala
from quizzes.talas.tapping import WINDOW_MS, Asynchrony, asynchrony, cemgil, f_measure
from quizzes.wheel import Wheel
from words import say, say_many, to_say

LAYA = "madhya"
HEARD_CYCLES = 1
"""Before the taps count."""
MOST_CYCLES, MOST_MATRAS = 4, 34
"""So many cycles are tapped at most, and no more than fit into so many matras, but for one."""
TEMPOS = 84, 126
"""Matras a minute that are easily clapped, of the middle laya."""
LONGEST_S, LEAST_RANGE = 31, 10
"""Long cycles are clapped faster, so that all sounds no longer than so; a tala for which that
leaves tempos less than so far apart is not asked, nor one that is not usual in the middle laya."""
MOST_CLAPPED = Fraction(1, 2)
"""Of the matras; were it more, tapping along with each of them would be nearly right."""
EARLIEST_MATRAS = Fraction(1, 2)
"""Taps count from so long before the first matra of the cycles that are tapped, and no longer than
until so long before the sam that follows on them."""
STEADY_MS = 45.0
"""A standard deviation below which late or early taps are those of a device, not of the ear."""
MOST_MOVED_MS = 200
STEADY_CREDIT = 0.5
"""Steady taps that are no further to one side are worth so much of what they would be in time."""
PLUCK_S = 0.3
"""A string on Sa tells the claps, or the taps, when an answer is explained; two taps that come
sooner after one another sound as one."""


@dataclass(frozen=True, slots=True)
class Asked:
    """The theka, and how it is counted."""

    cue: ThekaCue
    cycles: int

    @property
    def tala(self) -> Tala:
        return self.cue.tala

    def claps(self, form: Form) -> Iterator[int]:
        """How many matras after the theka begins each clap falls that is asked."""
        for cycle in range(HEARD_CYCLES, HEARD_CYCLES + self.cycles):
            yield from (cycle * form.matras + matra - 1 for matra in form.tali)

    def beats_ms(self, form: Form) -> list[Fraction]:
        """When each clap falls, in whole milliseconds, as taps do: the answer that is right meets
        every one exactly."""
        return [Fraction(round(self.cue.ms_of(clap))) for clap in self.claps(form)]

    def asynchrony(self, form: Form, taps: Sequence[int]) -> Asynchrony:
        """Taps laid against the claps of a form."""
        half_a_matra = (self.cue.ms_of(1) - self.cue.ms_of(0)) / 2
        return asynchrony(self.beats_ms(form), taps, reach_ms=half_a_matra)

    def counting(self, taps: Sequence[int]) -> list[int]:
        """The taps that count: not those along with the cycle to be heard, nor on the last sam."""
        matras = self.tala.matras
        begins = self.cue.ms_of(HEARD_CYCLES * matras - EARLIEST_MATRAS)
        ends = self.cue.ms_of((HEARD_CYCLES + self.cycles) * matras - EARLIEST_MATRAS)
        return [tap for tap in taps if begins <= tap < ends]


class TapKind(TalaKind):
    name = "tap"
    title = to_say("Keep tali with the theka: tap on every clap")
    by_ear = True

    def skills_of(self, known: Mapping[str, Tala]) -> tuple[Skill, ...]:
        return tuple(
            Skill(
                id=f"{self.name}:tali:{tala.id}",
                kind=self.name,
                name=name_told(tala),
                family="perception",
                cluster="tap tali",
                chance=_luck(tala),
                seconds=round(8.0 + _matras(tala) * 120.0 / sum(_tempos(tala))),
            )
            for tala in asked_talas(known).values()
            if _is_asked(tala)
        )

    def name_of(self, skill: str) -> str:
        return name_told(shipped_tala(self.parts_of(skill, 2)[1], skill))

    def several(self, count: int) -> str:
        return counted(count, "{number} tala to keep tali with", "{number} talas to keep tali with")

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        asked = self._asked(skill, seed, setting)
        tala = asked.tala
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=prompt(tala, asked.cycles),
            choices=(),
            right=tuple(
                KEYS_APART.join(str(beat) for beat in asked.beats_ms(form)) for form in _forms(tala)
            ),
            cue=asked.cue.score,
            sargam=asked.cue.written,
            answer_on="taps",
            luck=_luck(tala),
        )

    def mark(self, question: Question, given: str) -> Mark:
        asked, taps = self._answered(question, given)
        return Mark(max(_credit(asked, form, taps) for form in _forms(asked.tala)))

    def explain(self, question: Question, given: str) -> Explanation:
        asked, taps = self._answered(question, given)
        form = max(_forms(asked.tala), key=lambda form: _credit(asked, form, taps))
        beats = asked.beats_ms(form)
        found = asked.asynchrony(form, taps)
        is_right = _credit(asked, form, taps) == 1.0
        return Explanation(
            right_label=hand_told(form),
            given_label=say(
                "{met} of {claps} claps met", met=_met(found) or say("none"), claps=len(beats)
            ),
            why="\n".join(_why(asked, form, found)),
            right_cue=asked.cue.with_strokes(_plucks(asked, beats)),
            given_cue=None if is_right else asked.cue.with_strokes(_plucks(asked, taps)),
            given_plays="" if is_right else say("the theka with a string at each of your taps"),
            wheel=Wheel(form, turning=asked.cue.turning),
            met=tuple(
                Met(_label(form, clap), off, WINDOW_MS)
                for clap, off in zip(asked.claps(form), found.offs_ms, strict=True)
            ),
        )

    def introduce(self, question: Question) -> str:
        tala = self._asked(question.skill, question.seed, question.setting).tala
        return say(
            "To keep tali is to show a cycle with the hands while the theka sounds. {tala} has "
            "{matras} matras: {hand}. A string is plucked on each clap.",
            tala=tala.called,
            matras=tala.matras,
            hand=hand_told(tala.form),
        )

    def _asked(self, skill: str, seed: int, setting: Setting) -> Asked:
        way, _ = self.parts_of(skill, 2)
        if way != "tali" or not self.asked(skill, setting.tradition):
            raise not_asked(skill, "tap")
        tala, fresh = self.tala_of(skill, setting, parts=2), Fresh(skill, seed)
        cue = theka_cue(
            fresh,
            setting,
            tala,
            matras=_matras(tala),
            matras_per_min=drawn_tempo(fresh, *_tempos(tala)),
            theka=drawn_theka(fresh, tala.thekas_for(LAYA), met=skill in setting.met),
        )
        return Asked(cue, _cycles(tala))

    def _answered(self, question: Question, given: str) -> tuple[Asked, list[int]]:
        asked = self._asked(question.skill, question.seed, question.setting)
        return asked, asked.counting(question.tapped(given))


def _is_asked(tala: Tala) -> bool:
    low, high = _tempos(tala)
    return (
        LAYA in tala.laya
        and 0 < len(tala.tali) <= tala.matras * MOST_CLAPPED
        and high - low >= LEAST_RANGE
    )


def _cycles(tala: Tala) -> int:
    """How many cycles are tapped."""
    return max(1, min(MOST_CYCLES, MOST_MATRAS // tala.matras))


def _tempos(tala: Tala) -> tuple[float, float]:
    low, high = TEMPOS
    return max(low, _matras(tala) * 60 / LONGEST_S), high


def _matras(tala: Tala) -> int:
    """How many sound in all."""
    return (HEARD_CYCLES + _cycles(tala)) * tala.matras


def _forms(tala: Tala) -> tuple[Form, ...]:
    """The tala's own form, and others' that have claps in as many matras."""
    return tuple(form for form in tala.forms if form.matras == tala.matras and form.tali)


def _luck(tala: Tala) -> float:
    """The chance of who hears nothing but knows all else: that one tempo, guessed once for all
    questions and kept to evenly, meets the last clap within the window, and so those before it.

    A clap `last` matras after the beginning falls at 60 000 ms times last / tempo; tempos that put
    it within the window of where the fastest has it, on both sides, make the share of all that may
    be drawn. The lead is taken as known, which can only make it more.
    """
    low, high = _tempos(tala)
    last = max((HEARD_CYCLES + _cycles(tala) - 1) * tala.matras + max(tala.tali) - 1, 1)
    fits = 2 * WINDOW_MS * high**2 / (MINUTE_MS * last)
    return min(1.0, fits / (high - low))


def _credit(asked: Asked, form: Form, taps: Sequence[int]) -> float:
    if not taps:
        return 0.0
    beats, claps = asked.beats_ms(form), len(form.tali)
    blind = 2 * claps / (claps + form.matras)  # each matra tapped, exactly in time

    def worth(taps: Sequence[int]) -> float:
        near = max(f_measure(beats, taps), cemgil(beats, taps))
        return max(0.0, (near - blind) / (1.0 - blind))

    moved = _moved_ms(asked.asynchrony(form, taps))
    in_time = worth([tap - moved for tap in taps]) if moved else 0.0
    return max(worth(taps), STEADY_CREDIT * in_time)


def _met(found: Asynchrony) -> int:
    return sum(abs(off) <= WINDOW_MS for off in found.met_ms)


def _plucks(asked: Asked, moments_ms: Sequence[Fraction] | Sequence[int]) -> tuple[Stroke, ...]:
    plucks: list[Stroke] = []
    for moment in moments_ms:
        onset_s = float((moment - asked.cue.ms_of(0)) / 1000)
        if not plucks or onset_s >= plucks[-1].end_s:
            plucks.append(Stroke(onset_s, PLUCK_S, ((0.0, 0.0),), brightness=0.5))
    return tuple(plucks)


def _label(form: Form, clap: int) -> str:
    """Its sign; the first clap of each cycle says which of those that are tapped it is."""
    cycle, matra = clap // form.matras - HEARD_CYCLES + 1, clap % form.matras + 1
    sign = say("sam") if matra == 1 else form.sign(matra)
    if matra != min(form.tali):
        return sign
    return say("{sign}, cycle {cycle}", sign=sign, cycle=cycle)


def _why(asked: Asked, form: Form, found: Asynchrony) -> Iterator[str]:
    tala = asked.tala
    yield say("{tala}: {hand}.", tala=tala.called, hand=hand_told(tala.form))
    if form != tala.form:
        yield say("You kept it as others have it: {hand}.", hand=hand_told(form))
    if found.mean_ms is not None:
        yield timing_told(found)
    missed = [
        clap % form.matras + 1
        for clap, off in zip(asked.claps(form), found.offs_ms, strict=True)
        if off is None
    ]
    if missed:
        yield missed_told(missed)
    if found.extra:
        yield say_many(
            "{number} tap came where no clap is.",
            "{number} taps came where no clap is.",
            found.extra,
            number=capital(number_word(found.extra)),
        )
    if _moved_ms(found):
        yield say(
            "Your taps are steady, but all to one side. If they felt in time, take the tap test in "
            "the settings: it measures how late this device is."
        )


def _moved_ms(found: Asynchrony) -> int:
    """By how much steady taps are all late, below 0 early, where this can be the device's doing and
    more than a clap forgives; else 0."""
    mean, spread = found.mean_ms, found.sd_ms
    if mean is None or spread is None or spread >= STEADY_MS:
        return 0
    return round(mean) if WINDOW_MS < abs(mean) <= MOST_MOVED_MS else 0

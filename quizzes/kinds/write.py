"""`write`: a phrase is heard and written in sargam: its swaras, then saptaks, lengths and hands.

`write:swaras:5` is five swaras of one matra each in the middle saptak; `write:saptaks:5` leaves it;
`write:lengths:5` sets them in time, over a beat of the tabla; `write:hands:5` has ornaments, and in
`write:all:4` everything counts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial

from audio.line import Line
from audio.playing import score_of
from audio.sargam import parse, write
from audio.score import Score
from audio.tuning import Swara, load_tuning
from quizzes.dictation.beats import over_beats
from quizzes.dictation.explaining import explained, mark_of
from quizzes.dictation.phrases import Phrase, Wish, fresh_phrase, ladder
from quizzes.dictation.places import LENGTH, ORNAMENT, SWARA
from quizzes.dictation.telling import course_of, hands_of
from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.levels import Level
from quizzes.met import ALSO_MET
from quizzes.names import capital, counted, swara_name, swaras_counted
from quizzes.question import Choice, Mark, Question, Setting, Skill
from quizzes.ragas.said import raga_name
from quizzes.ragas.sounding import varied
from words import in_script, say, to_say

SA_MOVES_SEMITONES = 3.0
TEMPO = 62.0, 78.0
"""In matras a minute, from and to."""
SLOWER, SLOW = 0.85, 0.6
"""An explanation plays at so much of the tempo; slowly, where that is wished for."""
LEAD_S = 0.1, 0.4
MORE_PLACES = 3
"""So many swaras too many can be written."""
ONWARD = 2
"""After each swara two others are likely: so the lines are counted among which a guess is made."""
WAYS_OF_LENGTH = 2
"""The same of lengths; of ornaments, any swara may have one."""
LIKELIER_IN_RAGA = 2.0
"""A raga comes back to its own turns, so that one line is likelier than its share by so much.

`python -m tests.quizzes.all_written_phrases` measures how often the likeliest line comes."""


USUAL_RUNGS = 7
"""Swaras of a scale."""
READING_S, EACH_S = 8.0, 2.5


@dataclass(frozen=True, slots=True)
class Way:
    """What is written, and how long its phrases are."""

    asked: str
    """What is to be written of it, to be said; and what does not count."""
    named: str
    """What a skill is called, to be said."""
    counts: tuple[str, ...]
    signs: tuple[str, ...]
    wishes: tuple[Wish, ...]
    """In the order in which they are met."""


def _wishes(
    sizes: tuple[int, ...],
    *,
    saptaks: bool = False,
    lengths: tuple[int, ...] = (),
    ornaments: tuple[int, ...] = (),
) -> tuple[Wish, ...]:
    """A wish for each size, the further on the more ways of setting it in time and ornaments."""
    none = (0,) * len(sizes)
    rows = zip(sizes, lengths or none, ornaments or none, strict=True)
    return tuple(Wish(count, saptaks, ways, most) for count, ways, most in rows)


WAYS: Mapping[str, Way] = {
    "swaras": Way(
        to_say("Write its {swaras}, one matra each."),
        to_say("a phrase of {swaras}, written"),
        (SWARA,),
        (),
        _wishes((2, 3, 4, 5, 6, 7, 8, 9)),
    ),
    "saptaks": Way(
        to_say("Write its {swaras}, each in its saptak, one matra each."),
        to_say("a phrase of {swaras} over the saptaks, written"),
        (SWARA,),
        ("saptaks",),
        _wishes((3, 4, 5, 7, 9), saptaks=True),
    ),
    "lengths": Way(
        to_say("Write its {swaras} with their lengths; the last one's length does not count."),
        to_say("a phrase of {swaras} in time, written"),
        (SWARA, LENGTH),
        ("lengths",),
        _wishes((3, 4, 5, 7, 9), lengths=(4, 4, 4, 5, 6)),
    ),
    "hands": Way(
        to_say("Write its {swaras} with their ornaments, one matra each."),
        to_say("a phrase of {swaras} with ornaments, written"),
        (SWARA, ORNAMENT),
        ("hands",),
        _wishes((3, 4, 5, 7), ornaments=(1, 1, 2, 3)),
    ),
    "all": Way(
        to_say(
            "Write its {swaras} with saptak, length and ornament; the last one's length does not "
            "count."
        ),
        to_say("a phrase of {swaras} over the saptaks, in time and with ornaments, written"),
        (SWARA, LENGTH, ORNAMENT),
        ("saptaks", "lengths", "hands"),
        _wishes((4, 6, 8), saptaks=True, lengths=(4, 4, 6), ornaments=(1, 2, 3)),
    ),
}
"""By the second part of a skill's id, in the order in which they are met."""


class WriteKind:
    name = "write"
    title = to_say("A phrase sounds: write it in sargam.")
    plays_in_ragas = True
    also_met = ALSO_MET

    def skills(self) -> tuple[Skill, ...]:
        return tuple(_skill(what, wish) for what, way in WAYS.items() for wish in way.wishes)

    def name_of(self, skill: str) -> str:
        return _name(*asked(skill))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        what, wish = asked(skill)
        way, fresh = WAYS[what], Fresh(skill, seed)
        phrase = fresh_phrase(fresh, setting, wish)
        sa_hz = fresh.moved_sa(setting.sa_hz, semitones=SA_MOVES_SEMITONES)
        tempo = round(fresh.between(*TEMPO), 2)
        lead_s = round(fresh.between(*LEAD_S), 3)
        cue = varied(
            fresh,
            score_of(
                phrase.line,
                load_tuning(setting.tuning),
                sa_hz=sa_hz,
                matras_per_min=tempo,
                drone=phrase.drone,
                lead_s=lead_s,
            ),
        )
        if LENGTH in way.counts:
            cue = over_beats(cue, matras=float(phrase.line.matras), tempo=tempo)
        return Question(
            kind=self.name,
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=_prompt(way, wish, phrase),
            choices=tuple(
                Choice(letter, capital(swara_name(Swara.read(letter)))) for letter in phrase.letters
            ),
            right=(write(phrase.line),),
            cue=cue,
            sargam=write(phrase.line),
            answer_on="sargam",
            detail={"tempo": tempo},
            luck=_luck(way, wish, phrase),
            places=wish.count + MORE_PLACES,
            fewest=-(-wish.count // 2),
            signs=way.signs,
        )

    def mark(self, question: Question, given: str) -> Mark:
        return mark_of(question, given, _counts(question))

    def explain(self, question: Question, given: str) -> Explanation:
        counts = _counts(question)
        told = explained(
            question,
            given,
            counts,
            played=partial(_played, question, over=LENGTH in counts),
            alone=partial(_played, question, over=False),
        )
        right = parse(question.right[0])
        slow = _played(question, right, over=LENGTH in counts, share=SLOW)
        return replace(told, why=told.why or course_of(right), slow_cue=slow)

    def level(self, skill: str) -> Level | None:
        return None

    def several(self, count: int) -> str:
        return counted(count, "{number} phrase to write", "{number} phrases to write")

    def introduce(self, question: Question) -> str:
        what, wish = asked(question.skill)
        return say(
            "{write} Here they are {line}{hands}.",
            write=_to_write(WAYS[what], wish),
            line=in_script(question.right[0]),
            hands=hands_of(parse(question.right[0])),
        )


def asked(skill: str) -> tuple[str, Wish]:
    """What is to be written, and of which phrase, from an id such as `write:swaras:5`. Raises
    UnknownSkill."""
    kind, _, rest = skill.partition(":")
    what, _, size = rest.partition(":")
    if kind == WriteKind.name and what in WAYS:
        for wish in WAYS[what].wishes:
            if size == str(wish.count):
                return what, wish
    known = "; ".join(
        f"{what}: and one of {' '.join(str(wish.count) for wish in way.wishes)}"
        for what, way in WAYS.items()
    )
    raise UnknownSkill(f"{skill!r} is not asked; write write: and {known}")


def _counts(question: Question) -> tuple[str, ...]:
    return WAYS[asked(question.skill)[0]].counts


def _prompt(way: Way, wish: Wish, phrase: Phrase) -> str:
    scale, over_beat = in_script(" ".join(phrase.letters)), LENGTH in way.counts
    if phrase.raga:
        text = _BEATS_OF_RAGA if over_beat else _OF_RAGA
        before = say(text, raga=raga_name(phrase.raga), scale=scale)
    else:
        before = say(_BEATS_OF_SCALE if over_beat else _OF_SCALE, scale=scale)
    return f"{before} {_to_write(way, wish)}"


_OF_RAGA = to_say("A phrase of {raga} ({scale}).")
_OF_SCALE = to_say("A phrase of swaras among {scale}.")
_BEATS_OF_RAGA = to_say("Four beats give the matra, then a phrase of {raga} ({scale}).")
_BEATS_OF_SCALE = to_say("Four beats give the matra, then a phrase of swaras among {scale}.")


def _to_write(way: Way, wish: Wish) -> str:
    return say(way.asked, swaras=swaras_counted(wish.count))


def _luck(way: Way, wish: Wish, phrase: Phrase) -> float:
    alike = LIKELIER_IN_RAGA if phrase.raga else 1.0
    return alike / _lines(way, wish, len(ladder(phrase.letters, wish.saptaks)))


def _lines(way: Way, wish: Wish, rungs: int) -> float:
    """Among how many lines who hears nothing would have to guess: any swara first, then some of
    those near."""
    onward = min(rungs - 1, ONWARD)
    lines = float(rungs) * float(onward) ** (wish.count - 1)
    if LENGTH in way.counts:
        lines *= WAYS_OF_LENGTH ** (wish.count - 1)
    if ORNAMENT in way.counts:
        lines *= wish.count
    return lines


def _played(question: Question, line: Line, *, over: bool, share: float = SLOWER) -> Score:
    """As an explanation plays it: evenly, slower, over the beat where that is asked."""
    tempo = float(question.detail["tempo"]) * share
    score = score_of(
        line,
        load_tuning(question.setting.tuning),
        sa_hz=question.cue.sa_hz,
        matras_per_min=tempo,
        drone=question.cue.drone,
    )
    return over_beats(score, matras=float(line.matras), tempo=tempo, before=0) if over else score


def _name(what: str, wish: Wish) -> str:
    return say(WAYS[what].named, swaras=swaras_counted(wish.count))


def _skill(what: str, wish: Wish) -> Skill:
    way = WAYS[what]
    return Skill(
        id=f"write:{what}:{wish.count}",
        kind=WriteKind.name,
        name=_name(what, wish),
        family="perception",
        cluster=f"write {what}",
        chance=1.0 / _lines(way, wish, USUAL_RUNGS),
        seconds=READING_S + EACH_S * wish.count * len((*way.counts, *way.signs)),
    )

"""Strokes written down place by place, and the altered stroke found: two ways to ask `strokes`."""

from __future__ import annotations

from audio.mizrab import mizrab
from audio.score import TablaStroke
from quizzes.bol_lines import (
    CONTENTS,
    Content,
    Line,
    altered_line,
    fresh_line,
    lines_beginning,
    lines_of,
)
from quizzes.bol_luck import credit_of
from quizzes.bols import mizrab_bols
from quizzes.edits import slips
from quizzes.errors import UnknownSkill
from quizzes.explanation import Explanation
from quizzes.fresh import Fresh
from quizzes.names import capital, counted, listed
from quizzes.question import Choice, Mark, Question, Setting, Skill
from quizzes.right_hand import Hand, for_readers, fresh_hand, written
from words import say, to_say

LENGTHS = (4, 8, 16)
IN_WORDS = {4: to_say("four"), 8: to_say("eight"), 16: to_say("sixteen")}
TEMPOS = {4: (56.0, 70.0), 8: (64.0, 80.0), 16: (84.0, 98.0)}
"""Matras a minute; longer lines go on a little faster, to be kept in mind."""
SWARAS = {4: 1, 8: 2, 16: 4}
CYCLES = {16: "tintal"}
"""A line as long as a cycle is played over the theka of that tala, from sam."""

ALTERED = ("dir", "da-ra")
ALTERED_PLACES = 8
ALTERED_TEMPO = (84.0, 100.0)


class Writing:
    """`strokes:write:dir:8`: eight matras of da, ra and dir, to be written down."""

    way = "write"

    def skills(self) -> tuple[Skill, ...]:
        lines = [(c, n) for n in LENGTHS for c in CONTENTS.values() if n <= c.longest]
        lines.sort(key=lambda line: (list(CONTENTS).index(line[0].name) > 1, line[1]))
        return tuple(_writing_skill(content, places) for content, places in lines)

    def name_of(self, skill: str) -> str:
        return _name_of_line(*_asked_line(skill))

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        content, places = _asked_line(skill)
        line, hand = _drawn_line(skill, seed, setting)
        return Question(
            kind="strokes",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=_prompt(places, line[0]),
            choices=tuple(Choice(key, mizrab_bols(key)) for key in content.keys),
            right=(" ".join(line),),
            cue=hand.score(line, tabla=_theka(places, hand)),
            sargam=written(line, hand),
            answer_on="written",
            places=places,
            fewest=places,
            lines=lines_beginning(content.name, places, line[0]),
        )

    def mark(self, question: Question, given: str) -> Mark:
        line, answered = question.written(question.right[0]), question.written(given)
        content, _ = _asked_line(question.skill)
        credit = credit_of(line, answered, content=content.name)
        return Mark(credit, heard=None if line == answered else _heard(question, answered))

    def explain(self, question: Question, given: str) -> Explanation:
        line, answered = question.written(question.right[0]), question.written(given)
        hand = _drawn_line(question.skill, question.seed, question.setting)[1].explained()
        return Explanation(
            right_label=_said(line),
            given_label=_said(answered),
            why=_describe(line, answered),
            right_cue=hand.score(line),
            given_cue=None if answered == line else hand.score(answered),
            right_written=for_readers(question.sargam),
        )

    def introduce(self, question: Question) -> str:
        content, _ = _asked_line(question.skill)
        here = say("Here it goes: {bols}.", bols=mizrab_bols(question.right[0]))
        return f"{_about(content)} {here}"


def _prompt(places: int, first: str) -> str:
    number, bol = say(IN_WORDS[places]), mizrab_bols(first)
    if places in CYCLES:
        return say(
            "Write the strokes, one key for each matra: {number} from sam, one cycle of {tala}. "
            "The first is {bol}.",
            number=number,
            tala=say(CYCLES[places]),
            bol=bol,
        )
    return say(
        "Write the strokes, one key for each matra: {number} in all. The first is {bol}.",
        number=number,
        bol=bol,
    )


def _said(line: Line) -> str:
    return mizrab_bols(" ".join(line))


def _theka(places: int, hand: Hand) -> tuple[TablaStroke, ...]:
    return hand.theka(CYCLES[places], matras=places) if places in CYCLES else ()


_PRESENTS = {"da-ra": ("da", "ra"), "dir": ("dir",), "chikari": ("chikari",), "dra": ("dra",)}
"""Which bols a content is there to make known."""


def _about(content: Content) -> str:
    bols = mizrab().bols
    return " ".join(
        say("{bol}: {about}.", bol=capital(mizrab_bols(bol)), about=say(bols[bol].about))
        for bol in _PRESENTS[content.name]
    )


def _name_of_line(content: Content, places: int) -> str:
    bols = listed([mizrab_bols(key) for key in content.keys])
    return say("{number} strokes of {bols}", number=say(IN_WORDS[places]), bols=bols)


def _writing_skill(content: Content, places: int) -> Skill:
    return Skill(
        id=f"strokes:write:{content.name}:{places}",
        kind="strokes",
        name=_name_of_line(content, places),
        family="perception",
        cluster=f"strokes write {places}",
        chance=1 / lines_of(content, places),
        seconds={4: 18.0, 8: 30.0, 16: 55.0}[places],
    )


def _asked_line(skill: str) -> tuple[Content, int]:
    """The content and places of an id such as `strokes:write:dir:8`. Raises UnknownSkill."""
    name, _, places = skill.removeprefix("strokes:write:").partition(":")
    content = CONTENTS.get(name)
    if content and places in map(str, LENGTHS) and int(places) <= content.longest:
        return content, int(places)
    raise UnknownSkill(
        f"{skill!r} is not asked; write strokes:write:, one of {', '.join(CONTENTS)}, and :4, :8 "
        "or, for da-ra and dir, :16"
    )


def _drawn_line(skill: str, seed: int, setting: Setting) -> tuple[Line, Hand]:
    content, places = _asked_line(skill)
    fresh = Fresh(skill, seed)
    line = fresh_line(fresh, content, places)
    return line, fresh_hand(fresh, setting, tempo=TEMPOS[places], swaras=SWARAS[places])


def _heard(question: Question, answered: Line) -> str | None:
    """The skill of plain strokes where a whole line was written without what was to be heard."""
    content, places = _asked_line(question.skill)
    whole = len(answered) == places
    if content.name != "da-ra" and whole and set(answered) <= set(CONTENTS["da-ra"].keys):
        return f"strokes:write:da-ra:{places}"
    return None


def _describe(line: Line, answered: Line) -> str:
    wrong = slips(line, answered)
    if not wrong:
        return say("It was {bols}.", bols=_said(line))
    where = _where(line, answered, *wrong[0])
    if len(wrong) == 1:
        return where
    slips_told = counted(len(wrong), "{number} slip", "{number} slips")
    return f"{where} {say('That is the first of {slips}.', slips=slips_told)}"


def _where(line: Line, answered: Line, at: int | None, to: int | None) -> str:
    """What is wrong at one place of the line, of what was written, or of both."""
    given = "" if to is None else mizrab_bols(answered[to])
    if at is None:
        place = 0 if to is None else to + 1
        return say("Of what you wrote, {bol} in place {place} is too much.", bol=given, place=place)
    was = mizrab_bols(line[at])
    if to is None:
        return say("Matra {matra}, {bol}, is missing.", matra=at + 1, bol=was)
    return say("Matra {matra} was {bol}; you wrote {given}.", matra=at + 1, bol=was, given=given)


class Altered:
    """`strokes:altered:dir`: eight matras twice, one stroke altered; which matra is it."""

    way = "altered"

    def skills(self) -> tuple[Skill, ...]:
        return tuple(_altered_skill(name) for name in ALTERED)

    def name_of(self, skill: str) -> str:
        return say(_NAMES_ALTERED[_asked_altered(skill)])

    def make(self, skill: str, *, seed: int, setting: Setting) -> Question:
        line, at, hand = _drawn_altered(skill, seed, setting)
        other = altered_line(line, at, _asked_altered(skill))
        return Question(
            kind="strokes",
            skill=skill,
            seed=seed,
            setting=setting,
            prompt=say("Eight matras come twice, with one stroke altered. On which matra?"),
            choices=tuple(Choice(str(n), _matra(n)) for n in range(1, ALTERED_PLACES + 1)),
            right=(str(at + 1),),
            cue=hand.score(line, other),
            sargam=f"{' '.join(line)} / {written(other, hand)}",
        )

    def mark(self, question: Question, given: str) -> Mark:
        question.choice(given)
        return Mark(1.0 if given in question.right else 0.0)

    def explain(self, question: Question, given: str) -> Explanation:
        skill = question.skill
        line, at, hand = _drawn_altered(skill, question.seed, question.setting)
        hand, name = hand.explained(), _asked_altered(skill)
        other = altered_line(line, at, name)
        answered = altered_line(line, int(given) - 1, name)
        return Explanation(
            right_label=_matra(at + 1),
            given_label=_matra(int(given)),
            why=say(
                "It was {bols}; the second time matra {matra} was {other} instead of {bol}.",
                bols=_said(line),
                matra=at + 1,
                other=mizrab_bols(other[at]),
                bol=mizrab_bols(line[at]),
            ),
            right_cue=hand.score(line, other),
            given_cue=None if given in question.right else hand.score(line, answered),
            right_written=for_readers(question.sargam),
        )

    def introduce(self, question: Question) -> str:
        line, at, _ = _drawn_altered(question.skill, question.seed, question.setting)
        other = altered_line(line, at, _asked_altered(question.skill))
        return say(
            "You hear a line of strokes twice. One of them is another the second time. "
            "Here matra {matra} is {bol} first and then {other}.",
            matra=at + 1,
            bol=mizrab_bols(line[at]),
            other=mizrab_bols(other[at]),
        )


def _matra(number: int) -> str:
    return say("Matra {matra}", matra=number)


_NAMES_ALTERED = {
    "dir": to_say("where a stroke is altered: a dir more or less"),
    "da-ra": to_say("where a stroke is altered: da and ra exchanged"),
}


def _altered_skill(name: str) -> Skill:
    return Skill(
        id=f"strokes:altered:{name}",
        kind="strokes",
        name=say(_NAMES_ALTERED[name]),
        family="perception",
        cluster="strokes altered",
        chance=1 / ALTERED_PLACES,
        seconds=24.0,
    )


def _asked_altered(skill: str) -> str:
    name = skill.removeprefix("strokes:altered:")
    if name in ALTERED:
        return name
    raise UnknownSkill(f"{skill!r} is not asked; write strokes:altered:dir or :da-ra")


def _drawn_altered(skill: str, seed: int, setting: Setting) -> tuple[Line, int, Hand]:
    name = _asked_altered(skill)
    fresh = Fresh(skill, seed)
    line = fresh_line(fresh, CONTENTS[name], ALTERED_PLACES)
    at = fresh.one_of(range(ALTERED_PLACES))
    return line, at, fresh_hand(fresh, setting, tempo=ALTERED_TEMPO, swaras=1)

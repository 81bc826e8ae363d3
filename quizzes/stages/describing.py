"""What is heard in a stage, in words, by the features of `quizzes.stages.telling`."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from audio.mizrab import CHIKARI, NOTE, Jhala, mizrab
from quizzes.names import capital, listed, number_word
from quizzes.stages.asking import stage_name
from quizzes.stages.stage import Form, Heard, Range, from_to
from quizzes.stages.telling import apart_by, are_apart, telling
from words import say, say_as, say_many, to_say


@dataclass(frozen=True, slots=True)
class Clause:
    """What is heard, to follow a stage: `keeps to a line`; of what it `has`, that alone."""

    text: str
    has: bool = False


def known_by(known: Form, stage: str, among: Sequence[str], *, about: str = "") -> str:
    """`No pulse goes through it: this is alap.`: what tells it from all of these beside it; and
    what it is, where that is given."""
    heard = known.stages[stage].heard
    beside = [known.stages[each].heard for each in among if each != stage]
    apart = [each for each in beside if are_apart(heard, each)]
    said = capital(_of_itself(heard, telling(heard, apart), apart))
    name = stage_name(known, stage)
    if about:
        return say("{heard}: this is {stage}, {about}.", heard=said, stage=name, about=about)
    return say("{heard}: this is {stage}.", heard=said, stage=name)


def otherwise(known: Form, stage: str, right: str) -> str:
    """`has a steady pulse`: what in a stage is plainly otherwise than in the right one."""
    heard, beside = known.stages[stage].heard, known.stages[right].heard
    return described(heard, apart_by(heard, beside)[:1], [beside])


def _of_itself(heard: Heard, features: Sequence[str], beside: Sequence[Heard]) -> str:
    """A clause with a subject of its own."""
    if features[0] != "pulse":
        return say("it {heard}", heard=described(heard, features, beside))
    pulse = (
        say("a steady pulse goes through it") if heard.pulse else say("no pulse goes through it")
    )
    rest = described(heard, features[1:], beside)
    return say("{pulse}, and it {heard}", pulse=pulse, heard=rest) if rest else pulse


def described(heard: Heard, features: Sequence[str], beside: Sequence[Heard] = ()) -> str:
    """These features of a stage, to follow its name or "it": `has a steady pulse and no tihai`.

    `beside` are those with which it is compared.
    """
    said: list[str] = []
    has = False
    for feature in features:
        clause = _SAID[feature](heard, beside)
        has = clause.has and not has  # not again after one that has it
        said.append(say("has {what}", what=clause.text) if has else clause.text)
    *before, last = said or [""]
    if not before:
        return last
    return say_as("what is heard", "{before} and {last}", before=", ".join(before), last=last)


def _pulse(heard: Heard, beside: Sequence[Heard]) -> Clause:
    pulse = say_as("has", "a steady pulse") if heard.pulse else say_as("has", "no pulse")
    return Clause(pulse, has=True)


def _tabla(heard: Heard, beside: Sequence[Heard]) -> Clause:
    if heard.tabla:
        return Clause(say("is played with the tabla"))
    return Clause(say("is played without the tabla"))


def _chikari(heard: Heard, beside: Sequence[Heard]) -> Clause:
    return _by_share(heard.chikari, _CHIKARI)


def _ends(heard: Heard, beside: Sequence[Heard]) -> Clause:
    if heard.ends:
        return Clause(say("strikes one phrase three times, up to sam"))
    return Clause(say_as("has", "no tihai"), has=True)


def _run(heard: Heard, beside: Sequence[Heard]) -> Clause:
    if not heard.run:
        return Clause(say_as("has", "no quick runs"), has=True)
    if beside and not any(each.run for each in beside):
        return Clause(say_as("has", "quick runs"), has=True)
    return Clause(say(_RUNS[heard.run]))


def _shaken(heard: Heard, beside: Sequence[Heard]) -> Clause:
    return Clause(say("shakes its swaras") if heard.shaken else say("hardly shakes a swara"))


def _tempo(heard: Heard, beside: Sequence[Heard]) -> Clause:
    if heard.tempo is None:
        return Clause(say_as("has", "no pulse"), has=True)
    tempo = from_to(heard.tempo)
    if heard.tabla:
        pace = say("{range} matras a minute", range=tempo)
    else:
        pace = say("{range} pulses a minute", range=tempo)
    if len(beside) != 1 or not (other := beside[0].tempo):
        return Clause(say("goes at {pace}", pace=pace))
    if heard.tempo < other:
        return Clause(say("is slower ({pace})", pace=pace))
    return Clause(say("is faster ({pace})", pace=pace))


def _bols(heard: Heard, beside: Sequence[Heard]) -> Clause:
    for gat in mizrab().gats:
        if gat.name == heard.bols:
            return Clause(say("keeps to {line}", line=say(gat.about)))
    for jhala in mizrab().jhalas:
        if jhala.name == heard.bols:
            return Clause(_groups(jhala), has=True)
    return Clause(say("keeps to no set line of strokes"))


def _groups(jhala: Jhala) -> str:
    """`three chikari strokes after each note`; of uneven groups, how many by turns."""
    _, *groups = " ".join(jhala.pattern).split(NOTE)
    counts = [group.count(CHIKARI) for group in groups]
    words = [number_word(count) for count in counts]
    if len(counts) == 1:
        return say_many(
            "{number} chikari stroke after each note",
            "{number} chikari strokes after each note",
            counts[0],
            number=words[0],
        )
    return say("{numbers} chikari strokes after its notes, by turns", numbers=listed(words))


def _register(heard: Heard, beside: Sequence[Heard]) -> Clause:
    first, *others = heard.register
    if not others:
        return Clause(say(_KEPT_TO[first]))
    *between, last = (say(saptak) for saptak in others)
    if not between:
        return Clause(say("goes from {first} to {last}", first=say(first), last=last))
    return Clause(
        say(
            "goes from {first} through {between} to {last}",
            first=say(first),
            between=listed(between),
            last=last,
        )
    )


def _strokes(heard: Heard, beside: Sequence[Heard]) -> Clause:
    strokes = from_to(heard.strokes)
    if len(beside) != 1:
        return Clause(say("{range} strokes a second on the string", range=strokes), has=True)
    if heard.strokes < beside[0].strokes:
        fewer = say("fewer strokes on the string ({range} a second)", range=strokes)
        return Clause(fewer, has=True)
    return Clause(say("more strokes on the string ({range} a second)", range=strokes), has=True)


def _ornaments(heard: Heard, beside: Sequence[Heard]) -> Clause:
    return _by_share(heard.ornaments, _ORNAMENTS)


def _by_share(share: Range, words: Sequence[tuple[float, str]]) -> Clause:
    return Clause(say(next(said for least, said in words if sum(share) / 2 >= least)))


_KEPT_TO = {
    "mandra": to_say("keeps mostly to mandra, below the middle Sa"),
    "madhya": to_say("keeps mostly to madhya, between the middle Sa and the upper one"),
    "tar": to_say("keeps mostly to tar, the upper Sa and above it"),
}
_CHIKARI = (
    (0.5, to_say("strikes the chikari more often than the playing string")),
    (0.2, to_say("strikes the chikari now and then")),
    (0.0, to_say("hardly strikes the chikari")),
)
_ORNAMENTS = (
    (0.5, to_say("bends or touches most of its swaras")),
    (0.15, to_say("bends or touches some of its swaras")),
    (0.0, to_say("strikes nearly all of its swaras plainly")),
)
_RUNS = {
    "sapat": to_say("runs straight up and down"),
    "kut": to_say("goes crookedly, by turns that cannot be foreseen"),
    "alankarik": to_say("takes one pattern from swara to swara"),
    "gamak": to_say("shakes the swaras of its run"),
    "chhut": to_say("drops from high in quick falls"),
}
_SAID: Mapping[str, Callable[[Heard, Sequence[Heard]], Clause]] = {
    "pulse": _pulse,
    "tabla": _tabla,
    "chikari": _chikari,
    "ends": _ends,
    "run": _run,
    "shaken": _shaken,
    "tempo": _tempo,
    "bols": _bols,
    "register": _register,
    "strokes": _strokes,
    "ornaments": _ornaments,
}

"""Kinds of Kaan, narrowed by a deck: which of their skills, among what, with which phrases."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

from audio.line import Line
from quizzes.catalogue import is_of_talas, skill_of
from quizzes.decks.collecting import Part, nearest, such_as
from quizzes.decks.deck import Narrowed
from quizzes.decks.heard import check_length, line_in
from quizzes.decks.limits import (
    FEWEST_ANSWERS,
    LONGEST_NAME,
    LONGEST_SARGAM,
    MOST_ANSWERS,
    MOST_BESIDE_AMONG,
    MOST_LINES,
    MOST_LISTED,
)
from quizzes.decks.narrowing import PHRASES
from quizzes.errors import UnknownSkill
from quizzes.fields import shown
from quizzes.kept import OF_RAGAS
from quizzes.kinds import KINDS
from quizzes.met_in_order import met_in, ragas_of
from quizzes.names import listed
from quizzes.question import Skill
from quizzes.ragas import Raga, break_of, makes, separates, swaras_of
from quizzes.ragas.telling import FINE, told_by
from quizzes.talas import Tala
from quizzes.talas.asking import talas_in

KEYS = ("id", "kind", "name", "skills", "ask", "ragas", "talas", "among", "phrases")
CHOSEN = ("skills", "ask", "ragas", "talas")
"""Each says which of the kind's own skills are asked."""
TELLING = ("note", "run", *FINE)


def narrowed_of(
    part: Part,
    identity: str,
    kind: str,
    ragas: Mapping[str, Raga],
    talas: Mapping[str, Tala],
    tradition: str,
) -> Narrowed:
    """The narrowed kind of a table; what is wrong is noted and left out."""
    name = part.text("name", most=LONGEST_NAME, needed=False) or KINDS[kind].title
    phrases = _phrases(part, kind, ragas)
    if kind != PHRASES:
        skills = _skills(part, kind, ragas, talas, tradition)
        return Narrowed(identity, kind, name, skills, _choices(part, skills))
    among = _among(part, ragas, phrases)
    if not {"among", "phrases"} & part.values.keys():
        return Narrowed(identity, kind, name, _skills(part, kind, ragas, talas, tradition))
    for field in CHOSEN:
        if field in part:
            said = "stands beside among or phrases, by which each raga offered is asked"
            part.fault(field, said, f"leave out {field}, or make two questions of it")
    return Narrowed(identity, kind, name, (), among, MappingProxyType(phrases))


def _skills(
    part: Part,
    kind: str,
    ragas: Mapping[str, Raga],
    talas: Mapping[str, Tala],
    tradition: str,
) -> tuple[str, ...]:
    """Ids of what is asked, in the order of the file, else in that of the kind."""
    before = part.faults
    every = met_in(tradition).of_kind(kind)
    named = _named(part, kind, every, tradition)
    of_ragas, of_talas = kind.startswith(OF_RAGAS), is_of_talas(kind)
    found: Sequence[Skill] = every
    if "ragas" in part:
        chosen = _known(part, "ragas", ragas, "raga", of_ragas, kind)
        found = [each for each in found if chosen.issuperset(ragas_of(each))]
    if "talas" in part:
        chosen = _known(part, "talas", talas, "tala", of_talas, kind)
        found = [each for each in found if talas_in([each.id], chosen)]
    found = _begun(part, kind, every, found)
    if "skills" in part and not {"ask", "ragas", "talas"} & part.values.keys():
        found = []
    ids = tuple(dict.fromkeys((*named, *(each.id for each in found))))
    if not ids and part.faults == before:
        part.wrong("nothing is asked so", f"widen it; `main.py kinds {kind}` lists all skills")
    return ids


def _named(part: Part, kind: str, every: Sequence[Skill], tradition: str) -> list[str]:
    found = []
    for at, text in part.listed("skills", most=MOST_LISTED, example='["gap:R-P:up"]'):
        try:
            skill = skill_of(text, tradition)
        except UnknownSkill:
            near = nearest(text, [each.id for each in every])
            remedy = f"write {near}" if near else f"`main.py kinds {kind}` lists all"
            part.fault("skills", f"{shown(text)} is not asked by Kaan", remedy, at)
            continue
        if skill.kind != kind:
            said = f"{text} is of the kind {skill.kind}, not {kind}"
            part.fault("skills", said, "give it a question of its own", at)
            continue
        found.append(skill.id)
    return found


def _begun(part: Part, kind: str, every: Sequence[Skill], found: Sequence[Skill]) -> list[Skill]:
    """Of what was found, what begins as one of `ask` does, in the order of these."""
    if "ask" not in part:
        return list(found)
    begun: list[Skill] = []
    for at, text in part.listed("ask", most=MOST_LISTED, example='["gap:R-"]'):
        if not any(each.id.startswith(text) for each in every):
            said = f"nothing that {kind} asks begins with {shown(text)}"
            remedy = f"begin it as ids do that `main.py kinds {kind}` lists"
            part.fault("ask", said, remedy, at)
        begun += [each for each in found if each.id.startswith(text)]
    return begun


def _known(
    part: Part, field: str, known: Iterable[str], thing: str, asks: bool, kind: str
) -> frozenset[str]:
    """The ragas or talas that a field names."""
    if not asks:
        part.fault(field, f"{kind} asks of no {thing}", f"leave out {field}")
        return frozenset()
    ids = tuple(known)
    chosen = set()
    for at, text in part.listed(field, most=MOST_LISTED, example=f'["{ids[0]}"]'):
        if text in ids:
            chosen.add(text)
        else:
            said = f"{shown(text)} is no {thing} known here"
            part.fault(field, said, such_as(text, ids), at)
    return frozenset(chosen)


def _choices(part: Part, skills: Sequence[str]) -> tuple[str, ...]:
    """Ids of the answers that a kind is to offer; whether it can is seen by `check_narrowed`."""
    found = part.listed("among", most=MOST_ANSWERS, example='["R", "G", "P"]')
    if len(found) == 1 and part.values["among"][1:] == []:
        said = "names only one, and there is nothing to choose"
        part.fault("among", said, f"name at least {FEWEST_ANSWERS}")
    elif found and len(skills) > MOST_BESIDE_AMONG:
        said = f"stands beside {len(skills)} skills"
        remedy = f"name at most {MOST_BESIDE_AMONG} of them in skills, or narrow them by ask"
        part.fault("among", said, remedy)
    return tuple(text for _, text in found)


def _among(
    part: Part, ragas: Mapping[str, Raga], phrases: Mapping[str, Sequence[str]]
) -> tuple[str, ...]:
    """The ragas that are offered; by what phrases there are where it is not said."""
    if "among" not in part:
        return tuple(phrases)
    found = {}
    example = '["yaman", "bhupali"]'
    for at, text in part.listed("among", most=MOST_ANSWERS, example=example):
        if text in ragas:
            found[at] = ragas[text]
        else:
            said = f"{shown(text)} is no raga known here"
            part.fault("among", said, such_as(text, ragas), at)
    if isinstance(among := part.values["among"], list) and len(among) == 1:
        said = "names only one, and there is nothing to choose"
        part.fault("among", said, f"name at least {FEWEST_ANSWERS}")
    elif "phrases" not in part:
        _check_grown(part, found)
    return tuple(raga.id for raga in found.values())


def _check_grown(part: Part, offered: Mapping[int, Raga]) -> None:
    """Where Kaan makes the phrases, each raga must be told by something from another offered."""
    for at, raga in offered.items():
        others = [other for other in offered.values() if other is not raga]
        if others and not any(told_by(sort, raga, other) for sort in TELLING for other in others):
            names = listed([other.name for other in others], "or")
            said = f"no phrase of {raga.name} is known that {names} does not make"
            remedy = f"write phrases of your own, or leave {raga.id} out"
            part.fault("among", said, remedy, at)


def _phrases(part: Part, kind: str, ragas: Mapping[str, Raga]) -> dict[str, tuple[str, ...]]:
    """By raga; each phrase is one that the raga admits and that no other offered is known by."""
    if "phrases" not in part:
        return {}
    values = part.values["phrases"]
    if kind != PHRASES:
        said = f"{kind} makes its own phrases"
        part.fault("phrases", said, f"leave them out; only {PHRASES} takes them")
        return {}
    if not isinstance(values, dict) or not values:
        said = "is empty" if values == {} else f"{shown(values)} is no table"
        remedy = 'write [question.phrases] and below it yaman = ["N, R G"]'
        part.fault("phrases", said, remedy)
        return {}
    among = part.values.get("among")
    offered = among if isinstance(among, list) else values
    names = [one.strip() for one in offered if isinstance(one, str)]
    if len(names) == 1 and part.lacks("among"):
        said = "are of one raga only, and there is nothing to choose"
        part.fault("phrases", said, "write phrases of another, or name in among what is offered")
    elif len(names) > MOST_ANSWERS and among is None:
        said = f"are of {len(names)} ragas"
        part.fault("phrases", said, f"keep at most {MOST_ANSWERS}")
        return {}
    found = {}
    for raga, lines in values.items():
        if raga in KEYS:
            said = f"{raga} does not belong here"
            part.fault("phrases", said, "put it above [question.phrases]", raga)
        elif raga not in names:
            part.fault("phrases", f"{shown(raga)} is not in among", such_as(raga, names), raga)
        elif raga not in ragas:
            said = f"{shown(raga)} is no raga known here"
            part.fault("phrases", said, such_as(raga, ragas), raga)
        else:
            others = [ragas[one] for one in names if one != raga and one in ragas]
            found[raga] = _lines_of(part, ragas[raga], lines, others)
    return found


def _lines_of(part: Part, raga: Raga, lines: object, others: Sequence[Raga]) -> tuple[str, ...]:
    if not isinstance(lines, list) or not lines:
        said = "is empty" if lines == [] else f"{shown(lines)} is no list of texts"
        part.fault("phrases", said, f'write {raga.id} = ["N, R G"]', raga.id)
        return ()
    kept = []
    for at, text in part.texts_in(
        lines, "phrases", raga.id, most=MOST_LINES, longest=LONGEST_SARGAM
    ):
        line = line_in(part, text, "phrases", raga.id, at)
        if line is None:
            continue
        check_length(part, "phrases", float(line.matras), 0.0, raga.id, at)
        if _is_told(part, raga, line, others, at):
            kept.append(text)
    return tuple(kept)


def _is_told(part: Part, raga: Raga, line: Line, others: Sequence[Raga], at: int) -> bool:
    """Whether the raga moves like this, and no other one is known to that nothing rules out: where
    that is in doubt, the teacher decides."""
    swaras = swaras_of(line)
    broken = break_of(raga, swaras)
    if broken is not None:
        said = f"{raga.name} does not move so, at its swara {broken.of + 1}, {swaras[broken.of]}"
        remedy = "change the phrase, or say otherwise of the raga in your tradition"
        part.fault("phrases", said, remedy, raga.id, at)
        return False
    for other in others:
        if makes(other, swaras) and separates(line, raga, other) is None:
            said = f"{other.name} makes this phrase as well, and nothing in it tells the two apart"
            remedy = f"write another phrase, or leave {other.id} out of what is offered"
            part.fault("phrases", said, remedy, raga.id, at)
            return False
    return True

"""Is a question about stages sound? Judged by what is asked and by the files, one judge a kind.

A judge reads the question as the student does (the prompt, the choices, the sound) and
`stage_oracle` for what is so, and gives the faults in words. Right is what holds as the files have
it, usual pairs included; wrong may only be what cannot be in any tradition known: by what is fixed
and has a source beside memory.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from itertools import combinations, permutations
from math import ceil, factorial, floor
from random import Random

from quizzes import KINDS, Question
from tests.quizzes import stage_oracle as oracle
from tests.quizzes.raga_hearing import Heard, heard, parts
from tests.quizzes.raga_oracle import FILES as RAGA_FILES
from tests.quizzes.raga_oracle import by_name
from tests.quizzes.stage_oracle import FIXED, Known

NAMES = (
    "order", "follows", "out-of-place", "missing", "which-stage", "what-for", "fit", "register",
    "layout",
)  # fmt: skip
"""All kinds of question about stages."""

Judge = Callable[[Question, Known], Iterator[str]]
JUDGES: dict[str, Judge] = {}


def judges(kind: str) -> Callable[[Judge], Judge]:
    def kept(judge: Judge) -> Judge:
        JUDGES[kind] = judge
        return judge

    return kept


def faults(question: Question) -> list[str]:
    """All that is wrong with a question, each with the question's name."""
    known = oracle.known(question.setting.tradition)
    try:
        found = [*_form(question, known), *JUDGES[question.kind](question, known)]
    except (KeyError, ValueError, IndexError) as error:
        found = [f"cannot be judged: {error!r}"]
    return [f"{question.skill} seed {question.seed}: {fault}" for fault in found]


def _form(question: Question, known: Known) -> Iterator[str]:
    """What holds of all kinds."""
    labels = [choice.label for choice in question.choices]
    ids = [choice.id for choice in question.choices]
    if len(set(labels)) < len(labels):
        yield f"two choices read alike: {labels}"
    for choice in question.choices:
        stage = known.called(choice.label)
        if stage is not None and stage != choice.id:
            yield f"{choice.label!r} is a name of {stage}, and stands for {choice.id}"
    if question.answer_on != "choices":
        return
    if len(question.right) != 1 or question.right[0] not in ids:
        yield f"not one right answer among the choices: {question.right}"
    if question.possible is not None and not set(question.right) <= set(question.possible):
        yield "the right answer is not among what is possible"
    for wrong in _wrong(question):
        if KINDS[question.kind].mark(question, wrong).right:
            yield f"{wrong} is marked right"
    if not KINDS[question.kind].mark(question, question.right[0]).right:
        yield "the right answer is marked wrong"
    stages = [choice.id for choice in question.choices if choice.id in known.stages]
    for one, other in combinations(stages, 2):
        if known.names(one) & known.names(other):
            yield f"{one} and {other} share a name"


def _wrong(question: Question) -> list[str]:
    return [choice.id for choice in question.choices if choice.id not in question.right]


# The order.

MOST_TRIED = 6
"""Stages of which all permutations are tried."""
TOLD_EACH = 3
"""One explanation is read of so many questions: it plays the stages in two orders."""


@judges("order")
def order(question: Question, known: Known) -> Iterator[str]:
    stages = [choice.id for choice in question.choices]
    right = {tuple(line.split()) for line in question.right}
    broken = [line for line in right if known.broken(line) or sorted(line) != sorted(stages)]
    count = known.count_allowed(stages)
    if broken or len(right) != count or len(question.right) != count:
        yield f"{count} orders are allowed, {len(right)} are right; {broken} are not allowed"
    if len(stages) <= MOST_TRIED and known.allowed(stages) != right:
        yield f"of all permutations others are allowed: {known.allowed(stages) ^ right}"
    if (question.places, question.fewest) != (len(stages), len(stages)):
        yield "the pad does not wait for all stages"
    if not known.broken(stages):
        yield "it is offered in an order that is allowed"
    yield from _beside(stages, known)
    if question.chance > 2 * count / factorial(len(stages)):
        yield f"a blind order is right more rarely than {question.chance:.3f}"
    kind, luck = KINDS["order"], Random(question.seed)
    tried = list(permutations(stages)) if len(stages) <= 4 else _shuffles(stages, luck, 24)
    for given in tried:
        credit = kind.mark(question, " ".join(given)).credit
        if abs(credit - float(known.kept(given))) > 1e-9:
            yield f"{given} gets {credit}, but keeps {known.kept(given)} of the pairs"
    if question.seed % TOLD_EACH == 0:
        yield from _told(question, tried[-1], known)


def _shuffles(stages: Sequence[str], luck: Random, count: int) -> list[tuple[str, ...]]:
    return [tuple(luck.sample(stages, len(stages))) for _ in range(count)]


def _told(question: Question, given: Sequence[str], known: Known) -> Iterator[str]:
    """Whether the explanation names every pair that was broken, and why where the files say it."""
    if not known.broken(given):
        return
    lines = KINDS["order"].explain(question, " ".join(given)).why.split("\n")
    for first, then in known.broken(given):
        names = [known.stages[stage]["name"].casefold() for stage in (first, then)]
        told = [
            line
            for line in lines
            if all(name in line.casefold() for name in names)
            and line.casefold().index(names[0]) < line.casefold().rindex(names[1])
        ]
        why = known.why(first, then)
        if not any(why.casefold() in line.casefold() for line in told):
            yield f"{given}: that {first} comes before {then} is not told: {lines}"
        if known.before(first, then) != FIXED and told and not any("usual" in x for x in told):
            yield f"{given}: that {first} only usually comes before {then} is not told"


def _beside(stages: Sequence[str], known: Known) -> Iterator[str]:
    """Whether these can come in one performance."""
    for one, other in combinations(stages, 2):
        if known.exclude(one, other):
            yield f"{one} is played instead of {other}, and stands beside it"
        if one in known.wholes(other) or other in known.wholes(one):
            yield f"{one} and {other} are a whole and its part"


def surely(known: Known, first: str, then: str) -> bool:
    """Whether `first` comes before `then` in every tradition known: by what is fixed, and told by
    more than memory at every step."""
    return _sure(known).before(first, then) == FIXED


def _sure(known: Known) -> Known:
    """Only what is fixed and has a source beside memory."""
    if id(known) not in _SURE:
        told = {
            two: table
            for two, table in known.told.items()
            if table["strength"] == FIXED and table["confidence"] != "C"
        }
        _SURE[id(known)] = Known(known.stages, known.divisions, told)
    return _SURE[id(known)]


_SURE: dict[int, Known] = {}


def may_follow(known: Known, first: str, then: str) -> bool:
    """Whether in some tradition `then` may come directly after `first`: whether there is an order,
    that breaks nothing sure, of these two and of all that may not lack beside them or that they
    need."""
    if known.exclude(first, then) or surely(known, then, first):
        return False
    grown_from = known.needed_by((first, then))
    needed = [
        stage
        for stage in known.stages
        if (stage in grown_from or not known.stages[stage].get("may_lack"))
        and stage not in (first, then)
        and _is_beside(known, stage, (first, then))
    ]
    return not any(surely(known, first, one) and surely(known, one, then) for one in needed)


def _is_beside(known: Known, stage: str, others: Sequence[str]) -> bool:
    """Whether a stage that may not lack is played beside these: it is a part of the performance, or
    of what one of these is a part of, and no part or whole of them."""
    whole = known.whole(stage)
    in_performance = stage in known.divisions["performance"]["parts"]
    siblings = any(whole and whole == known.whole(other) for other in others)
    apart = not any(stage in known.wholes(o) or o in known.wholes(stage) for o in others)
    ordered = any(stage in d["parts"] and d.get("ordered", True) for d in known.divisions.values())
    same_division = any(
        stage in d["parts"] and other in d["parts"]
        for d in known.divisions.values()
        for other in others
    )
    free = not any(known.exclude(stage, other) for other in others)
    return free and apart and ordered and (in_performance or (siblings and same_division))


@judges("follows")
def follows(question: Question, known: Known) -> Iterator[str]:
    head, _, asked = question.prompt.partition(". ")
    stage = _named_in(head.removeprefix("You hear ").partition(", in ")[0], known)
    right, wrong = question.right[0], _wrong(question)
    if "come next" in asked or "just before" in asked:
        back = "just before" in asked

        def two(other: str) -> tuple[str, str]:
            return (other, stage) if back else (stage, other)

        if not known.before(*two(right)):
            yield f"{right} is right though the files do not have {two(right)}"
        if not may_follow(known, *two(right)):
            yield f"{right} is right though something must lie between"
        for other in wrong:
            if may_follow(known, *two(other)):
                yield f"{other} is wrong, but {two(other)} may follow each other"
    elif "may not come later" in asked or "may not come earlier" in asked:
        back = "earlier" in asked
        if not (surely(known, stage, right) if back else surely(known, right, stage)):
            yield f"{right} may come there in some tradition"
        for other in wrong:
            if surely(known, stage, other) if back else surely(known, other, stage):
                yield f"{other} is wrong, but it may not come there either"
            if known.exclude(stage, other):
                yield f"{other} is wrong, but never comes with {stage}"
    else:
        yield f"what is asked? {question.prompt}"


def _named_in(text: str, known: Known) -> str:
    """The stage that a text names, with or without an article."""
    stage = known.called(text) or known.called(text[4:] if text[:4].casefold() == "the " else "")
    if stage is None:
        raise ValueError(f"{text!r} names no stage")
    return stage


def _shown(text: str, known: Known) -> list[str]:
    """`Alap › ? › Jor` as stages, "" for the gap."""
    return ["" if name.strip() == "?" else _named_in(name, known) for name in text.split("›")]


@judges("out-of-place")
def out_of_place(question: Question, known: Known) -> Iterator[str]:
    line = question.prompt.partition(": ")[2].partition(". Which?")[0]
    shown = _shown(line, known)
    if sorted(shown) != sorted(choice.id for choice in question.choices):
        yield "the choices are not what is shown"
    yield from _beside(shown, known)
    right = question.right[0]
    if not any(not known.broken(moved) for moved in _moved(shown, right)):
        yield f"moving {right} does not make {shown} right"
    for other in _wrong(question):
        loose = [
            moved
            for moved in _moved(shown, other)
            if not any(surely(known, b, a) for a, b in combinations(moved, 2))
        ]
        if loose:
            yield f"moving {other} mends it too: {loose[0]}"


def _moved(shown: Sequence[str], stage: str) -> list[tuple[str, ...]]:
    rest = [one for one in shown if one != stage]
    return [(*rest[:at], stage, *rest[at:]) for at in range(len(shown))]


@judges("missing")
def missing(question: Question, known: Known) -> Iterator[str]:
    line = question.prompt.partition(": ")[2].partition(". Which?")[0]
    shown = _shown(line, known)
    at, right = shown.index(""), question.right[0]

    def filled(stage: str) -> list[str]:
        return [*shown[:at], stage, *shown[at + 1 :]]

    yield from _beside(filled(right), known)
    in_part = known.whole(right) and not known.stages[right].get("may_lack")
    if not in_part and right not in known.needed_by([one for one in shown if one]):
        yield f"{right} is missed, but nothing that is shown needs it"
    if known.broken(filled(right)):
        yield f"{right} cannot stand there: {known.broken(filled(right))}"
    if at and not known.before(shown[at - 1], right):
        yield f"{right} need not come after {shown[at - 1]}"
    if at + 1 < len(shown) and not known.before(right, shown[at + 1]):
        yield f"{right} need not come before {shown[at + 1]}"
    for other in _wrong(question):
        if other in shown:
            yield f"{other} is offered and shown"
        stands = not any(surely(known, b, a) for a, b in combinations(filled(other), 2))
        if stands and not any(known.exclude(other, one) for one in shown if one):
            yield f"{other} is wrong, but could stand there"


# By ear.

FASTER, MORE = 1.15, 0.08
"""Two ranges are apart where a listener tells them without counting: by so large a factor for tempo
and strokes, by so much for shares (assumption)."""


def apart(one: dict, other: dict) -> list[str]:
    """In what two `heard` tables surely differ."""
    found = []
    for field in ("tempo", "talas"):
        if bool(one.get(field)) != bool(other.get(field)):
            found.append(field)
    if one.get("tempo") and other.get("tempo"):
        same = bool(one.get("talas")) == bool(other.get("talas"))
        if same and _faster(one["tempo"], other["tempo"]):
            found.append("tempo")
    if _faster(one["strokes"], other["strokes"]):
        found.append("strokes")
    found += [field for field in ("chikari", "ornaments") if _further(one[field], other[field])]
    found += [
        field
        for field in ("bols", "run")
        if one.get(field) and other.get(field) and one[field] != other[field]
    ]
    found += [field for field in ("ends", "run") if bool(one.get(field)) != bool(other.get(field))]
    mine, theirs = one["register"], other["register"]
    opposite = mine[0] == theirs[-1] and mine[-1] == theirs[0] and len(set(mine)) > 1
    if opposite or (set(mine) - set(theirs) and set(theirs) - set(mine)):
        found.append("register")
    return found


def _faster(one: Sequence[float], other: Sequence[float]) -> bool:
    slow, fast = sorted((one, other))
    return slow[1] * FASTER <= fast[0]


def _further(one: Sequence[float], other: Sequence[float]) -> bool:
    low, high = sorted((one, other))
    return low[1] + MORE <= high[0] + 1e-9


@judges("which-stage")
def which_stage(question: Question, known: Known) -> Iterator[str]:
    yield from _may_sound(question, known)
    for other in _wrong(question):
        if known.exclude(question.right[0], other):
            yield f"{other} is wrong, but may be played instead of {question.right[0]}"


def _may_sound(question: Question, known: Known) -> Iterator[str]:
    """Whether the right stage may be what sounds, and can be told from the others."""
    right = question.right[0]
    said = known.stages[right]["heard"]
    for other in _wrong(question):
        if not apart(said, known.stages[other]["heard"]):
            yield f"{right} cannot be told from {other} by what is described"
    if bool(question.cue.tabla) != bool(said.get("talas")):
        yield f"tabla sounds: {bool(question.cue.tabla)}, described: {said.get('talas')}"
    chikari = sum(s.voice == "chikari" for s in question.cue.strokes) / 2
    notes = sum(s.voice == "sitar" for s in question.cue.strokes)
    low, high = said["chikari"]
    if not low - CHIKARI <= chikari / (chikari + notes) <= high + CHIKARI:
        yield f"{chikari:.0f} blows on the chikari, {notes} notes; described: {low} to {high}"


CHIKARI = 0.12
"""By so much the share of few blows may lie outside."""


@judges("what-for")
def what_for(question: Question, known: Known) -> Iterator[str]:
    right, wrong = question.right[0], _wrong(question)
    if "is there to " not in question.prompt:  # the choices are purposes
        name, of_a_stage, _ = question.prompt.partition(": what is it there for")
        if of_a_stage and _named_in(name, known) != right:
            yield f"{name} is asked and {right} is right"
        if not of_a_stage:
            yield from _may_sound(question, known)
        for choice in question.choices:
            purpose = known.stages[choice.id]["purpose"]
            if not purpose.casefold().startswith(choice.label.casefold()):
                yield f"{choice.label!r} is not what {choice.id} is for"
    else:
        text = question.prompt.partition("is there to ")[2].rstrip("?")
        fits = [
            choice.id
            for choice in question.choices
            if known.stages[choice.id]["purpose"].casefold().startswith(text.casefold())
        ]
        if fits != [right]:
            yield f"{text!r} is what {fits} are for, not {right}"
        for choice in question.choices:
            words = {word for word in choice.label.casefold().split() if len(word) > 3}
            if choice.id == right and words & set(text.casefold().split()):
                yield f"{choice.label!r} shares a word with {text!r}"
    for other in wrong:
        if known.exclude(right, other):
            yield f"{other} is wrong, but may stand for {right}"


SAPTAKS = ("mandra", "madhya", "tar")


@judges("register")
def register(question: Question, known: Known) -> Iterator[str]:
    notes = heard(question.cue)
    if "three phrases" in question.prompt:
        way = [_lies_in(part) for part in parts(notes)]
        if len(way) != 3:
            yield f"{len(way)} phrases sound"
        for choice in question.choices:
            said = _way_in_words(choice.label)
            if (said == way) != (choice.id == question.right[0]):
                yield f"{way} sounds; {choice.label!r} is {'not ' * (said == way)}right"
    else:
        name = question.prompt.partition("alap of ")[2].partition(" mostly")[0]
        table = _raga(name)["register"]
        said = set(table["is"].split())
        low = "mandra" in said and "tar" not in said
        high = said == {"tar"}
        if table["confidence"] == "C" or not (low or high):
            yield f"{name} lives in {said}, confidence {table['confidence']}"
        label = question.choice(question.right[0]).label.casefold()
        if label.startswith("low") != low:
            yield f"{name} lives in {said}; {label!r} is right"


LIES = {"mandra": (-24.0, -1.0), "madhya": (1.0, 10.0), "tar": (10.5, 36.0)}
"""Where the usual pitch of a phrase lies, in semitones from Sa, that anyone would say is there."""


def _lies_in(phrase: Sequence[Heard]) -> str:
    """The saptak in which a phrase lies on the whole, "" where it lies between two."""
    whole = sum(note.seconds for note in phrase)
    usual = sum(note.swara * note.seconds for note in phrase) / whole
    return next((name for name, (low, high) in LIES.items() if low <= usual <= high), "")


def _way_in_words(label: str) -> list[str]:
    """`From madhya up to tar and back` as saptaks."""
    way = [word for word in label.casefold().replace(",", "").split() if word in SAPTAKS]
    return [*way, way[0]] if "back" in label else way


@cache
def _raga(name: str) -> dict:
    raga = by_name()[name].id
    return tomllib.loads((RAGA_FILES / f"{raga}.toml").read_text(encoding="utf-8"))


def gait(name: str) -> str:
    """ "grave", "light" or "medium" where a raga is surely that, "" where it is both."""
    words = _raga(name)["gait"]["is"].split()
    if words == ["grave"]:
        return "grave"
    if words[0] == "light" and "grave" not in words:
        return "light"
    return "medium" if "medium" in words and "light" not in words else ""


# What suits, and how long.


@judges("fit")
def fit(question: Question, known: Known) -> Iterator[str]:
    for rule in oracle.fits():
        for sort, rightly, wrongly in (("best", "suits", "unfit"), ("least", "unfit", "suits")):
            if sort in rule and rule[sort] in question.prompt:
                if rule["asks"] == "gat" and rule["id"] not in question.skill:
                    continue
                yield from _fits(question, rule, set(rule[rightly]), set(rule[wrongly]))
                return
    yield f"no rule asks so: {question.prompt}"


def _fits(question: Question, rule: dict, rightly: set[str], wrongly: set[str]) -> Iterator[str]:
    right, wrong = question.right[0], _wrong(question)
    if rule["asks"] == "laya":
        labels = {choice.id: choice.label for choice in question.choices}
        if gait(labels[right]) not in rightly:
            yield f"{labels[right]} is {gait(labels[right])!r}"
        yield from (
            f"{labels[each]} is {gait(labels[each])!r}"
            for each in wrong
            if gait(labels[each]) not in wrongly
        )
    elif rule["asks"] == "ornament":
        if len(question.choices) != 2:
            yield "more than two are compared"
        rich = _more_ornamented(question)
        place = [choice.id for choice in question.choices].index(right)
        if (place == rich) != ("much" in rightly):
            yield f"number {rich + 1} has more ornament, number {place + 1} is right"
    else:
        if right not in rightly:
            yield f"{right} is right, but the rule has {rightly}"
        if not set(wrong) <= wrongly:
            yield f"{set(wrong) - wrongly} is wrong though no rule says so"


def _more_ornamented(question: Question) -> int:
    """Which of two takes, 0 or 1, moves more in pitch beside its strokes; parted by the longest
    time between two strokes on the playing string."""
    strokes = [stroke for stroke in question.cue.strokes if stroke.voice == "sitar"]
    middle = question.cue.duration_s - question.cue.lead_s
    moves = [0.0, 0.0]
    for stroke in strokes:
        steps = [abs(b[1] - a[1]) for a, b in zip(stroke.path, stroke.path[1:], strict=False)]
        moves[stroke.onset_s > middle / 2] += sum(steps)
    return int(moves[1] > moves[0])


@judges("layout")
def layout(question: Question, known: Known) -> Iterator[str]:
    minutes = question.whole
    name = question.prompt.partition("minutes for ")[2].partition(",")[0]
    ranges = {
        table["stage"]: (
            max(1, ceil(table["share"][0] * minutes - 1e-9)),
            floor(table["share"][1] * minutes + 1e-9),
        )
        for table in oracle.layouts()
        if minutes in table["minutes"] and gait(name) in table["gaits"]
    }
    stages = [choice.id for choice in question.choices]
    if set(stages) != set(ranges):
        yield f"{set(stages) ^ set(ranges)} differ from the file for {name}, {gait(name)!r}"
    if known.broken(stages):
        yield f"the bar shows an order that is not allowed: {known.broken(stages)}"
    yield from _beside(stages, known)
    if str(minutes) not in question.prompt:
        yield "the minutes are not told"
    luck = Random(question.seed)
    shares = [tuple(map(int, question.right[0].split()))]
    shares += [_share(luck, minutes, len(stages)) for _ in range(20)]
    for given in shares:
        inside = [ranges[s][0] <= m <= ranges[s][1] for s, m in zip(stages, given, strict=True)]
        credit = KINDS["layout"].mark(question, " ".join(map(str, given))).credit
        if (credit == 1.0) != all(inside) or not 0 <= credit <= 1:
            yield f"{given} gets {credit}; inside: {inside}"


def _share(luck: Random, whole: int, count: int) -> tuple[int, ...]:
    cuts = sorted(luck.sample(range(1, whole), count - 1))
    return tuple(b - a for a, b in zip([0, *cuts], [*cuts, whole], strict=True))

"""Is a question about ragas sound? Judged by what is asked and what sounds, one judge a kind.

A judge gets the question alone and gives its faults in words; none means that exactly one answer
is the best. It goes by what is asked and by what sounds, and where only memory speaks for the right
answer against another, that is a fault: no such fact decides.
"""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator
from functools import cache
from itertools import pairwise, permutations

from quizzes import Question
from tests.quizzes import raga_oracle as oracle
from tests.quizzes.raga_hearing import LONGER, Heard, heard, parts, rests, saptak, swaras
from tests.quizzes.raga_oracle import Line, Raga, in_any_saptak, letter, letters, once, written

NOT_YET = "Not enough heard yet"


def offered(question: Question) -> dict[str, Raga]:
    """The ragas among the choices by the choice's id, as their labels name them."""
    names = oracle.by_name()
    return {c.id: names[c.label] for c in question.choices if c.label in names}


def rightly(question: Question) -> str:
    """The label of the right choice."""
    return question.choice(question.right[0]).label


JUDGES: dict[str, Callable[[Question], list[str]]] = {}


def judges(kind: str) -> Callable[[Callable[[Question], list[str]]], Callable]:
    def kept(judge: Callable[[Question], list[str]]) -> Callable[[Question], list[str]]:
        JUDGES[kind] = judge
        return judge

    return kept


def faults(question: Question) -> list[str]:
    """All that is wrong with a question, each with the question's name."""
    try:
        found = [*_form(question), *JUDGES[question.kind](question)]
    except (KeyError, ValueError) as error:
        found = [f"cannot be judged: {error!r}"]
    return [f"{question.skill} seed {question.seed}: {fault}" for fault in found]


def _form(question: Question) -> list[str]:
    if len(question.right) != 1:
        return ["not one right answer"]
    if question.is_line or question.answer_on == "sargam":
        return []
    found = []
    ids = [choice.id for choice in question.choices]
    if len({choice.label for choice in question.choices}) < len(ids):
        found.append("two choices read alike")
    possible = ids if question.possible is None else question.possible
    if question.right[0] not in possible or not set(possible) <= set(ids):
        found.append("the right answer is not among what is possible")
    skills = (question.skill, *question.setting.met)
    asked_so_far = {word for skill in skills for word in re.split("[:-]", skill)}
    for each, raga in offered(question).items():
        is_meant = each == raga.id and each in possible and each not in question.right
        if is_meant and each not in asked_so_far:
            found.append(f"{raga.name} is possible though nothing of it was asked yet")
    return found


# Which raga a phrase is.


@judges("raga-from-phrase")
def from_phrase(question: Question) -> list[str]:
    notes = heard(question.cue)
    ragas = offered(question)
    if len(ragas) + (NOT_YET in {c.label for c in question.choices}) != len(question.choices):
        return ["a choice is neither a raga nor that it cannot be told"]
    if "rests" in question.prompt:
        return _told_apart(question, notes, by_rest)
    if "saptak" in question.prompt:
        return _told_apart(question, notes, by_register)
    if "long swara" in question.prompt:
        return _told_apart(question, notes, by_treatment)
    return by_line(question, swaras(notes), ragas)


def by_line(question: Question, played: Line, ragas: dict[str, Raga]) -> list[str]:
    """By notes and runs alone: one raga has it and the others surely not; or two have it."""
    right = question.right[0]
    if right not in ragas:
        slips = {raga.name: raga.slips(played) for raga in ragas.values()}
        can = [name for name, some in slips.items() if not some]
        return [] if len(can) >= 2 else [f"{written(played)} is told, only {can} has it: {slips}"]
    found = [f"{ragas[right].name} {slip}" for slip in ragas[right].slips(played)]
    for each, raga in ragas.items():
        if each != right and raga.left(played) is None:
            state = "has" if raga.admits(played) else "may have"
            found.append(f"{raga.name} {state} {written(played)} too")
    return found


def _told_apart(
    question: Question, notes: list[Heard], wrong: Callable[[list[Heard], Raga, Raga], list[str]]
) -> list[str]:
    """By rest, register or treatment: the right raga has it all, the others not this."""
    ragas, right = offered(question), question.right[0]
    if right not in ragas or len(ragas) != len(question.choices):
        return ["more than the line is asked, but that it cannot be told is offered"]
    found = [f"{ragas[right].name} {slip}" for slip in ragas[right].slips(swaras(notes))]
    for each, raga in ragas.items():
        if each != right and raga.left(swaras(notes)) is None:
            found += wrong(notes, ragas[right], raga)
    return found


def by_rest(notes: list[Heard], right: Raga, other: Raga) -> list[str]:
    held = {letter(note.swara) for note in rests(notes)}
    strange = held - set(right.nyas) - {vadi for vadi, _ in right.vadis} - {"S"}
    found = [f"{here} is no rest of {right.name}" for here in sorted(strange)]
    telling = [here for here in sorted(held) if not may_rest(other, here)]
    if not telling:
        said = {here: may_rest(other, here) for here in sorted(held)}
        found.append(f"{other.name} may rest so too: {said}")
    elif not any(sure_of_rest(right, here) for here in telling):
        found.append(f"C decides: that {right.name} rests on {' '.join(telling)}")
    return found


def may_rest(raga: Raga, here: str) -> list[str]:
    """What in a raga's file speaks for a rest on this swara; on Sa every raga may rest."""
    said = ["Sa"] if here == "S" else []
    if here in raga.nyas:
        said.append("nyas")
    if here in raga.any_letters and any(here == vadi for vadi, _ in raga.vadis):
        said.append("vadi")
    if any(letter(phrase[-1]) == here for phrase in raga.phrases):
        said.append("a phrase ends there")
    return said


def sure_of_rest(raga: Raga, here: str) -> bool:
    """Whether more than one memory speaks for it."""
    vadi = raga.sure("vadi") and here in (
        raga.table["vadi"]["is"],
        raga.table["vadi"].get("samvadi"),
    )
    return (
        vadi
        or raga.sure("nyas")
        or any(
            letter(oracle.line(phrase["sargam"])[-1]) == here and phrase["confidence"] != "C"
            for phrase in raga.table["phrase"]
        )
    )


def by_register(notes: list[Heard], right: Raga, other: Raga) -> list[str]:
    where = saptak(notes)
    found = []
    if where not in right.register:
        found.append(f"{right.name} does not live in {where}: {sorted(right.register)}")
    if where in other.register:
        found.append(f"{other.name} lives in {where} too")
    sure = right.sure("register") and other.sure("register")
    apart = {"mandra", "tar"} <= right.register ^ other.register
    if not sure and right.register != {where} and not apart:
        lives = f"{right.name} lives in {sorted(right.register)}"
        found.append(f"C decides: {lives}, {other.name} in {sorted(other.register)}")
    return found


@cache
def swung_pairs() -> frozenset[tuple[str, str, str]]:
    """(swara, the raga that swings it, the raga that holds it) of the file on shades."""
    table = tomllib.loads((oracle.FILES.parent / "shades.toml").read_text("utf-8"))
    return frozenset(
        (phrase[phrase.index("[") + 1], pair["swung"], pair["still"])
        for pair in table["pair"]
        for phrase in pair["phrases"]
    ) | frozenset(
        (one["swara"], swung, still)
        for one in table["treatment"]
        for two in table["treatment"]
        if one["swara"] == two["swara"] and (one["how"], two["how"]) == ("swung", "still")
        if "C" not in (one["confidence"], two["confidence"])
        for swung in one["ragas"]
        for still in two["ragas"]
    )


def by_treatment(notes: list[Heard], right: Raga, other: Raga) -> list[str]:
    """Each long swara that one of them swings and the other holds is as in the right one."""
    pairs = [(right, other), (other, right)]
    telling = 0
    for note in rests(notes):
        here = letter(note.swara)
        for swung, still in pairs:
            if (here, swung.name, still.name) in swung_pairs():
                if note.swings != (swung is right):
                    return [f"{here} is treated as in {other.name}"]
                telling += 1
    return [] if telling else [f"no long swara tells {right.name} from {other.name}"]


# Where a raga may rest.

LETTER_OF = {
    "sa": "S", "komal re": "r", "re": "R", "komal ga": "g", "ga": "G", "ma": "m",
    "tivra ma": "M", "pa": "P", "komal dha": "d", "dha": "D", "komal ni": "n", "ni": "N",
    "shuddha re": "R", "shuddha ga": "G", "shuddha ma": "m", "shuddha dha": "D", "shuddha ni": "N",
}  # fmt: skip
"""What swaras are called (common practice)."""


def asked_of(question: Question) -> Raga:
    """The raga that the prompt names. Raises ValueError for none."""
    named = [name for name in oracle.by_name() if name in question.prompt]
    if not named:
        raise ValueError(f"{question.prompt!r} names no raga")
    return oracle.by_name()[max(named, key=len)]


def swaras_offered(question: Question) -> dict[str, str]:
    """Letters by the ids of choices that name swaras."""
    return {choice.id: LETTER_OF[choice.label.lower()] for choice in question.choices}


def broken_off(raga: Raga, played: Line, here: str) -> list[str]:
    """What keeps a phrase that ends on this swara, in any saptak, from being the raga's."""
    step = oracle.LETTERS.index(here)
    ends = (step + 12 * octave for octave in (-1, 0, 1))
    slips = min((raga.slips((*played, end)) for end in ends), key=len)
    return [f"{raga.name}, {written(played)} and {here}: {slip}" for slip in slips]


@judges("raga-rest")
def where_it_rests(question: Question) -> list[str]:
    raga, offers = asked_of(question), swaras_offered(question)
    here = offers[question.right[0]]
    found = broken_off(raga, swaras(heard(question.cue)), here)
    if here not in raga.nyas:
        found.append(f"{here} is no nyas of {raga.name}")
    for each, there in offers.items():
        if each not in question.right:
            found += rests_here_not_there(raga, here, there)
    return found


def rests_here_not_there(raga: Raga, here: str, there: str) -> list[str]:
    """Whether it is sure that of two swaras only the first is rested on."""
    if may_rest(raga, there):
        return [f"{raga.name} may rest on {there} too: {may_rest(raga, there)}"]
    barred = there not in raga.any_letters or any(
        raga.surely_bars(there, way) for way in (oracle.UP, oracle.DOWN)
    )
    if not barred and not sure_of_rest(raga, here):
        return [f"C decides: that {raga.name} rests on {here}, not on {there}"]
    return []


# How a phrase ends.

SAPTAK_OF = {"mandra": -1, "tar": 1}


def swara_called(label: str) -> int:
    """`Mandra komal Ni` or `Ga` in semitones above middle Sa."""
    first, _, rest = label.lower().partition(" ")
    if first in SAPTAK_OF:
        return oracle.LETTERS.index(LETTER_OF[rest]) + 12 * SAPTAK_OF[first]
    return oracle.LETTERS.index(LETTER_OF[label.lower()])


@judges("raga-finish")
def how_it_ends(question: Question) -> list[str]:
    raga, played = asked_of(question), swaras(heard(question.cue))
    ends = {choice.id: swara_called(choice.label) for choice in question.choices}
    end = ends[question.right[0]]
    found = [f"{raga.name} {slip}" for slip in raga.slips((*played, end))]
    if letter(end) not in {"S", *raga.nyas}:
        found.append(f"{letter(end)} is no nyas of {raga.name}")
    for each, other in ends.items():
        if each not in question.right and raga.left((*played, other)) is None:
            found += rests_here_not_there(raga, letter(end), letter(other))
    return found


# Which swara carries the weight.


@judges("raga-weight")
def what_it_weighs(question: Question) -> list[str]:
    raga, notes = asked_of(question), heard(question.cue)
    found = [f"{raga.name} {slip}" for slip in raga.slips(swaras(notes))]
    seconds: Counter[str] = Counter()
    for note in notes:
        seconds[letter(note.swara)] += note.seconds
    here = swaras_offered(question)[question.right[0]]
    for there, long in seconds.items():
        if there != here and seconds[here] < LONGER * long:
            found.append(f"{there} sounds for {long:.1f} s, {here} for {seconds[here]:.1f} s")
    return found


# What breaks a raga.

ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")


def ordinal(label: str) -> int:
    """`The third swara` as 2. Raises ValueError where no place is named."""
    return ORDINALS.index(next(word for word in label.lower().split() if word in ORDINALS))


@judges("raga-mend")
def which_swara_breaks_it(question: Question) -> list[str]:
    raga, played = asked_of(question), swaras(heard(question.cue))
    at = ordinal(rightly(question))
    wrong = {left.fault_at for left in raga.all_left(played)}
    # What only follows from the wrong swara is no fault of its own: mending it would not help.
    others = [
        other
        for other in wrong - {at}
        if any(raga.left(mended) is None for mended in mendings(played, other))
    ]
    if at not in wrong or others:
        return [f"{written(played)}: {raga.name} is left at {sorted(wrong)}, not at {at} alone"]
    if not any(raga.admits(mended) for mended in mendings(played, at)):
        return [f"{written(played)} is not {raga.name} however {at} is mended"]
    return []


def mendings(played: Line, at: int) -> Iterator[Line]:
    """A phrase without the swara here, or with another in its stead."""
    yield played[:at] + played[at + 1 :]
    for other in range(played[at] - 4, played[at] + 5):
        yield (*played[:at], other, *played[at + 1 :])


@judges("raga-sa")
def which_swara_is_sa(question: Question) -> list[str]:
    """A phrase, then each choice alone; how they lie to each other is all that is gone by."""
    raga = asked_of(question)
    phrase, *alone = map(swaras, parts(heard(question.cue)))
    found = [] if question.cue.drone is None else ["a drone sounds"]
    if [len(each) for each in alone] != [1] * len(question.choices):
        return [f"{list(map(len, alone))} swaras follow, {len(question.choices)} are offered"]
    offers = {c.id: alone[ordinal(c.label)][0] for c in question.choices}
    if not set(offers.values()) <= set(phrase):
        found.append("a swara is offered that is not in the phrase")
    if len({swara % 12 for swara in offers.values()}) < len(offers):
        found.append("a swara is offered twice")
    for each, sa in offers.items():
        taken = tuple(swara - sa for swara in phrase)
        if each in question.right:
            found += [f"{raga.name} {slip}" for slip in raga.slips(taken)]
        elif raga.left(taken) is None:
            found.append(f"{raga.name} may have {written(taken)} too")
    return found


@judges("raga-odd")
@judges("raga-breaks")
def which_phrase_leaves_it(question: Question) -> list[str]:
    raga, played = asked_of(question), list(map(swaras, parts(heard(question.cue))))
    if len(played) != len(question.choices):
        return [f"{len(played)} phrases sound, {len(question.choices)} are offered"]
    odd = ordinal(rightly(question))
    found = []
    for at, phrase in enumerate(played):
        if at == odd and raga.left(phrase) is None:
            found.append(f"{raga.name} does not surely leave {written(phrase)}")
        elif at != odd:
            found += [f"{raga.name}, {written(phrase)}: {slip}" for slip in raga.slips(phrase)]
    return found


# What is taught of a raga.


@judges("raga-vadi")
def which_vadi_is_taught(question: Question) -> list[str]:
    raga = asked_of(question)
    pairs = {
        choice.id: tuple(LETTER_OF[name] for name in choice.label.lower().split(" and "))
        for choice in question.choices
    }
    found = [f"{raga.name} {slip}" for slip in raga.slips(swaras(heard(question.cue)))]
    if pairs[question.right[0]] not in raga.vadis:
        found.append(f"{pairs[question.right[0]]} is taught by none: {sorted(raga.vadis)}")
    for each, pair in pairs.items():
        if each not in question.right and pair in raga.vadis:
            found.append(f"{pair} is taught too")
    if not raga.sure("vadi"):
        found.append(f"C decides: the vadi of {raga.name}")
    return found


MORNING = 6
"""The day of ragas begins at six (common practice)."""
CLEARLY_LATER = 3
"""Hours between two ragas of which one is timed from memory."""


@judges("raga-hours")
def which_hours_come_first(question: Question) -> list[str]:
    ragas = offered(question)
    order = [ragas[each] for each in question.right[0].split()]
    found = []
    if len(order) != len(ragas):
        found.append("the right order has not all ragas")
    for before, after in pairwise(order):
        last = max((hour - MORNING) % 24 for hour in before.hours)
        first = min((hour - MORNING) % 24 for hour in after.hours)
        pair = f"{before.name} {sorted(before.hours)} and {after.name} {sorted(after.hours)}"
        if last >= first:
            found.append(f"{pair} are not clearly in this order")
        elif first - last - 1 < CLEARLY_LATER and not (
            before.sure("hours") and after.sure("hours")
        ):
            found.append(f"C decides: {pair}")
    for raga, phrase in zip(ragas.values(), parts(heard(question.cue)), strict=True):
        found += [f"{raga.name} {slip}" for slip in raga.slips(swaras(phrase))]
    return found


@judges("raga-gait")
def is_it_grave_or_light(question: Question) -> list[str]:
    gaits = {"grave": ("light", "fast"), "light": ("grave",)}
    ragas, played = offered(question), swaras(heard(question.cue))
    wish = rightly(question).lower() if not ragas else "grave" if "grave" in question.prompt else ""
    wish = wish or "light"
    right = ragas[question.right[0]] if ragas else asked_of(question)
    found = [f"{right.name} {slip}" for slip in right.slips(played)]
    for raga in ragas.values() if ragas else (right,):
        is_so = wish in raga.gait and not raga.gait & set(gaits[wish])
        is_not = wish not in raga.gait and bool(raga.gait & set(gaits[wish]))
        if (raga is right and not is_so) or (raga is not right and not is_not):
            found.append(f"{raga.name} is {sorted(raga.gait)}, where {wish} is asked")
    return found


@judges("raga-tanpura")
def which_first_string_suits(question: Question) -> list[str]:
    raga, strings = asked_of(question), swaras_offered(question)
    right = strings[question.right[0]]
    found = [f"{raga.name} {slip}" for slip in raga.slips(swaras(tail(question)))]
    if right != raga.first_string:
        found.append(f"{raga.name} has its first string on {raga.first_string}, not on {right}")
    for string in strings.values():
        if string != right and string in raga.any_letters:
            found.append(f"{string} would suit {raga.name} too")
    if question.cue.drone is not None:
        found.append("the tanpura sounds and tells")
    return found


def tail(question: Question) -> list[Heard]:
    """What sounds after the first Sa."""
    return [note for part in parts(heard(question.cue))[1:] for note in part]


SIZES = {"audav": 5, "shadav": 6, "sampurna": 7}


def jati_called(label: str) -> tuple[int, int]:
    """`Audav up, sampurna down`, `Audav both ways`."""
    sizes = [SIZES[word] for word in label.lower().replace(",", "").split() if word in SIZES]
    return sizes[0], sizes[-1]


@judges("raga-jati")
def which_jati(question: Question) -> list[str]:
    raga = asked_of(question)
    way_up, way_down = (swaras(part) for part in parts(heard(question.cue)))
    found = []
    if letters(way_up) != letters(raga.aroha) or letters(way_down) != letters(raga.avaroha):
        found.append(f"what sounds is not the way up and down of {raga.name}")
    if not raga.sure("scale"):
        found.append(f"C decides: the ways of {raga.name}")
    if "leave out" in question.prompt:
        return found + _left_out(question, raga)
    right = question.right[0]
    for choice in question.choices:
        if (jati_called(choice.label) in raga.jatis) != (choice.id == right):
            found.append(f"{choice.label}: taught are {sorted(raga.jatis)}")
    return found


def _left_out(question: Question, raga: Raga) -> list[str]:
    """Which degree is left out: in all teachings, and no other that is offered in any."""
    if "altogether" in question.prompt:
        never = set(oracle.DEGREES) - oracle.degrees(raga.any_letters)
        ever = set(oracle.DEGREES) - oracle.degrees(raga.own_letters)
    else:
        way = oracle.UP if "way up" in question.prompt else oracle.DOWN
        never, ever = set(raga.omitted[way]), set(raga.ever_omitted[way])
    found = []
    for choice in question.choices:
        name = choice.label.lower()
        if name == "none":
            is_right, is_wrong = not ever, bool(never)
        else:
            one = oracle.degree(LETTER_OF[name])
            is_right, is_wrong = one in never, one not in ever
        if not (is_right if choice.id in question.right else is_wrong):
            found.append(
                f"{choice.label}: {sorted(never)} are never there, {sorted(ever)} not ever"
            )
    return found


@judges("raga-that")
def which_that_holds_it(question: Question) -> list[str]:
    sounding = letters(swaras(heard(question.cue)))
    holding = oracle.thats_of(sounding)
    right = rightly(question)
    truly = {c.label for c in question.choices if c.label in holding}
    if not holding:
        truly = {c.label for c in question.choices if c.label.startswith("None")}
    return [] if truly == {right} else [f"{sorted(sounding)}: right are {sorted(truly)}"]


@judges("raga-bridge")
def which_raga_leads_over(question: Question) -> list[str]:
    first, second = named_in(question.prompt)
    found = []
    for raga, part in zip((first, second), parts(heard(question.cue)), strict=True):
        found += [f"{raga.name} {slip}" for slip in raga.slips(swaras(part))]
    # An occasional swara is no difference that is sure.
    all_own = first.notes | second.notes
    surely = (first.notes - second.any_letters) | (second.notes - first.any_letters)
    if not surely:
        found.append(f"{first.name} and {second.name} do not surely differ")
    for each, raga in offered(question).items():
        if each in question.right:
            found += [f"{raga.name} has no {one}" for one in sorted(surely - raga.own_letters)]
            found += [f"{raga.name} has no {one}" for one in sorted(all_own - raga.own_letters)]
        elif all_own <= raga.any_letters or surely <= raga.any_letters:
            found.append(f"{raga.name} has all swaras of both too")
    return found


def named_in(prompt: str) -> list[Raga]:
    """The ragas that a prompt names, in turn."""
    found = []
    names = sorted(oracle.by_name(), key=len, reverse=True)
    for match in re.finditer("|".join(map(re.escape, names)), prompt):
        found.append(oracle.by_name()[match.group()])
    return found


# When it is sure, and how pieces go together.


@judges("raga-when")
def when_it_is_sure(question: Question) -> list[str]:
    ragas, played = named_in(question.prompt), swaras(heard(question.cue))
    last = rightly(question).startswith("Not even")
    sure_after = len(played) + 1 if last else ordinal(rightly(question)) + 1
    found = []
    before = played[: sure_after - 1]
    able = [raga.name for raga in ragas if not raga.slips(before, goes_on=not last)]
    if len(able) < 2:
        found.append(f"after {written(before)} it is told already: only {able} could go so")
    if last:
        return found
    left = [raga for raga in ragas if raga.left(played[:sure_after]) is None]
    if len(left) != 1:
        found.append(f"after {written(played[:sure_after])} there are {[r.name for r in left]}")
    else:
        found += [f"{left[0].name} {slip}" for slip in left[0].slips(played)]
    return found


def swaras_called(label: str) -> Line:
    """`Tar Sa komal Ni` in semitones above middle Sa."""
    found: list[int] = []
    words: list[str] = []
    for word in label.replace(",", " ").split():
        words.append(word)
        if word.lower() in {name.split()[-1] for name in LETTER_OF}:
            found.append(swara_called(" ".join(words)))
            words = []
    return tuple(found)


@judges("raga-turns")
def how_its_pieces_go(question: Question) -> list[str]:
    raga, played = asked_of(question), swaras(heard(question.cue))
    pieces = {choice.id: swaras_called(choice.label) for choice in question.choices}
    right = tuple(question.right[0].split())
    ways = {"goes up": [raga.aroha], "comes down": [raga.avaroha]}
    own = next((way for said, way in ways.items() if said in question.prompt), raga.phrases)
    found = []
    if not any(in_any_saptak(once(played), once(each)) for each in own):
        found.append(f"{written(played)} is not what is told of {raga.name}")
    orders = [
        order
        for order in permutations(pieces)
        if sum((pieces[each] for each in order), ()) == played
    ]
    if orders != [right]:
        found.append(f"{written(played)} is put together by {orders}")
    if not raga.sure("scale") and own is not raga.phrases:
        found.append(f"C decides: the ways of {raga.name}")
    count = len(unheard_orders([pieces[each] for each in right], own is not raga.phrases))
    if question.lines != count or question.answer_on != "order":
        found.append(f"{count} orders are open to who has not heard it, not {question.lines}")
    return found


def unheard_orders(cut: list[Line], whole: bool) -> list[tuple[int, ...]]:
    """The orders of the pieces that cannot be ruled out unheard: a line that begins on Sa begins
    with the only piece that does, and a whole way ends so with the only one that ends there."""
    places, (first, *_), (*_, last) = range(len(cut)), cut[0], cut[-1]
    begins = letter(first) == "S" and [piece[0] for piece in cut].count(first) == 1
    ends = whole and letter(last) == "S" and [piece[-1] for piece in cut].count(last) == 1
    return [
        order
        for order in permutations(places)
        if (order[0] == 0 or not begins) and (order[-1] == places[-1] or not ends)
    ]


# Judges with modules of their own, which register here.
from tests.quizzes import raga_make_judge, raga_palta_judge  # noqa: E402, F401

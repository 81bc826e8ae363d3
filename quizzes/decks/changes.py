"""What another version of a deck changes, in plain sentences."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence, Set

from quizzes.decks.deck import Asked, Deck, Entry, Narrowed
from quizzes.names import capital, counted, listed
from words import say, to_say

NAMED = 5
"""So many questions are named in a sentence; of the others it says how many they are."""
PHRASES = to_say("the phrases")


def changes(before: Deck, after: Deck) -> tuple[str, ...]:
    """A sentence for each change from one version to the other; () where they are the same."""
    return tuple(_sentences(before, after))


def _sentences(before: Deck, after: Deck) -> Iterator[str]:
    if before.name != after.name:
        yield say('The deck is called "{new}" now, not "{old}".', new=after.name, old=before.name)
    if (before.about, before.by) != (after.about, after.by):
        yield say("What it says of itself has changed.")
    old, new = _by_id(before), _by_id(after)
    if added := [entry.name for id, entry in new.items() if id not in old]:
        yield capital(
            counted(
                len(added),
                "{number} question is new: {names}.",
                "{number} questions are new: {names}.",
                names=_named(added),
            )
        )
    if gone := [entry.name for id, entry in old.items() if id not in new]:
        yield capital(
            counted(
                len(gone),
                "{number} question is gone: {names}. What was answered stays in the log.",
                "{number} questions are gone: {names}. What was answered stays in the log.",
                names=_named(gone),
            )
        )
    for id, entry in new.items():
        if id in old and (changed := _changed(old[id], entry)):
            yield _has_changed(entry.name, changed, known=_means_otherwise(old[id], entry))
    stayed = [id for id in new if id in old]
    if moved := _moved([id for id in old if id in new], stayed):
        names = [new[id].name for id in moved]
        yield capital(
            counted(
                len(names),
                "{number} question moved: {names}.",
                "{number} questions moved: {names}.",
                names=_named(names),
            )
        )
    if before.edition != after.edition:
        yield say(
            "It is edition {new}, where edition {old} was.", new=after.edition, old=before.edition
        )


def _by_id(deck: Deck) -> dict[str, Entry]:
    return {entry.id: entry for entry in deck.entries}


def _has_changed(name: str, parts: Sequence[str], *, known: bool) -> str:
    """In which parts a question has changed, and whether what is `known` of it stays though it
    stands for something else now."""
    told = {"name": name, "parts": listed([say(part) for part in parts])}
    if len(parts) == 1 and parts[0] != PHRASES:
        if known:
            return say('In "{name}" {parts} has changed; what is known of it stays.', **told)
        return say('In "{name}" {parts} has changed.', **told)
    if known:
        return say('In "{name}" {parts} have changed; what is known of it stays.', **told)
    return say('In "{name}" {parts} have changed.', **told)


def _named(names: Sequence[str]) -> str:
    quoted = [f'"{name}"' for name in names[:NAMED]]
    if len(names) > NAMED:
        quoted.append(say("{number} more", number=len(names) - NAMED))
    return listed(quoted)


def _means_otherwise(old: Entry, new: Entry) -> bool:
    """Whether the same id now stands for something else to be known."""
    if isinstance(old, Asked) and isinstance(new, Asked):
        return (old.form, old.cue, _right(old)) != (new.form, new.cue, _right(new))
    return isinstance(old, Asked) is not isinstance(new, Asked) or _offers(old) != _offers(new)


def _right(entry: Asked) -> tuple[object, ...]:
    right = frozenset((each.text, each.holds) for each in entry.offered if each.right)
    return (right, entry.things, _pairs(entry), frozenset(entry.lines), entry.holds)


def _pairs(entry: Asked) -> frozenset[tuple[str, str]]:
    return frozenset((pair.first, pair.then) for pair in entry.before)


def _offers(entry: Entry) -> tuple[object, ...]:
    assert isinstance(entry, Narrowed)
    phrases = {name: frozenset(lines) for name, lines in entry.phrases.items()}
    return (entry.kind, frozenset(entry.skills), frozenset(entry.among), phrases)


def _changed(old: Entry, new: Entry) -> list[str]:
    """The parts of a question that are not as they were, as a teacher calls them; to be said."""
    if isinstance(old, Asked) and isinstance(new, Asked):
        parts = _parts_of_own(old, new)
    elif isinstance(old, Narrowed) and isinstance(new, Narrowed) and old.kind == new.kind:
        parts = {
            to_say("the name in lists"): old.name != new.name,
            to_say("what it asks"): frozenset(old.skills) != frozenset(new.skills),
            to_say("what it offers"): frozenset(old.among) != frozenset(new.among),
            PHRASES: dict(old.phrases) != dict(new.phrases),
        }
    else:
        parts = {to_say("the kind of question"): True}
    found = [part for part, is_other in parts.items() if is_other]
    return found or [to_say("the order in which it is written")] * (old != new)


def _parts_of_own(old: Asked, new: Asked) -> dict[str, bool]:
    was, now = {o.text for o in old.offered}, {o.text for o in new.offered}
    is_unnamed = (old.name, new.name) == (old.prompt, new.prompt)
    return {
        to_say("the kind of question"): old.form != new.form,
        to_say("the prompt"): old.prompt != new.prompt,
        to_say("the name in lists"): old.name != new.name and not is_unnamed,
        to_say("the cue"): old.cue != new.cue,
        to_say("what is right"): _right(old) != _right(new),
        to_say("what is offered"): was != now,
        to_say("what is said of answers"): _said(old, was & now) != _said(new, was & now),
        to_say("the explanation"): old.why != new.why,
    }


def _said(entry: Asked, texts: Set[str]) -> frozenset[tuple[object, ...]]:
    """What is told or played about these answers, besides whether they are right."""
    of_answers = {(o.text, o.why, o.sargam, o.holds) for o in entry.offered if o.text in texts}
    of_pairs = {(pair.first, pair.then, pair.why) for pair in entry.before if pair.why}
    return frozenset(of_answers | of_pairs)


def _moved(old: Sequence[str], new: Sequence[str]) -> list[str]:
    """The fewest of `new` whose moving makes it of `old`: all outside a longest run that kept its
    order (patience sorting)."""
    places = {id: place for place, id in enumerate(old)}
    tops: list[int] = []  # the last place of the best run of each length
    runs: list[tuple[str, ...]] = [()]
    for id in new:
        at = bisect_left(tops, places[id])
        tops[at : at + 1] = [places[id]]
        runs[at + 1 : at + 2] = [(*runs[at], id)]
    kept = set(runs[-1])
    return [id for id in new if id not in kept]

"""What another version of a deck changes, in plain sentences."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence, Set

from quizzes.decks.deck import Asked, Deck, Entry, Narrowed
from quizzes.names import counted, listed

NAMED = 5
"""So many questions are named in a sentence; of the others it says how many they are."""
STAYS = "what is known of it stays"


def changes(before: Deck, after: Deck) -> tuple[str, ...]:
    """A sentence for each change from one version to the other; () where they are the same."""
    return tuple(_sentences(before, after))


def _sentences(before: Deck, after: Deck) -> Iterator[str]:
    if before.name != after.name:
        yield f'The deck is called "{after.name}" now, not "{before.name}".'
    if (before.about, before.by) != (after.about, after.by):
        yield "What it says of itself has changed."
    old, new = _by_id(before), _by_id(after)
    if added := [entry.name for id, entry in new.items() if id not in old]:
        yield f"{_are(added, 'new')}: {_named(added)}."
    if gone := [entry.name for id, entry in old.items() if id not in new]:
        yield f"{_are(gone, 'gone')}: {_named(gone)}. What was answered stays in the log."
    for id, entry in new.items():
        if id in old and (changed := _changed(old[id], entry)):
            verb = "has" if len(changed) == 1 and changed[0] != "the phrases" else "have"
            known = f"; {STAYS}" if _means_otherwise(old[id], entry) else ""
            yield f'In "{entry.name}" {listed(changed)} {verb} changed{known}.'
    stayed = [id for id in new if id in old]
    if moved := _moved([id for id in old if id in new], stayed):
        names = [new[id].name for id in moved]
        yield f"{counted(len(names), 'question').capitalize()} moved: {_named(names)}."
    if before.edition != after.edition:
        yield f"It is edition {after.edition}, where edition {before.edition} was."


def _by_id(deck: Deck) -> dict[str, Entry]:
    return {entry.id: entry for entry in deck.entries}


def _are(names: Sequence[str], what: str) -> str:
    verb = "is" if len(names) == 1 else "are"
    return f"{counted(len(names), 'question').capitalize()} {verb} {what}"


def _named(names: Sequence[str]) -> str:
    quoted = [f'"{name}"' for name in names[:NAMED]]
    if len(names) > NAMED:
        quoted.append(f"{len(names) - NAMED} more")
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
    """The parts of a question that are not as they were, as a teacher calls them."""
    if isinstance(old, Asked) and isinstance(new, Asked):
        parts = _parts_of_own(old, new)
    elif isinstance(old, Narrowed) and isinstance(new, Narrowed) and old.kind == new.kind:
        parts = {
            "the name in lists": old.name != new.name,
            "what it asks": frozenset(old.skills) != frozenset(new.skills),
            "what it offers": frozenset(old.among) != frozenset(new.among),
            "the phrases": dict(old.phrases) != dict(new.phrases),
        }
    else:
        parts = {"the kind of question": True}
    found = [part for part, is_other in parts.items() if is_other]
    return found or ["the order in which it is written"] * (old != new)


def _parts_of_own(old: Asked, new: Asked) -> dict[str, bool]:
    was, now = {o.text for o in old.offered}, {o.text for o in new.offered}
    is_unnamed = (old.name, new.name) == (old.prompt, new.prompt)
    return {
        "the kind of question": old.form != new.form,
        "the prompt": old.prompt != new.prompt,
        "the name in lists": old.name != new.name and not is_unnamed,
        "the cue": old.cue != new.cue,
        "what is right": _right(old) != _right(new),
        "what is offered": was != now,
        "what is said of answers": _said(old, was & now) != _said(new, was & now),
        "the explanation": old.why != new.why,
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

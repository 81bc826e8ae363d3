"""What has been asked in this practice so far, and how far apart questions are.

A skill is never asked twice in a row, nor again within the next three questions, as long as there
is something else; one just missed may return sooner, after two others.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from scheduler.answer import Item

APART = 3
"""Questions of other skills between two of the same, where possible."""
RETURNS_APART, CONTRASTS_APART = 48, 16
"""Questions from one that returns after a miss to the next, and from one that is set beside what it
is taken for to the next."""
_RETURN_AFTER, _RETURNS = 2, 1
_KINDS_IN_A_ROW = 3
_LATELY = 12  # answers by which it is seen how practice goes
_IDLE = 2  # tellings one after the other, with nothing new of the kind between: more are idle


@dataclass(slots=True)
class Tally:
    """One skill in this practice."""

    is_new: bool
    asked: int = 0
    right: int = 0
    missed_last: bool = False
    returns: int = 0
    told: int = 0
    """So often told, and not asked since, nor anything new of its kind begun."""


@dataclass(slots=True)
class Today:
    """The questions of this practice, in order."""

    items: list[Item] = field(default_factory=list)
    rights: list[bool] = field(default_factory=list)
    """Whether each was right; what was told is left out."""
    tallies: dict[str, Tally] = field(default_factory=dict)
    since_return: int = RETURNS_APART
    since_contrast: int = CONTRASTS_APART

    def copy(self) -> Today:
        tallies = {
            skill: Tally(t.is_new, t.asked, t.right, t.missed_last, t.returns, t.told)
            for skill, t in self.tallies.items()
        }
        return Today(
            list(self.items), list(self.rights), tallies, self.since_return, self.since_contrast
        )

    def note(
        self, item: Item, *, right: bool, is_new: bool, told: bool = False, beside: bool = False
    ) -> None:
        """Count an answer; `told` is whether it was as good as told, `beside` whether it was set
        beside what it is taken for."""
        if is_new:
            for other in {each.skill for each in self.items if each.kind == item.kind}:
                self.tallies[other].told = 0
        tally = self.tallies.setdefault(item.skill, Tally(is_new))
        tally.returns += tally.missed_last
        self.since_return = 1 if tally.missed_last else self.since_return + 1
        self.since_contrast = 1 if beside else self.since_contrast + 1
        tally.asked += 1
        tally.right += right
        tally.missed_last = not right
        tally.told = tally.told + 1 if told else 0
        self.items.append(item)
        if not told:
            self.rights.append(right)

    @property
    def seconds(self) -> float:
        """What the questions so far should have taken."""
        return sum(item.seconds for item in self.items)

    @property
    def seconds_of_new(self) -> float:
        """The usual time of the skills met for the first time, each counted once."""
        seconds = {item.skill: item.seconds for item in self.items}
        return sum(seconds[skill] for skill, tally in self.tallies.items() if tally.is_new)

    def introduced(self) -> int:
        """How many skills were met for the first time."""
        return sum(tally.is_new for tally in self.tallies.values())

    def right_lately(self, least: int) -> float:
        """Share of right answers among the last ones; 1 before there are at `least` so many."""
        lately = self.rights[-_LATELY:]
        return sum(lately) / len(lately) if len(lately) >= least else 1.0

    def since_introduced(self) -> int:
        """Questions since the last new skill was introduced, itself counted."""
        seen: set[str] = set()
        last = 0
        for number, item in enumerate(self.items, start=1):
            if item.skill not in seen and self.tallies[item.skill].is_new:
                last = number
            seen.add(item.skill)
        return len(self.items) - last + 1 if last else len(self.items) + APART

    def told(self) -> list[str]:
        """Skills met today for the first time and not asked since."""
        return [s for s, tally in self.tallies.items() if tally.is_new and tally.asked == 1]

    def idle(self) -> set[str]:
        """Skills of which telling them once more would tell nothing: those that were told again,
        since nothing else of their kind is begun that they could be taken for."""
        return {skill for skill, tally in self.tallies.items() if tally.told >= _IDLE}

    def returning(self) -> list[str]:
        """Skills missed when last asked that may still return in this practice; seldom, for to be
        asked again at once teaches little."""
        if self.since_return < RETURNS_APART:
            return []
        return [
            skill
            for skill, tally in self.tallies.items()
            if tally.missed_last and tally.returns < _RETURNS
        ]

    def barred(self, apart: int) -> set[str]:
        """Skills not to be asked now, for `apart` others to stand between two of the same."""
        barred = {item.skill for item in self.items[-apart:]} if apart else set()
        if apart > _RETURN_AFTER:
            near = {item.skill for item in self.items[-_RETURN_AFTER:]}
            barred -= {skill for skill in self.returning() if skill not in near}
        return barred

    def worn_kind(self) -> str | None:
        """The kind of the last three questions, if it was one."""
        kinds = {item.kind for item in self.items[-_KINDS_IN_A_ROW:]}
        return kinds.pop() if len(kinds) == 1 and len(self.items) >= _KINDS_IN_A_ROW else None

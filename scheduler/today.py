"""What has been asked in this practice so far, and how far apart and how mixed questions are.

A skill is never asked twice in a row, nor again within the next three questions, as long as there
is something else; one just missed may return sooner, after two others. Kinds are interleaved
(Rohrer & Taylor 2007); skills of one perceptual cluster are kept near each other but not in a row
(Carvalho & Goldstone: similar ones gain from being set side by side).
"""

from __future__ import annotations

from dataclasses import dataclass, field

from scheduler.answer import Item

APART = 3
"""Questions of other skills between two of the same, where possible."""
_RETURN_AFTER, _RETURNS, _RETURNS_APART = 2, 1, 12
_SETTLED_ASKED, _SETTLING_ASKED = 2, 3
_KINDS_IN_A_ROW = 3
_WEARS_AFTER = 3  # times asked; then the others have their turn
_CLUSTER_NEAR, _NEAR_FACTOR, _ROW_FACTOR, _CONTRAST_FACTOR = 6, 1.3, 0.5, 2.0


@dataclass(slots=True)
class Tally:
    """One skill in this practice."""

    is_new: bool
    recalled: bool = False
    """Known before today and right when first asked."""
    asked: int = 0
    right: int = 0
    missed_last: bool = False
    returns: int = 0


@dataclass(slots=True)
class Today:
    """The questions of this practice, in order."""

    items: list[Item] = field(default_factory=list)
    tallies: dict[str, Tally] = field(default_factory=dict)
    since_return: int = _RETURNS_APART
    """Questions since one last returned after a miss."""

    def copy(self) -> Today:
        tallies = {
            skill: Tally(t.is_new, t.recalled, t.asked, t.right, t.missed_last, t.returns)
            for skill, t in self.tallies.items()
        }
        return Today(list(self.items), tallies, self.since_return)

    def note(self, item: Item, *, right: bool, is_new: bool) -> None:
        tally = self.tallies.setdefault(item.skill, Tally(is_new, right and not is_new))
        self.since_return += 1
        if tally.missed_last:
            tally.returns, self.since_return = tally.returns + 1, 1
        tally.asked += 1
        tally.right += right
        tally.missed_last = not right
        self.items.append(item)

    @property
    def seconds(self) -> float:
        """What the questions so far should have taken."""
        return sum(item.seconds for item in self.items)

    def introduced(self) -> int:
        """How many skills were met for the first time."""
        return sum(tally.is_new for tally in self.tallies.values())

    def recalled(self) -> int:
        """How many skills begun earlier were right at once."""
        return sum(tally.recalled for tally in self.tallies.values())

    def since_introduced(self) -> int:
        """Questions since the last new skill was introduced, itself counted."""
        seen: set[str] = set()
        last = 0
        for number, item in enumerate(self.items, start=1):
            if item.skill not in seen and self.tallies[item.skill].is_new:
                last = number
            seen.add(item.skill)
        return len(self.items) - last + 1 if last else len(self.items) + APART

    def settling(self) -> list[str]:
        """New skills not yet asked twice, or not yet right and not yet asked three times."""
        return [
            skill
            for skill, tally in self.tallies.items()
            if tally.is_new
            and (
                tally.asked < _SETTLED_ASKED or (not tally.right and tally.asked < _SETTLING_ASKED)
            )
        ]

    def returning(self) -> list[str]:
        """Skills missed when last asked that may still return in this practice.

        One in twelve questions at most: to be asked again at once teaches little.
        """
        if self.since_return < _RETURNS_APART:
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

    def factor(self, item: Item, rivals: frozenset[str]) -> float:
        """What a gain is multiplied by for the mixture; `rivals` are to be set beside the last."""
        tally = self.tallies.get(item.skill)
        factor = min(1.0, _WEARS_AFTER / tally.asked) if tally else 1.0
        last = self.items[-2:]
        if len(last) == 2:
            if last[0].cluster == last[1].cluster == item.cluster:
                factor *= _ROW_FACTOR
            if last[0].kind == last[1].kind == item.kind:
                factor *= _ROW_FACTOR
        if item.family == "perception" and any(
            item.cluster == near.cluster for near in self.items[-_CLUSTER_NEAR:]
        ):
            factor *= _NEAR_FACTOR
        return factor * _CONTRAST_FACTOR if item.skill in rivals else factor

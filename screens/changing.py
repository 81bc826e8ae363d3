"""How a screen changes the student's settings: kept at once, or said why that cannot be."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from audio.tuning import SA_HZ_HIGHEST, SA_HZ_LOWEST
from practice import Practice, PracticeError
from practice.called import LONGEST_NAME, cleaned


class Changing:
    """For a screen with a `practice` that shows its `trouble`."""

    practice: Practice
    trouble: Any

    def change(self, **values: Any) -> bool:
        """Take over new values and keep them; False, and said why, where they cannot be used."""
        try:
            self.practice.save(replace(self.practice.settings, **values))
        except PracticeError as error:
            self.trouble = str(error)
            return False
        self.trouble = ""
        return True

    def set_name(self, name: str) -> bool:
        """What the student is called; nothing, too."""
        return self.change(student_name=cleaned(name)[:LONGEST_NAME])


def sa_within(sa_hz: float) -> float:
    """The nearest Sa that can be set, in hertz."""
    return min(SA_HZ_HIGHEST, max(SA_HZ_LOWEST, round(sa_hz, 2)))

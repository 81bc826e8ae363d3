"""Which swaras a student has met, and the scales in which material stays among them."""

from __future__ import annotations

from quizzes.contours import THATS
from quizzes.question import Setting

ALSO_MET = ("swara",)
"""The kinds whose skills, where they are begun, say which swaras have been met."""


def letters_met(setting: Setting) -> set[str]:
    """The swaras of which this student has been asked, in whatever saptak."""
    parts = (skill.split(":") for skill in setting.met)
    return {part[1][0] for part in parts if part[0] in ALSO_MET}


def scales_met(setting: Setting) -> tuple[str, ...]:
    """The thats of which every swara is met, such as "S R G m P D N"; Bilawal where none is."""
    met = letters_met(setting)
    return tuple(that for that in THATS if met.issuperset(that.split())) or THATS[:1]

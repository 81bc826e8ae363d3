"""What may be chosen of the look, in words: by the settings and by the first start."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from words import say, to_say

TEXT_SIZE_WORDS = (
    ("usual", to_say("Usual")),
    ("large", to_say("Large")),
    ("largest", to_say("Largest")),
)
CONTRAST_WORDS = ((False, to_say("Usual")), (True, to_say("High")))


def said(options: Sequence[tuple[Any, str]]) -> list[tuple[Any, str]]:
    """What may be chosen, in the language in use."""
    return [(value, say(text)) for value, text in options]

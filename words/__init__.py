"""What is said, in the language of the student, and swaras in the student's letters."""

from words.catalogue import (
    LANGUAGES,
    SWARAS_SAID,
    Language,
    in_english,
    language,
    pattern_of,
    say,
    say_as,
    say_many,
    swaras_in,
    to_say,
    unread,
    use,
)
from words.keeping import kept_as_said
from words.letters import LETTERS, in_script, script

__all__ = [
    "LANGUAGES",
    "LETTERS",
    "SWARAS_SAID",
    "Language",
    "in_english",
    "in_script",
    "kept_as_said",
    "language",
    "pattern_of",
    "say",
    "say_as",
    "say_many",
    "script",
    "swaras_in",
    "to_say",
    "unread",
    "use",
]

"""Commands that need no window; one module each, with `add_to(subparsers)`."""

from desk import kinds, questions, sound

COMMANDS = (sound, questions, kinds)

__all__ = ["COMMANDS"]

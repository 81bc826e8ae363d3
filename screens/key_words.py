"""What keys are called, and what they do: for the list that F1 brings up."""

from __future__ import annotations

from words import say, say_as, to_say

Said = tuple[str, str]
"""A key, or some, and what it does."""
ENTER, ESCAPE, TAB, HELP, BACKSPACE = "Enter", "Esc", "Tab", "F1", "Backspace"
ARROWS, LEFT_RIGHT, UP_DOWN = to_say("Arrows"), to_say("Left, right"), to_say("Up, down")
PAGES = to_say("Page Up, Page Down")


def space_key() -> str:
    """The long one."""
    return say_as("key", "Space")


def common_keys() -> tuple[Said, ...]:
    """What keys do on every screen."""
    return (
        (TAB, say("On to the next thing; with Shift, back")),
        (say(ARROWS), say("On and back, where nothing else is said")),
        (ENTER, say("Touch what has the frame; where nothing has, the main plate")),
        (say(PAGES), say("Roll what is longer than its room")),
        (ESCAPE, say("One step back")),
        (HELP, say("This list")),
    )


def choice_keys() -> tuple[Said, ...]:
    """In a row of choices."""
    return ((say(ARROWS), say("Along a row of choices; Enter takes one")),)


def undo_keys() -> tuple[Said, ...]:
    """Where something is edited or removed."""
    return (("Ctrl+Z", say("Undo")), ("Ctrl+Shift+Z", say("Redo")))


def letter_keys(saptaks: bool) -> tuple[Said, ...]:
    """Where a swara's letter is struck."""
    marks = (("', ,", say("The next letter is of the saptak above, below")),)
    letters = ("S r R g G m M P d D n N", say("A swara, small where it is komal; M is tivra"))
    return (letters, *(marks if saptaks else ()))

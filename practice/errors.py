"""The errors of `practice`, as a tree.

PracticeError
├── FolderError      settings and log have no place to be kept
├── ModeError        a way to practise that is not to be had now; says why and what can be done
├── PageError        a page that cannot be set as a file; says why and what to do
├── SettingsError    a setting that cannot be used; names the field, the value and the remedy
├── ShelfError       decks, recordings or courses that cannot be taken, kept or handed over
├── StepError        a session was called out of order, such as an answer before a question
├── StudentsError    a student who cannot be added, chosen or set aside; says why and what to do
└── TapTestError     taps from which nothing can be measured
"""


class PracticeError(Exception):
    """Root of every error that `practice` raises on purpose."""


class FolderError(PracticeError):
    """Settings and log have no place to be kept."""


class ModeError(PracticeError):
    """A way to practise that is not to be had now."""


class PageError(PracticeError):
    """A page that cannot be set as a file."""


class SettingsError(PracticeError):
    """A setting that cannot be used."""


class ShelfError(PracticeError):
    """What cannot be taken, kept or handed over; `faults` are all that is wrong, one a line."""

    def __init__(self, *faults: str) -> None:
        self.faults = faults
        super().__init__("\n".join(faults))


class StepError(PracticeError):
    """A session was called out of order."""


class StudentsError(PracticeError):
    """A student who cannot be added, chosen, renamed or set aside."""


class TapTestError(PracticeError):
    """Taps from which nothing can be measured; the message says why, and what to do."""

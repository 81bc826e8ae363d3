"""The errors of `audio`, as a tree; a message holds the bad value, where it is, and the mend.

AudioError
├── TuningError      a scale file or a swara that cannot be used
├── SargamError      a line of sargam that cannot be read
├── OrnamentError    a file of ornaments, or a way of playing them, that cannot be used
├── BolError         a line of strokes of the mizrab that cannot be read
├── ThekaError       a theka that cannot be read
├── RecordingError   a recording that cannot be brought in or played
└── SpeakerError     a sound device that cannot be opened or has gone away
"""


class AudioError(Exception):
    """Root of every error that `audio` raises on purpose."""


class TuningError(AudioError):
    """A scale file or a swara that cannot be used."""


class SargamError(AudioError):
    """A line of sargam that cannot be read; `position` counts characters from 0."""

    def __init__(self, message: str, *, text: str, position: int) -> None:
        self.text = text
        self.position = position
        super().__init__(f"{message}\n  {text}\n  {' ' * position}^")


class OrnamentError(AudioError):
    """A file of ornaments, or a way of playing them, that cannot be used."""


class BolError(AudioError):
    """A line of strokes of the mizrab that cannot be read."""


class ThekaError(AudioError):
    """A theka that cannot be read; `matra` counts from 1, 0 where the whole is at fault."""

    def __init__(self, message: str, *, matra: int = 0) -> None:
        self.matra = matra
        super().__init__(message)


class RecordingError(AudioError):
    """A recording that cannot be brought in or played; `file` is its name, for the reader."""

    def __init__(self, message: str, *, file: str) -> None:
        # A name need not be text that can be printed.
        self.file = file.encode("utf-8", "replace").decode()
        super().__init__(f"{self.file}: {message}")


class SpeakerError(AudioError):
    """A sound device that cannot be opened or has gone away."""

"""Where Sa is: from a list, by ear along a string, or typed in hertz."""

from __future__ import annotations

from kivy.properties import ListProperty, NumericProperty, StringProperty

from audio.tuning import SA_HZ_HIGHEST, SA_HZ_LOWEST
from screens.changing import sa_within
from screens.notes import SA_NOTES, hz_of_note, note_of, sa_words
from screens.welcome_parts import StepPart
from words import say


class SaStep(StepPart):
    """Three ways to one Sa, which is heard as soon as it is chosen."""

    note_options = ListProperty(list(enumerate(SA_NOTES)))
    sa_least, sa_most = NumericProperty(SA_HZ_LOWEST), NumericProperty(SA_HZ_HIGHEST)
    sa_hz = NumericProperty(SA_HZ_LOWEST)
    sa_words = StringProperty("")
    fault = StringProperty("")
    """Why what was typed cannot be used."""

    def fill(self) -> None:
        self._show(self.screen.practice.settings.sa_hz)

    def _show(self, sa_hz: float) -> None:
        number, cents = note_of(sa_hz)
        self.sa_hz, self.sa_words = sa_hz, sa_words(sa_hz)
        # Between two notes none is chosen.
        self.ids.note.value = number if abs(cents) < 1.0 else None

    def set_note(self, number: int) -> None:
        """Sa on a note of the list."""
        self.set_sa(hz_of_note(number))

    def set_sa(self, sa_hz: float) -> bool:
        """Sa at so many hertz; it is heard at once. False where it cannot be kept."""
        sa_hz = sa_within(sa_hz)
        if not self.screen.change(sa_hz=sa_hz):
            return False
        self.fault = self.ids.typed.text = ""
        self._show(sa_hz)
        self.screen.hear()
        return True

    def keep_typed(self) -> bool:
        """Sa as it was typed, in hertz; nothing typed changes nothing."""
        text = self.ids.typed.text.strip()
        if not text:
            return True
        try:
            sa_hz = float(text.lower().removesuffix("hz").replace(",", "."))
        except ValueError:
            sa_hz = 0.0
        if not SA_HZ_LOWEST <= sa_hz <= SA_HZ_HIGHEST:
            self.fault = say(
                "Give a number of hertz from {least} to {most}, such as 277.2.",
                least=f"{SA_HZ_LOWEST:g}",
                most=f"{SA_HZ_HIGHEST:g}",
            )
            return False
        return self.set_sa(sa_hz)

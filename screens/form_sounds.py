"""How all cues of a deck sound, unless a question says otherwise; folded away until wanted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from quizzes.decks.heard import USUAL
from quizzes.decks.limits import TEMPOS
from quizzes.names import listed
from screens.fault_words import Told, words_of
from screens.form_cue import DRONES, STEPS
from screens.form_parts import FoldedPart, NumberPart, OptionPart

TUNINGS = ((None, "As the student has it"), ("just", "Just"), ("equal", "Equal"))
VOICES = ((None, "The sitar"), ("string", "A bare string"))
USUAL_VOICE = ("voice", "sitar")
CALLED = {"tempo": "the tempo", "tuning": "the tuning", "voice": "the voice", "drone": "the drone"}


class SoundsPart(FoldedPart):
    """Tempo, tuning, voice and drone at the head of a deck."""

    fields: tuple[str, ...] = USUAL

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(title="How it sounds", **kwargs)
        tempo = NumberPart("tempo", steps=[s for s in STEPS if not s or s <= TEMPOS[1]])
        tempo.title, tempo.role = "Tempo", "body"
        self.tuning = OptionPart("tuning", title="Tuning", role="body", options=TUNINGS)
        voice = OptionPart("voice", title="Voice", role="body", options=VOICES)
        drone = OptionPart("drone", title="Drone", role="body", options=DRONES)
        self.inside = (tempo, self.tuning, voice, drone)
        for part in self.inside:
            part.bind(on_change=lambda _, values: self.change(**values))

    def show(self, values: dict[str, Any]) -> None:
        held = [CALLED[field] for field in USUAL if field in values]
        said = f"This deck sets {listed(held)}." if held else "As usual."
        self.hint = f"{said} It is so of all its questions, unless one says otherwise."
        own = values.get("tuning")
        known = [value for value, _ in TUNINGS]
        self.tuning.row.options = [*TUNINGS, *([] if own in known else [(own, "As the file says")])]
        # The file may say what is usual anyway.
        shown = {field: value for field, value in values.items() if (field, value) != USUAL_VOICE}
        for part in self.inside:
            part.show(shown)

    def tell(self, faults: Sequence[Told]) -> None:
        for part in self.inside:
            part.tell([fault for fault in faults if fault.field in part.fields])
        self.fault = "" if self.open else words_of(faults)

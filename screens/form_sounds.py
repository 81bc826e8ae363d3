"""How all cues of a deck sound, unless a question says otherwise; folded away until wanted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from quizzes.decks.heard import USUAL
from quizzes.decks.limits import TEMPOS
from quizzes.names import listed
from screens.fault_words import Told, words_of
from screens.form_cue import DRONES, STEPS
from screens.form_parts import FoldedPart, NumberPart, OptionPart, said
from words import say, to_say

TUNINGS = (
    (None, to_say("As the student has it")),
    ("just", to_say("Just")),
    ("equal", to_say("Equal")),
)
VOICES = ((None, to_say("The sitar")), ("string", to_say("A bare string")))
USUAL_VOICE = ("voice", "sitar")
CALLED = {
    "tempo": to_say("the tempo"),
    "tuning": to_say("the tuning"),
    "voice": to_say("the voice"),
    "drone": to_say("the drone"),
}
"""To be said."""


class SoundsPart(FoldedPart):
    """Tempo, tuning, voice and drone at the head of a deck."""

    fields: tuple[str, ...] = USUAL

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(title=say("How it sounds"), **kwargs)
        tempo = NumberPart("tempo", steps=[s for s in STEPS if not s or s <= TEMPOS[1]])
        tempo.title, tempo.role = say("Tempo"), "body"
        self.tuning = OptionPart("tuning", title=say("Tuning"), role="body", options=said(TUNINGS))
        voice = OptionPart("voice", title=say("Voice"), role="body", options=said(VOICES))
        drone = OptionPart("drone", title=say("Drone"), role="body", options=said(DRONES))
        self.inside = (tempo, self.tuning, voice, drone)
        for part in self.inside:
            part.bind(on_change=lambda _, values: self.change(**values))

    def show(self, values: dict[str, Any]) -> None:
        held = [say(CALLED[field]) for field in USUAL if field in values]
        self.hint = (
            say(
                "This deck sets {what}. It is so of all its questions, unless one says otherwise.",
                what=listed(held),
            )
            if held
            else say("As usual. It is so of all its questions, unless one says otherwise.")
        )
        own = values.get("tuning")
        known = [value for value, _ in TUNINGS]
        self.tuning.row.options = [
            *said(TUNINGS),
            *([] if own in known else [(own, say("As the file says"))]),
        ]
        # The file may say what is usual anyway.
        shown = {field: value for field, value in values.items() if (field, value) != USUAL_VOICE}
        for part in self.inside:
            part.show(shown)

    def tell(self, faults: Sequence[Told]) -> None:
        for part in self.inside:
            part.tell([fault for fault in faults if fault.field in part.fields])
        self.fault = "" if self.open else words_of(faults)

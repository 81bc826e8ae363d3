"""The phrases that a student has kept, the newest first: each can be heard, and what its raga says
of it; one's own can be let go, and those of a student be set as questions.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from audio.score import Score
from audio.speakers import Playing
from practice import Practice
from practice.dates import moment_word
from practice.phrase_said import raga_of_phrase, said_of, sound_of
from practice.phrases import KeptPhrase
from practice.students import Known
from scheduler import LogError
from screens import theme
from screens.drawn import shortened
from screens.filling import Filling
from screens.findings import FindingRows
from screens.following import Following
from screens.hearing import length_s, sound
from screens.keys import KaanScreen
from screens.look import load_kv
from screens.phrase import Phrase
from screens.widgets import Column, Touchable
from words import say, to_say

LET_GO, TAKE_BACK, SET = to_say("Let it go"), to_say("Take that back"), to_say("Set as a question")
POLL_S = 1 / 20
"""So often it is looked which swara sounds."""
AT_A_TIME = 4
"""So many are put on view in a frame: each is a picture of its own."""
HOW_TO_KEEP = to_say(
    "No phrase is kept. Where a question lets you make a phrase, touch “Keep this phrase” after "
    "your answer. It then stands here, goes along with your answers, and your teacher can hear it "
    "and set it as a question."
)


class PhrasePlate(Touchable, BoxLayout):
    """A phrase in notation with what is told of it; a touch plays it."""

    phrase = ObjectProperty(Phrase())
    about = StringProperty("")
    wish = StringProperty("")
    sounding = NumericProperty(-1)

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        """On a panel's ground, from which the boxes of the notation stand out."""
        edge = theme.BRASS_TOUCHED if self.state == "down" else theme.BRASS_DIM
        if self.mark == "aside":  # let go, but still to be heard
            return theme.CLEAR, theme.EDGE, theme.INK
        return theme.PANEL, edge, theme.INK


class PhraseRow(Column):
    """One phrase, what can be done with it, and what its raga says where that is wanted."""

    __events__ = ("on_hear", "on_hear_said", "on_do")

    made = ObjectProperty(Phrase())
    about = StringProperty("")
    wish = StringProperty("")
    raga = StringProperty("")
    """The name of its raga; "" where none says anything."""
    act = StringProperty("")
    """What can be done with it."""
    gone = BooleanProperty(False)
    """Whether it was let go."""
    says = BooleanProperty(False)
    """Whether what the raga says is on view."""
    sounding = NumericProperty(-1)
    """Which of its swaras sounds just now; -1 for none."""

    def __init__(self, phrase: KeptPhrase, tradition: str, **kwargs: Any) -> None:
        self.phrase, self._tradition = phrase, tradition
        self._findings: FindingRows | None = None
        raga = raga_of_phrase(phrase, tradition)
        name = "" if raga is None else say(raga.name)
        super().__init__(
            made=Phrase.read(phrase.sargam),
            about=about_phrase(phrase, name),
            wish=shortened(phrase.wish),
            raga=name,
            **kwargs,
        )

    def on_says(self, *_: Any) -> None:
        """It is worked out when it is first wanted."""
        if self._findings is None:
            self._findings = FindingRows()
            self._findings.findings = said_of(self.phrase, self._tradition)
            self._findings.bind(on_hear=lambda _, cue: self.dispatch("on_hear_said", cue))
        (self.add_widget if self.says else self.remove_widget)(self._findings)

    def on_hear(self) -> None:
        """The phrase is to be heard."""

    def on_hear_said(self, cue: Score) -> None:
        """Something that is said of it is to be heard."""

    def on_do(self) -> None:
        """What can be done with it is to be done."""


class PhraseList(KaanScreen):
    """Phrases one below the other; a subclass says what can be done with each."""

    who = StringProperty("")
    """Whose they are, where they are another's."""
    about = StringProperty("")
    empty = StringProperty("")
    """What is said where there is none."""
    trouble = StringProperty("")

    def __init__(self, practice: Practice, *, on_close: Callable[[], None], **kwargs: Any) -> None:
        self.practice, self._on_close = practice, on_close
        self._filling = Filling(AT_A_TIME)
        self._followed: tuple[PhraseRow, Following] | None = None
        self._look_where = Clock.create_trigger(self._where, POLL_S, interval=True)
        super().__init__(**kwargs)
        self.about = say(self.about_words)

    @property
    def rows(self) -> list[PhraseRow]:
        """From above."""
        return list(self.ids.rows.children[::-1])

    def list_all(self, phrases: Sequence[KeptPhrase]) -> None:
        """Put these on view."""
        self._filling.leave()
        self.ids.rows.clear_widgets()
        self.ids.roll.to_top()
        self._filling.add(self.ids.rows, phrases, self._row)

    def _row(self, phrase: KeptPhrase) -> PhraseRow:
        row = PhraseRow(phrase, self.practice.given.tradition, act=say(self.act_words))
        row.bind(on_hear=self.hear, on_hear_said=lambda _, cue: self.play(cue), on_do=self.do)
        return row

    act_words = ""
    """What can be done with each; to be said."""
    about_words = ""
    """What stands above all; to be said."""

    def do(self, row: PhraseRow) -> None:
        """Do it."""
        raise NotImplementedError

    def hear(self, row: PhraseRow) -> None:
        """Play a phrase, and show which of its swaras sounds."""
        score = sound_of(row.phrase, self.practice.given.tradition)
        playing = self.play(score)
        if playing is not None:
            length = length_s(self.practice, score)
            self._followed = row, Following(score, score, playing, length)
            self._look_where()

    def play(self, cue: Score) -> Playing | None:
        """Play this, in place of what sounds."""
        self._follow_none()
        self.trouble, playing = sound(self.practice, cue)
        return playing

    def _where(self, *_: Any) -> bool:
        """For the clock: whether it still sounds."""
        if self._followed is None:
            return False
        row, following = self._followed
        at_s = following.at_s()
        row.sounding = -1 if at_s is None else row.made.at_matra(at_s * row.phrase.tempo / 60.0)
        return at_s is not None

    def _follow_none(self) -> None:
        self._look_where.cancel()
        if self._followed is not None:
            self._followed[0].sounding = -1
        self._followed = None

    def on_leave(self, *_: Any) -> None:
        """Fall silent; nothing more is listed."""
        self._filling.leave()
        self._follow_none()
        self.practice.speaker.stop()

    def let_go(self) -> None:
        self._filling.leave()
        self._follow_none()

    def main_thing(self) -> Widget | None:
        return self.rows[0].ids.plate if self.rows else None

    def back(self) -> None:
        self._on_close()


class PhrasesScreen(PhraseList):
    """One's own. What is let go stays on view, and can be taken back there, till this is left."""

    about_words = to_say("Made and kept by you. Touch one to hear it.")
    act_words = LET_GO

    def __init__(self, practice: Practice, **kwargs: Any) -> None:
        self._let_go_last: PhraseRow | None = None
        self._has_changed = False
        super().__init__(practice, **kwargs)

    def on_pre_enter(self, *_: Any) -> None:
        """List afresh: one may have been kept meanwhile."""
        self.trouble, self._let_go_last = "", None
        try:
            phrases = self.practice.phrases()
        except LogError as error:
            self.trouble, phrases = str(error), ()
        self.empty = "" if phrases or self.trouble else say(HOW_TO_KEEP)
        self.list_all(phrases)

    def do(self, row: PhraseRow) -> None:
        """Let it go, or take that back: both are in the log at once."""
        try:
            (self.practice.take_back if row.gone else self.practice.let_go)(row.phrase)
        except LogError as error:
            self.trouble = str(error)
            return
        self.trouble, row.gone, self._has_changed = "", not row.gone, True
        row.act = say(TAKE_BACK if row.gone else LET_GO)
        self._let_go_last = row if row.gone else None

    def on_leave(self, *_: Any) -> None:
        """The same; other devices are to know what was let go."""
        super().on_leave()
        if self._has_changed:
            self._has_changed = False
            self.practice.hand_on()

    def take_shortcut(self, name: str) -> bool:
        if name != "z" or self._let_go_last is None:
            return False
        self.do(self._let_go_last)
        return True


class StudentPhrasesScreen(PhraseList):
    """A student's, to be heard; `on_set` is told the one that is to be set as a question."""

    about_words = to_say("Made and kept by this student. Touch one to hear it.")
    act_words = SET

    def __init__(
        self, practice: Practice, *, on_set: Callable[[KeptPhrase], None], **kwargs: Any
    ) -> None:
        self._on_set = on_set
        self._phrases: tuple[KeptPhrase, ...] = ()
        super().__init__(practice, **kwargs)

    def show_of(self, student: Known | None, phrases: Sequence[KeptPhrase]) -> None:
        """Show these of a student; None stands for who practises here."""
        self.trouble = ""
        self.who = self.practice.settings.student_name if student is None else student.words
        self._phrases = tuple(phrases)
        self.list_all(self._phrases)

    def on_pre_enter(self, *_: Any) -> None:
        """Those that were not on view yet when this was left come to be so."""
        self._filling.add(self.ids.rows, self._phrases[len(self.rows) :], self._row)

    def do(self, row: PhraseRow) -> None:
        """Set it as a question."""
        self._on_set(row.phrase)


def about_phrase(phrase: KeptPhrase, raga: str) -> str:
    """`Yaman. Kept on 29 November 2026, 18:02.`"""
    kept = say("Kept on {moment}.", moment=moment_word(phrase.made_at))
    return say("{raga}. {kept}", raga=raga, kept=kept) if raga else kept


load_kv("phrases")

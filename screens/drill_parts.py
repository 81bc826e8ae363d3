"""What the drill says and what can be done, for each stage of a question: columns that change."""

from __future__ import annotations

from typing import Any

from kivy.lang import Builder
from kivy.metrics import dp
from kivy.properties import ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout

from screens import theme
from screens.drill_ways import WAYS
from screens.lines import WAS_HEAD
from screens.look import load_kv, look, text_px
from screens.verdict import hear_own, you_did
from screens.widgets import AnswerPlate, Column, HearPlate, Plate, Words
from words import say, to_say

HEAR_WAS, HEAR_ONE = to_say("Hear what it was"), to_say("Hear one that keeps the wish")
"""Of a phrase that was to be made, there is more than one."""
SLOWER_KEY = "s"
MANY = 6
"""So many names, if they are short, stand in two columns."""
NUMBER, MARK, AIR = 18, 22, 70
"""What a plate needs beside its name, in dp."""
HEAR_AIR = 60
"""What a plate that plays needs beside its words, in dp."""
LEAST_BESIDE = 180
"""Two plates narrower than this, in dp at the usual text size, stand one above the other."""
MOST_LINES = 2.4
"""A name as long as so many lines beside another is given the whole breadth."""


class Part(Column):
    """A column that belongs to one stage of the drill `screen`."""

    screen = ObjectProperty(None)

    def on_kv_post(self, base_widget: Any) -> None:
        """Its parts are there: where nothing sounds there is nothing to listen to."""
        if "listen" in self.ids and not self.screen.heard:
            self.remove_widget(self.ids.listen)

    def leave(self) -> None:
        """Follow the screen no more: what is off view may be freed word by word, and words whose
        column is gone already would stop the app with the screen's next change."""
        for widget in self.walk(restrict=True):
            Builder.unbind_widget(widget.uid)


class TroubleWords(Words):
    """What keeps the cue from being heard or the answer from being kept; above all else."""

    screen = ObjectProperty(None, rebind=True)  # its words are watched from the start on


class WaitingWords(Part):
    """A sign of life, where the next question is late."""


class NewWords(Part):
    """A new skill is heard and read before it is asked."""


class AskedWords(Words):
    """The question once more, above the verdict: what it was is said of something."""

    screen = ObjectProperty(None, rebind=True)


class AskingWords(Part):
    """The question, and the first times how it is answered; why it is asked would give part of the
    answer away."""


class PhraseAskingWords(Part):
    """A question whose answer is made on a pad that takes much room: it is set as large as leaves
    it on view as a whole."""


class AnsweredWords(Part):
    """Right or not; what was and what was heard, both to be heard again; why; and why asked."""


class WrittenWords(Part):
    """The same for a written answer: both lines, place by place, instead of their names.

    They may be long, so why comes before them.
    """


class PhraseWords(Part):
    """The same for a phrase: both lines place by place, or what is found of one that was made."""


class KeepPlate(Plate):
    """Keeps the phrase that was made, once."""

    screen = ObjectProperty(None, rebind=True)

    def on_release(self) -> None:
        self.screen.keep()


class PutWords(Part):
    """The same for an order: both orders, place by place, then why, which may be long."""


class SharedWords(Part):
    """The same for what was shared out: both bars, with what each thing has."""


class Reason(Column):
    """Why, a sentence or more; each line of it stands by itself."""

    text = StringProperty("")

    def on_text(self, *_: Any) -> None:
        self.clear_widgets()
        for line in self.text.splitlines():
            self.add_widget(Words(text=line))


class VerdictWords(BoxLayout):
    """Right, partly right or heard otherwise, with the shape that says the same."""

    screen = ObjectProperty(None, rebind=True)


class ChoiceGrid(GridLayout):
    """The names to choose from, in two columns where they are many and short."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(cols=1, **kwargs)
        self.bind(width=self._fit, children=self._fit)
        look.bind(scale=self._fit)

    def _fit(self, *_: Any) -> None:
        self.cols = 2 if self._has_room_for_two() else 1
        for plate in self.children:
            plate.brief = self.cols == 2

    def _has_room_for_two(self) -> bool:
        if len(self.children) < MANY:
            return False
        broad = max(text_px(plate.label, theme.SANS, theme.BODY) for plate in self.children)
        beside = dp(NUMBER) * look.scale + dp(MARK) * look.room + dp(AIR)
        return bool(self.width - self.padding[2] - self.spacing[0] >= 2 * (broad + beside))


class ListenPlate(HearPlate):
    """Plays the cue of what is asked: no answer, so it is no plate of wood as answers are."""

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        fill, edge, ink = super().paint()
        return (theme.CLEAR if fill == theme.RAISED else fill), edge, ink


class NewActions(Part):
    """Hear it again, or be asked."""


class AskingActions(Part):
    """Listen again."""


class SeveralActions(Part):
    """Listen again, or send what is chosen."""


class AnsweredActions(Part):
    """Keep what was made, listen again, or go on."""

    onward_words = StringProperty("")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"onward_words": say("Next"), **kwargs})

    def on_kv_post(self, base_widget: Any) -> None:
        """Only what was made can be kept."""
        super().on_kv_post(base_widget)
        if not self.screen.can_keep:
            self.remove_widget(self.ids.keep)

    def go_on(self) -> None:
        """To what comes now."""
        self.screen.next()


class Pair(GridLayout):
    """What was and what was heard: side by side, as high as each other, or one above the other."""

    screen = ObjectProperty(None)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.bind(width=self._fit)
        look.bind(scale=self._fit)

    def on_screen(self, *_: Any) -> None:
        """Fill in the answer that the screen has just been told."""
        screen = self.screen
        written = (
            screen.answers_on in TOLD
        )  # the lines themselves stand above: here they only sound
        if written and not screen.right_plays:
            return
        was = AnswerPlate(
            kind="right" if screen.verdict_mark == "right" else "was",
            word="" if written else say(WAS_HEAD),
            label=_was_words(screen) if written else screen.right_label,
            disabled=not screen.right_plays,
        )
        was.bind(on_release=lambda _: screen.hear_right())
        self.add_widget(was)
        if screen.given_label and (screen.given_plays or not written):
            own = screen.answers_on == "sargam"  # what is played is simply that
            played = say("Hear: {what}", what=screen.given_played)
            played = played if screen.given_played and not own else ""
            heard = AnswerPlate(
                kind="otherwise",
                word="" if written else you_did(screen.verb),
                label=(played or hear_own(screen.verb)) if written else screen.given_label,
                played="" if written else played,
                disabled=not screen.given_plays,
            )
            heard.bind(on_release=lambda _: screen.hear_given())
            self.add_widget(heard)
        for plate in self.children:
            plate.bind(wished=self._fit)
        self._fit()

    def _fit(self, *_: Any) -> None:
        count = max(1, len(self.children))
        least = count * dp(LEAST_BESIDE) * look.scale
        narrow = self.width < least or (count > 1 and self._crowded())
        self.cols = 1 if narrow else count
        wished = [plate.wished for plate in self.children]
        for plate in self.children:
            plate.size_hint_y = None
            plate.height = plate.wished if narrow else max(wished)
        self.height = (
            sum(wished) + (count - 1) * self.spacing[1] if narrow else max(wished, default=0)
        )

    def _crowded(self) -> bool:
        """Whether a name would be broken into more lines than read well, side by side."""
        names = [
            text_px(text, theme.SANS, size)
            for plate in self.children
            for text, size in ((plate.label, theme.BODY), (plate.played, theme.SMALL))
        ]
        room = self.width / len(self.children) - dp(MARK) * look.room - dp(AIR)
        return max(names) > MOST_LINES * room


def _was_words(screen: Any) -> str:
    """What the plate says that plays the right answer, where that is told elsewhere."""
    if screen.verb != "made":
        return say(HEAR_WAS)
    return hear_own("made") if screen.verdict_mark == "right" else say(HEAR_ONE)


class HearRow(GridLayout):
    """Listen again, and where it helps what it was slowly: beside each other where both fit."""

    screen = ObjectProperty(None)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(cols=1, **kwargs)
        self.bind(width=self._fit)
        look.bind(scale=self._fit)

    def on_screen(self, *_: Any) -> None:
        """Fill in what can be heard."""
        screen = self.screen
        plays = [(say("Listen again"), "", screen.listen)] if screen.heard else []
        if screen.slower:
            plays.append((say("Slower"), SLOWER_KEY.upper(), screen.hear_slowly))
        for text, sign, play in plays:
            plate = HearPlate(text=text, sign=sign)
            plate.bind(on_release=lambda _, play=play: play())
            self.add_widget(plate)
        self._fit()

    def _fit(self, *_: Any) -> None:
        count = max(1, len(self.children))
        broad = max((text_px(p.text, theme.SANS, theme.BODY) for p in self.children), default=0)
        room = (self.width - (count - 1) * self.spacing[0]) / count
        sign = dp(theme.GAP) + dp(NUMBER) * look.scale
        self.cols = count if broad + sign + dp(HEAR_AIR) <= room else 1


TOLD = {"written": WrittenWords, "sargam": PhraseWords, "order": PutWords, "shares": SharedWords}
"""The words after the answer, where they are not the usual ones."""
ASKING = {
    "several": (AskingWords, SeveralActions),
    "sargam": (PhraseAskingWords, AskingActions),
}
"""Words and actions while asking, where they are not the usual ones."""

PARTS = {
    (stage, way): parts
    for way in WAYS
    for stage, parts in {
        "waiting": (WaitingWords, None),
        "new": (NewWords, NewActions),
        "asking": ASKING.get(way, (AskingWords, AskingActions)),
        "answered": (TOLD.get(way, AnsweredWords), AnsweredActions),
    }.items()
}
"""The column of words and the column of actions, by stage and way to answer."""

load_kv("drill_parts")

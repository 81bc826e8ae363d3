"""The answer pad for phrases: what is made, as notation, and keys that make it; a string beside it.

A swara is touched on the string, where sliding on makes a meend, or on a key, or written by the
keyboard in the signs of sargam. All other keys change the swara that is chosen, which is the last
one until another is touched. The phrase goes out only when it is sent.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import (
    BooleanProperty,
    NumericProperty,
    ObjectProperty,
    OptionProperty,
    StringProperty,
)
from kivy.uix.boxlayout import BoxLayout

from audio.tuning import Swara, load_tuning
from quizzes.names import capital, counted
from quizzes.question import Question
from screens import theme
from screens.following import Following
from screens.key_words import BACKSPACE, LEFT_RIGHT, Said, letter_keys
from screens.look import load_kv, look
from screens.phrase import FURTHEST_SAPTAK, Phrase, meend_span
from screens.phrase_fitting import all_px, fit, least_px
from screens.phrase_keys import (
    GROUPS,
    WAITS,
    Key,
    groups_of,
    keys_of,
    taking,
    varied_by,
    waiting_words,
    why_not,
    without,
)
from screens.phrase_string import PhraseString
from screens.phrase_typing import HEAR, Typing
from screens.sargam_pad import SignPlate
from screens.widgets import ChosenPlate, Words
from words import say, to_say

TO_CHANGE = to_say("Touch a swara of the phrase, then change it.")
"""Of a phrase that is told whole, while it is as it was told."""
POLL_S = 1 / 20
"""So often it is looked which swara sounds."""


class PadWords(Words):
    """What is said below the notation; a line of it is always kept free."""

    line_px = NumericProperty(0.0)


class PhrasePad(BoxLayout):
    """Makes `phrase`. `on_answer` is sent with its line, and `on_hear` with a line that is to be
    heard, and whether that was asked for or is what was just touched."""

    __events__ = ("on_answer", "on_hear")

    phrase = ObjectProperty(Phrase())
    live = BooleanProperty(True)
    """False while nothing can be made."""
    group = OptionProperty("swaras", options=tuple(GROUPS))
    """Which keys are on view."""
    waiting = OptionProperty("", options=("", *WAITS))
    """The key that waits for a swara."""
    told = StringProperty("")
    """What there is to say about what was just done."""
    said = StringProperty("")
    """That, or else how far the phrase has come."""
    shape = ObjectProperty(())
    """What its height is worked out from: a change asks for another `fit`."""
    brief = BooleanProperty(False)
    edge_px = NumericProperty(0.0)
    """Room all round its things, for the ring that shows where the keys stand."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.question: Question | None = None
        self._begins = self._cleared = Phrase()
        self._varied_by = ""
        """The keys that alone are wanted, where the swaras told are to stay as they are."""
        self._changes: list[Phrase] = []
        """Then, what the phrase was before each change."""
        self._before: Phrase | None = None
        """The phrase before the finger that is on the string."""
        self._typing = Typing()
        self.string: PhraseString | None = None
        self._look_where = Clock.create_trigger(self._where, POLL_S, interval=True)
        self._show_chosen = Clock.create_trigger(lambda _: self._roll_to_chosen(), -1)
        for name in ("phrase", "live", "waiting", "told"):
            self.fbind(name, self._refresh)
        self.fbind("group", self._fill)

    def on_kv_post(self, base_widget: Any) -> None:
        """Its parts are there: within another rule they are made after this widget itself."""
        look.bind(left_handed=self.set_tools)
        self.ids.words.bind(height=self._reshape)
        self.set_tools()

    def _reshape(self, *_: Any) -> None:
        ids = self.ids
        self.shape = ids.strip.rows, ids.words.height, len(ids.tabs.children), self.group

    def play_on(self, string: PhraseString) -> None:
        """Take what is played on this string."""
        self.string = string
        string.bind(on_path=lambda _, path, lifted: self.take_path(path, lifted=lifted))

    # What is asked.

    def ask(self, question: Question) -> None:
        """Offer the swaras and the signs of a question; it begins with what is told."""
        self.question = question
        self._typing = Typing(question)
        groups = groups_of(question.signs)
        if varied_by(question):
            groups = groups[1:]  # its swaras are to stay
        tabs = self.ids.tabs
        tabs.clear_widgets()
        for group in groups if len(groups) > 1 else ():
            plate = ChosenPlate(
                text=say(GROUPS[group]), padding=(dp(6), dp(8)), type_sp=theme.SMALL + 1
            )
            plate.group, plate.size_hint_y = group, 1
            plate.bind(on_release=lambda plate: setattr(self, "group", plate.group))
            tabs.add_widget(plate)
        if self.string is not None:
            self.string.tuning = load_tuning(question.setting.tuning)
            octaves = range(-FURTHEST_SAPTAK, FURTHEST_SAPTAK + 1)
            letters = [choice.id for choice in question.choices]
            self.string.offer(letters, octaves if "saptaks" in question.signs else (0,))
            self.string.slides = "hands" in question.signs
        self._begins, self._cleared = Phrase.read(question.told), Phrase()
        self._varied_by, self._changes = varied_by(question), []
        self.waiting, self._before, self.told = "", None, ""
        self.phrase = self._begins.choosing(0) if self._is_told_whole else self._begins
        self.group = self._varied_by or groups[0]
        self._fill()
        self.ids.keys_roll.scroll_y = 1.0

    @property
    def left(self) -> int:
        """How many more swaras there is room for."""
        if self.question is None or self._varied_by:
            return 0
        return self.question.places - self.phrase.count

    @property
    def on_string(self) -> bool:
        """Whether swaras can be put in at all, as on a string."""
        return not self._varied_by

    @property
    def enough(self) -> bool:
        """Whether the phrase could be sent."""
        if self.question is None or (self._is_told_whole and self._is_as_told):
            return False
        return self.phrase.count >= self.question.fewest

    @property
    def _is_told_whole(self) -> bool:
        """Whether what is told is long enough, so that it is to be changed."""
        begins = self._begins.count
        return self.question is not None and begins > 0 and begins >= self.question.fewest

    @property
    def _is_as_told(self) -> bool:
        return bool(self.phrase.items == self._begins.items)

    @property
    def _brings_back(self) -> bool:
        return bool(self._cleared.items) and self._is_as_told

    # Hearing.

    def follow(self, following: Following, matra_s: float) -> None:
        """Show which swara sounds while the whole phrase is played, a matra in so many seconds."""
        self._followed = following, matra_s, self.phrase
        self._look_where()

    def _where(self, *_: Any) -> bool:
        """For the clock: whether it still sounds."""
        following, matra_s, phrase = self._followed
        at_s = following.at_s()
        self.ids.strip.sounding = -1
        if at_s is None or phrase.items != self.phrase.items:
            return False
        self.ids.strip.sounding = phrase.at_matra(at_s / matra_s)
        return True

    # Making.

    def take_path(self, path: tuple[Swara, ...], *, lifted: bool) -> None:
        """A finger on the string has played these swaras since it came."""
        if not self.live:
            return
        if self.waiting:
            if lifted:
                self._take_waited(path[-1])
            return
        if self._before is None:
            self._before, self.told = self.phrase, ""
            self.dispatch("on_hear", str(path[0]), False)
        before = self._before
        self.phrase = before.sliding(path)
        if lifted:
            self._before = None
            self._refresh()  # there is room for fewer from here on
            if len(path) > 1:
                self.dispatch("on_hear", Phrase().sliding(path).text, False)
            if self.string is not None and self.string.too_far:
                semitones = counted(meend_span(), "{number} semitone", "{number} semitones")
                self.told = say(
                    "A meend goes {semitones} at most: touch the next swara anew.",
                    semitones=semitones,
                )

    def add(
        self,
        swara: Swara,
        by: str = "",
        *,
        touches: Sequence[Swara] = (),
        shaken: Swara | None = None,
    ) -> None:
        """Put a swara after the one that is chosen, where there is room: reached by a way of
        JOINED, after others that are touched, or hammered with another."""
        if not self.live:
            return
        if self.waiting:
            self._take_waited(swara)
        elif self.left <= 0:
            self.told = ""  # that there is none is said already
        else:
            phrase = self.phrase.adding(swara, by)
            phrase = phrase.touching(*touches) if touches else phrase
            self._set(phrase if shaken is None else phrase.shaken_with(shaken))
            self._hear_chosen()

    def _take_waited(self, swara: Swara) -> None:
        """The swara that a key waited for has come."""
        key, before = self.waiting, self.phrase
        self._set(taking(key, self.phrase, swara))
        self.told = say("That one cannot be.") if self.phrase == before else ""
        self._hear_chosen()

    def strike(self, key: Key) -> None:
        """A key of the pad was touched."""
        if not self.live:
            return
        if key.id in WAITS:
            self._wait(key)
        elif key.change is None:
            self.add(Swara.read(key.id))
        else:
            changed = key.change(self.phrase)
            said = why_not(key, self.phrase) if changed == self.phrase else ""
            self._set(changed)
            self.told = said
            if not said:
                self._hear_chosen()

    def _wait(self, key: Key) -> None:
        """Wait for a swara that goes with the one chosen; again, take away what is there."""
        tone = self.phrase.tone
        if tone is None:
            self.told = why_not(key, self.phrase)
        elif self.waiting == key.id or (key.id == "zamzama" and tone.shaken is not None):
            self._set(without(key.id, self.phrase))
        else:
            self.waiting = key.id
            self.told = waiting_words(key.id, tone.swara)

    def choose(self, at: int) -> None:
        """Choose a swara that is there."""
        if self.live:
            self._set(self.phrase.choosing(at), anew=False)

    def take_back(self) -> None:
        """Take away what is chosen, or bring back what was just cleared; where no swara may be
        missing, undo the last change."""
        if not self.live:
            return
        if self._brings_back:
            self._set(self._cleared)
        elif not self._varied_by:
            self._set(self.phrase.without())
        elif self._changes:
            before = self._changes[:-1]
            self._set(self._changes[-1])
            self._changes = before
            self._refresh()

    def clear(self) -> None:
        """Begin anew."""
        if self.live and not self._is_as_told:
            before = self.phrase
            self._set(self._begins.choosing(0) if self._is_told_whole else self._begins)
            self._cleared, self._changes = before, []
            self._refresh()

    def _set(self, phrase: Phrase, *, anew: bool = True) -> None:
        """Show another phrase; what was waited for is given up."""
        self.waiting, self.told = "", ""
        if anew and phrase != self.phrase:
            self._cleared = Phrase()
            self._changes = [*self._changes, self.phrase]
        self.phrase = phrase

    def hear(self) -> None:
        """Play the whole phrase."""
        if self.live and self.phrase.count:
            self.dispatch("on_hear", self.phrase.text, True)

    def _hear_chosen(self) -> None:
        """Play the swara that is chosen, with what leads to it."""
        if self.phrase.tone is not None:
            self.dispatch("on_hear", self.phrase.chain, False)

    def answer(self) -> None:
        """Send the phrase, once it is long enough."""
        if self.live and self.enough:
            self.dispatch("on_answer", self.phrase.text)

    def on_answer(self, line: str) -> None:
        """The student answered with `line`."""

    def on_hear(self, line: str, whole: bool) -> None:
        """A line is to be heard."""

    def take_key(self, name: str) -> bool:
        """A key of the keyboard: True if it was used."""
        return self.live and bool(self._typing.take(self, name))

    def key_words(self) -> tuple[Said, ...]:
        """The keys that write on it."""
        signs = self.question.signs if self.question is not None else ()
        return (
            *letter_keys("saptaks" in signs),
            (BACKSPACE, say("Take back")),
            (say(LEFT_RIGHT), say("From swara to swara of the phrase")),
            (HEAR.upper(), say("Hear the phrase")),
        )

    # Showing.

    def _fill(self, *_: Any) -> None:
        """The keys of the group on view."""
        if self.question is None:
            return
        keys = self.ids.grid
        keys.clear_widgets()
        for key in keys_of(self.group, self.question.choices, self.question.signs):
            plate = SignPlate(
                sign=key.sign, about=key.about or " ", brief=self.brief, can_focus=True
            )
            plate.key = key
            plate.bind(on_release=lambda plate: self.strike(plate.key))
            keys.add_widget(plate)
        for plate in self.ids.tabs.children:
            plate.chosen = plate.group == self.group
        self._refresh()

    def _refresh(self, *_: Any) -> None:
        if self.question is None:
            return
        self.said = self._words
        self._reshape()
        if self.string is not None:
            self.string.room = 1 if self.waiting else self.left_of_finger
        for plate in self.ids.grid.children:
            plate.chosen = plate.key.id == self.waiting or plate.key.holds(self.phrase)
            plate.disabled = not self.live
            plate.can_focus = self.live
        self.ids.back.text = say("Bring back") if self._brings_back else say("Take back")
        states = {
            "back": bool(self._changes if self._varied_by else self.phrase.items)
            or self._brings_back,
            "empty": not self._is_as_told,
            "hear": self.phrase.count > 0,
            "answer": self.enough,
        }
        for name, can in states.items():
            self.ids[name].disabled = not (self.live and can)
            self.ids[name].can_focus = self.live
        self._show_chosen()

    @property
    def left_of_finger(self) -> int:
        """How many swaras the finger on the string, or the next one, may play."""
        if self._before is None or self.question is None:
            return self.left
        return self.question.places - self._before.count

    @property
    def _words(self) -> str:
        question = self.question
        if self.told or question is None:
            return self.told
        if self._is_told_whole and self._is_as_told:
            return say(TO_CHANGE)
        if not self.phrase.count:
            slides = "hands" in question.signs
            return say("Touch the string, or slide.") if slides else say("Touch the string.")
        here = capital(counted(self.phrase.count, "{number} swara", "{number} swaras"))
        if self.left or self._varied_by:
            return say("{text}.", text=here)
        return say("{swaras}: there is no room for more.", swaras=here)

    def _roll_to_chosen(self) -> None:
        """Where not all rows are in sight, bring the one with what is chosen there."""
        roll, strip = self.ids.roll, self.ids.strip
        hidden = strip.height - roll.height
        if hidden > 1 and strip.boxes and self.phrase.at >= 0:
            row = strip.boxes[min(self.phrase.at, len(strip.boxes) - 1)][2]
            above = max(0.0, (row + 1) * strip.row_px - roll.height)
            roll.scroll_y = 1.0 - min(1.0, above / hidden)
        else:
            roll.scroll_y = 1.0

    # Fitting.

    def least_px(self, width: float) -> float:
        """How high it should be in this width: two rows of notation, and two of keys, on view."""
        return least_px(self, width)

    def set_brief(self, brief: bool) -> None:
        """Leave out, or say again, what each key stands for: without that keys are less high."""
        self.brief = brief
        for plate in self.ids.grid.children:
            plate.brief = brief
            plate.ids.about.texture_update()

    def all_px(self, width: float) -> float:
        """How high it would be in this width with all its keys on view."""
        return all_px(self, width)

    def fit(self, width: float, room: float) -> None:
        """Lay everything out in this width, in as much of the height `room` as it can use. The
        edge comes on top, on either side."""
        if self.question is not None:
            fit(self, width, room)
            self._show_chosen()

    def set_tools(self, *_: Any) -> None:
        """Answer lies under the hand that writes."""
        tools, cols = self.ids.tools, self.ids.tools.cols
        inner = [self.ids[name].__self__ for name in ("back", "empty", "hear", "answer")]
        if look.left_handed:
            rows = [inner[at : at + cols][::-1] for at in range(0, len(inner), cols)]
            inner = [tool for row in rows for tool in row]
        if tools.children[::-1] != inner:
            tools.clear_widgets()
            for tool in inner:
                tools.add_widget(tool)


load_kv("phrase_pad")

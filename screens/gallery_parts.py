"""What the gallery shows: each widget at rest, touched, focused, disabled, right and otherwise."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date, timedelta
from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import NumericProperty, StringProperty
from kivy.uix.gridlayout import GridLayout
from kivy.uix.widget import Widget

from audio.tuning import Swara
from practice.progress import DayDone
from quizzes.catalogue import kind_of, make_question
from quizzes.explanation import Explanation
from quizzes.names import swara_name
from quizzes.question import Question, Setting
from screens import theme
from screens.contour import Contour
from screens.controls import Field, Lines, OptionRow, Slide, Stepper
from screens.day_bars import DayBars
from screens.grid import evenly, fitting
from screens.look import look
from screens.ordering import OrderList
from screens.phrase import Phrase
from screens.phrase_strip import PhraseStrip
from screens.said import CrossPlate, Empty, Sheet, Toast
from screens.sharing import SharesPad
from screens.string import StringPad
from screens.tapping import TappingPad
from screens.tracing import drawing_of
from screens.wheel import WheelPad
from screens.widgets import (
    AnswerPlate,
    BrassPlate,
    ChoicePlate,
    ChosenPlate,
    Column,
    HearPlate,
    Mark,
    Panel,
    Plate,
    QuietPlate,
    TimeLine,
    Words,
)
from screens.writing import WritingPad
from words import say

SEED = 3
STRING = ("S", "R", "G", "m", "P", "D", "N", "S'")


SETTLES = 4
"""A pad asks its parts how high they are, which know it some frames after they know their width."""


class Group(Column):
    """Widgets of one sort under its title."""

    title = StringProperty("")


class Shown(Column):
    """One widget under the name of its state."""

    state_words = StringProperty("")


class States(GridLayout):
    """The states of one widget side by side, as many as have room."""

    most = NumericProperty(4)
    least = NumericProperty(200)
    """How broad each is at least, in dp at the usual size of type."""

    def columns(self, width: float, count: int, scale: float) -> int:
        """Side by side, in rows as even as can be; the kv file passes what it is to watch."""
        broad = fitting(width, dp(self.least) * scale, self.spacing[0])
        return evenly(count, min(int(self.most), broad))


class Fitted(Column):
    """A pad that fits itself to a width, in a room of so many dp."""

    def __init__(self, pad: Any, room: float, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._pad, self._room = pad, room
        self._next = Clock.create_trigger(self._fit, 0)
        self._settling = 0
        pad.size_hint = None, None
        self.add_widget(pad)
        self.fbind("width", self._changed)
        look.bind(scale=self._changed)

    def _changed(self, *_: Any) -> None:
        self._settling = SETTLES
        self._next()

    def _fit(self, *_: Any) -> None:
        self._pad.width = self.width
        self._pad.fit(self.width - dp(theme.THIN), dp(self._room) * look.scale)
        self._settling -= 1
        if self._settling > 0:
            self._next()


def touched(thing: Any) -> Any:
    """As while a finger is on it."""
    thing.state = "down"
    return thing


def ringed(thing: Any) -> Any:
    """As while the keys stand on it, which here is shown without them."""
    thing.ring = theme.FOCUS
    return thing


def states(
    of: Iterable[tuple[str, Widget]], *, most: int = 4, least: float = 200
) -> tuple[Widget, ...]:
    """Side by side, each under the name of its state."""
    grid = States(most=most, least=least)
    for words, thing in of:
        shown = Shown(state_words=words)
        shown.add_widget(thing)
        grid.add_widget(shown)
    return (grid,)


def four(make: Callable[..., Any], **kwargs: Any) -> tuple[tuple[str, Any], ...]:
    """The states of all that can be touched."""
    return (
        ("at rest", make(**kwargs)),
        ("touched", touched(make(**kwargs))),
        ("focused", ringed(make(**kwargs))),
        ("disabled", make(disabled=True, **kwargs)),
    )


def _asked(skill: str) -> Question:
    """A question of the course, as it is made for a student whose Sa is C sharp."""
    met = tuple(f"swara:{swara}" for swara in STRING)
    setting = Setting(sa_hz=138.59, met=met, names="swara", tuning="just")
    return make_question(skill, seed=SEED, setting=setting)


def _told(question: Question, given: str) -> Explanation:
    return kind_of(question.skill).explain(question, given)


def _words() -> tuple[Widget, ...]:
    line = say("Which gap is this?")
    roles = (Words(text=line, role=role) for role in ("display", "title", "lead", "body", "small"))
    tones = ("ink", "soft", "faint", "brass", "was", "otherwise")
    panel = Panel()
    for tone in tones:
        panel.add_widget(Words(text=line, tone=tone))
    return (*roles, *(Words(text=line, tone=tone) for tone in tones), panel)


def _plates() -> tuple[Widget, ...]:
    made: list[Widget] = []
    for make, words in (
        (BrassPlate, say("Begin")),
        (Plate, say("Back")),
        (QuietPlate, say("Leave")),
        (HearPlate, say("Listen again")),
    ):
        made += states(four(make, text=words))
    return (*made, *states(four(CrossPlate)))


def _choices() -> tuple[Widget, ...]:
    label = swara_name(Swara.read("g"))
    heard = say("heard")

    def choice(**kwargs: Any) -> ChoicePlate:
        return ChoicePlate(key="1", label=label, given_word=heard, **kwargs)

    marked = ((mark, choice(mark=mark)) for mark in ("was", "right", "otherwise", "aside"))
    ticked = ((f"one of several, {tick}", choice(tick=tick)) for tick in ("open", "chosen"))
    answers = []
    was, given = say("It was"), say("You heard")
    for kind, word in (("was", was), ("right", was), ("otherwise", given)):
        plate = AnswerPlate(kind=kind, word=word, label=label, size_hint_y=None)
        plate.bind(wished=plate.setter("height"))
        plate.height = plate.wished
        answers.append((kind, plate))
    named = (*four(choice), *marked, *ticked)
    return (*states(named, least=280), *states(answers, most=3, least=240))


def _marks() -> tuple[Widget, ...]:
    kinds = ("was", "right", "partly", "otherwise", "open", "chosen")
    side = {"size_hint": (None, None), "size": (dp(theme.SIGN), dp(theme.SIGN))}
    return states([(kind, Mark(kind=kind, **side)) for kind in kinds], most=6, least=110)


def _controls() -> tuple[Widget, ...]:
    options = [("a", say("Begin")), ("b", say("Back")), ("c", say("Leave"))]
    return (
        *states(
            (
                ("one of several", OptionRow(options=options, value="a")),
                ("one not to be had", OptionRow(options=options, value="b", closed=["c"])),
            ),
            most=1,
        ),
        *states(four(ChosenPlate, text=say("Begin"), chosen=True)),
        *states(
            (
                ("more or less", Stepper(unit="min")),
                ("at its end", Stepper(value=30, unit="min")),
                ("a slide", Slide(value=0.4)),
                ("disabled", Slide(value=0.4, disabled=True)),
                ("a field", Field(hint_text=say("Name"))),
                ("written in", Field(text=say("Begin"))),
                ("disabled", Field(text=say("Begin"), disabled=True)),
                ("several lines", Lines(text=say("Which gap is this?"))),
            ),
            most=2,
            least=280,
        ),
    )


def _lists() -> tuple[Widget, ...]:
    sheet = Sheet(
        title=say("Remove {name}?", name="First gaps"),
        about=say("What was answered stays in the log."),
        ways=((say("Remove it"), _nothing), (say("Keep it"), _nothing)),
        on_close=_nothing,
        size_hint_y=None,
        height=dp(340) * look.scale,
    )
    return states(
        (
            (
                "said in passing",
                Toast(text=say("{name} was removed.", name="First gaps"), way=say("Undo")),
            ),
            ("asked before it is done", sheet),
            ("where a list is empty", Empty(text=say("There is no deck yet."))),
            ("time, most of it left", TimeLine(part=0.8)),
            ("time, little of it left", TimeLine(part=0.2)),
        ),
        most=1,
    )


def _nothing() -> None:
    """The gallery has nothing that could be done."""


def _phrases() -> tuple[Widget, ...]:
    def strip(**shown: Any) -> PhraseStrip:
        made = PhraseStrip(size_hint_y=None, phrase=Phrase.read("S (R)G:2 m~ P/ D"), **shown)
        made.bind(width=made.setter("room_px"))
        return made

    told = {"told": True, "live": False, "can_focus": False}
    named = (
        ("being made", strip()),
        ("told", strip(**told)),
        ("its third sounds", strip(sounding=2, **told)),
    )
    return states(named, most=1)


def _bars() -> tuple[Widget, ...]:
    bars, first = DayBars(size_hint_y=None, height=dp(220)), date(2027, 1, 1)
    counts = ((12, 40, 31), (0, 0, 0), (15, 52, 44), (8, 21, 20), (20, 70, 49), (14, 45, 40))
    bars.show(
        tuple(
            DayDone(first + timedelta(days=n), asked=a, right=r, shown=0, minutes=float(m))
            for n, (m, a, r) in enumerate(counts)
        )
    )
    return (bars,)


def _strings() -> tuple[Widget, ...]:
    def pad(**shown: str) -> StringPad:
        made = StringPad(size_hint_y=None, height=dp(170) * look.scale)
        made.ask(STRING)
        for name, swara in shown.items():
            setattr(made, name, swara)
        made.live = "was" not in shown
        return made

    return states(
        (
            ("asked on", pad()),
            ("pressed", pad(pressed="G")),
            ("heard otherwise", pad(was="G", heard="m")),
            ("right", pad(was="P")),
        ),
        most=1,
    )


def _wheels() -> tuple[Widget, ...]:
    question = _asked("sam:mark:tintal")
    asked, chosen, told = WheelPad(), WheelPad(), WheelPad()
    for pad in (asked, chosen):
        pad.ask(question)
        pad.live = True
    chosen.ids.face.chosen = 5
    wrong = "2" if question.right[0] != "2" else "3"
    told.tell(question, wrong, _told(question, wrong))
    named = (("asked on", asked), ("one chosen", chosen), ("heard otherwise", told))
    return states([(words, Fitted(pad, 420)) for words, pad in named], most=3, least=300)


def _contours() -> tuple[Widget, ...]:
    question = _asked("raga-from-phrase:note:yaman")
    explanation = _told(question, question.right[0])
    contour = Contour(size_hint_y=None, height=dp(200))
    contour.bind(least=lambda contour, least: setattr(contour, "height", least))
    contour.drawing = drawing_of(explanation.right_cue, explanation.drawn)
    return (contour,)


def _orders() -> tuple[Widget, ...]:
    question = _asked("order:performance:6")
    rest, lifted, off = OrderList(), OrderList(), OrderList()
    for pad in (rest, lifted, off):
        pad.ask(question)
    lifted.lift(lifted.line[1])
    off.live = False
    named = (("at rest", rest), ("one lifted", lifted), ("not to be moved", off))
    return states([(words, Fitted(pad, 520)) for words, pad in named], most=3, least=260)


def _shares() -> tuple[Widget, ...]:
    pad = SharesPad()
    pad.ask(_asked("layout:60:medium"))
    return (Fitted(pad, 560),)


def _writing() -> tuple[Widget, ...]:
    pad = WritingPad()
    question = _asked("strokes:write:dir:8")
    pad.ask(question)
    for choice in question.choices[:3]:
        pad.write(choice.id)
    return (Fitted(pad, 460),)


def _taps() -> tuple[Widget, ...]:
    pad = TappingPad()
    pad.ask(_asked("tap:tali:tintal"))
    return (Fitted(pad, 260),)


GROUPS: tuple[tuple[str, Callable[[], tuple[Widget, ...]]], ...] = (
    ("Words", _words),
    ("Buttons", _plates),
    ("Choices and answers", _choices),
    ("Marks", _marks),
    ("Settings", _controls),
    ("Sheet, toast, empty, and time", _lists),
    ("String", _strings),
    ("Wheel", _wheels),
    ("Contour", _contours),
    ("Phrase", _phrases),
    ("Order", _orders),
    ("Shares", _shares),
    ("Writing", _writing),
    ("Tapping", _taps),
    ("Bars", _bars),
)
"""For developers: titles and the names of states stay English."""

"""On the instrument: the palta of the day, its theka to play to, and a word on how it went.

All that is not to be seen lives in `practice.exercise`; the screen asks it what to show, again and
again while it is on view.
"""

from __future__ import annotations

from collections.abc import Callable
from math import ceil
from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, OptionProperty, StringProperty
from kivy.uix.widget import Widget

from practice import Practice
from practice.exercise import Exercise
from practice.ladder import HANDS, REST
from practice.palta_written import begin_words, groups_of
from practice.varied import Varied
from quizzes.names import capital, counted
from quizzes.wheel import Wheel
from screens import theme
from screens.key_words import Said
from screens.keys import KaanScreen, focus_on
from screens.look import load_kv, look
from screens.palta_rows import GroupRow as GroupRow
from screens.widgets import BrassPlate, Plate
from words import say, to_say

LOOKED_EVERY_S = 1 / 30
BROAD = 1120
"""The widest that words and plates grow side by side, in dp at the usual size of type."""
MOST_BROAD = 0.88
"""So much of a larger window they take: a palta is read from the sitar, a metre away."""
GROUP_SIZES = (64, 52, 44, theme.DISPLAY, theme.TITLE)
"""Of the type of groups, the largest that fits first, in sp."""
TALL_PART = 1.4
"""Lines of Devanagari and Bengali are so much higher than those of Latin letters at most."""
WHO_DECIDES = to_say("Where pain stays, your teacher or a doctor decides, not Kaan.")
KEYS_TOLD = to_say("On the keyboard: C for clean, A for again, S for slower.")
READ = to_say("A line below marks a matra; - holds.")
STROKES = to_say("Strokes da and ra in turn.")
SAID_BY = {"c": "clean", "a": "again", "s": "slower"}
"""What a key says of playing."""
MAIN = {
    "ready": to_say("Start"),
    "playing": to_say("Stop"),
    "resting": to_say("Play on all the same"),
}
"""What the first plate does, by stage; in all others it is as in the first."""


class MainPlate(BrassPlate):
    """A plate of which two taps at once are one; `quiet` where it does not lead on, but ends, goes
    against advice, or gives something else."""

    quiet = BooleanProperty(False)

    def on_quiet(self, *_: Any) -> None:
        self._repaint()

    def paint(self) -> tuple[theme.Colour, theme.Colour, theme.Colour]:
        return Plate.paint(self) if self.quiet else super().paint()


class InstrumentScreen(KaanScreen):
    """`on_close` is called to go back to the first screen."""

    stage = OptionProperty("nothing", options=("nothing", "ready", "heard", "playing", "resting"))
    name_words = StringProperty("")
    told = StringProperty("")
    trouble = StringProperty("")
    tempo = StringProperty("")
    next_tempo = StringProperty("")
    """What the tempo will be, where it is about to change."""
    rhythm = StringProperty("")
    """Tala and layout."""
    how_to_read = StringProperty("")
    """What the lines under the notation are, and where in its tala it begins."""
    heard = BooleanProperty(False)
    """Whether the palta is being played, once."""
    today = StringProperty("")
    """How long the instrument was played today."""
    rest = StringProperty("")
    """For how long the hands are to rest, while they are to."""
    caution = StringProperty("")
    main_words = StringProperty("")
    can_say = BooleanProperty(False)
    keys_told = StringProperty("")
    wheel_px = NumericProperty(100.0)

    def __init__(self, practice: Practice, *, on_close: Callable[[], None], **kwargs: Any) -> None:
        self.practice, self.on_close = practice, on_close
        self.exercise: Exercise = practice.exercise()
        self._shown: Varied | None = None
        self._minding: Any = None
        super().__init__(**kwargs)
        self.caution, self.main_words = f"{say(HANDS)} {say(WHO_DECIDES)}", say(MAIN["ready"])
        self._arrange = Clock.create_trigger(self._place, -1)
        self.bind(size=self._changed)
        look.bind(scale=self._changed, left_handed=self._changed, by_keys=self._changed)
        for name in ("foot", "words"):
            self.ids[name].bind(height=self._changed)

    def _changed(self, *_: Any) -> None:
        self.keys_told = say(KEYS_TOLD) if look.by_keys else ""
        self._arrange()

    def on_pre_enter(self, *_: Any) -> None:
        """Today's palta; from now on what goes on is shown."""
        self.exercise.open()
        self._show()
        self.ids.roll.to_top()
        self._minding = Clock.schedule_interval(self._mind, LOOKED_EVERY_S)

    def on_leave(self, *_: Any) -> None:
        """Nothing sounds on, and the minutes are noted."""
        if self._minding is not None:
            self._minding.cancel()
            self._minding = None
        self.exercise.done()

    let_go = on_leave

    def put_away(self) -> None:
        """The app is put away: the same, and the screen stays on view."""
        self.exercise.done()
        self._show()

    def _mind(self, *_: Any) -> None:
        self.exercise.tick()
        self._show()

    # What is touched.

    def main(self) -> None:
        """Start, stop, or play on all the same."""
        if self.stage == "playing":
            self.exercise.stop()
        elif self.stage == "resting":
            self.exercise.play_on()
        else:
            self.exercise.start()
        self._show()

    def hear(self) -> None:
        """Play the palta once, or end that."""
        if self.heard:
            self.exercise.stop()
        else:
            self.exercise.hear()
        self._show()

    def another(self) -> None:
        """Another palta."""
        self.exercise.another()
        self.ids.roll.to_top()
        self._show()

    def say(self, said: str) -> None:
        """That it was "clean", that it is to be played "again", or "slower"."""
        {
            "clean": self.exercise.clean,
            "again": self.exercise.again,
            "slower": self.exercise.slower,
        }[said]()
        self._show()

    def back(self) -> None:
        self.on_close()

    def take_key(self, name: str) -> bool:
        said = SAID_BY.get(name.lower())
        if said is not None and self.can_say:
            self.say(said)
        return said is not None

    def keys_said(self) -> tuple[Said, ...]:
        return (
            ("C", say("Say that it was clean")),
            ("A", say("Say that it is to be played again")),
            ("S", say("Say that it is to be slower")),
        )

    def main_thing(self) -> Widget | None:
        """What starts or ends the theka; in a rest, what leads away from the instrument."""
        parts = self.ids
        return parts.done if self.stage in ("resting", "nothing") else parts.main

    # Showing.

    def _show(self) -> None:
        exercise = self.exercise
        varied, rest_s = exercise.varied, exercise.rest_left_s
        if exercise.varied is not self._shown:
            self._shown = varied
            self._show_palta(varied)
        before, self.stage = self.stage, self._stage(varied, rest_s)
        self.heard = exercise.is_heard
        self.main_words = say(MAIN.get(self.stage, MAIN["ready"]))
        self.trouble = "\n\n".join(filter(None, (exercise.trouble, self.practice.sound_trouble)))
        self.can_say = exercise.has_played and self.stage != "nothing"
        self.today = _today_words(exercise.minutes_today)
        self.rest = _rest_words(rest_s) if self.stage == "resting" else ""
        beat = exercise.beat()
        self.ids.face.lit = 0 if beat is None else beat.matra
        if varied is not None:
            self._show_tempo()
        if before != self.stage and self.stage == "resting":
            self.ids.roll.to_top()
            focus_on(self, None)

    def _stage(self, varied: Varied | None, rest_s: float) -> str:
        exercise = self.exercise
        if varied is None:
            return "nothing"
        if exercise.is_playing:
            return "playing"
        if rest_s:
            return "resting"
        return "heard" if exercise.is_heard else "ready"

    def _show_tempo(self) -> None:
        exercise = self.exercise
        now, then = exercise.tempo, exercise.next_tempo
        self.tempo = f"{now:.0f}"
        self.next_tempo = ""
        if then != now:
            self.next_tempo = say("{tempo} from the next sam", tempo=f"{then:.0f}")
        if then == now and exercise.is_at_top:
            self.next_tempo = say("no theka goes faster")
        if exercise.is_ending:
            self.next_tempo = say("It ends with this round, for your hands to rest.")

    def _show_palta(self, varied: Varied | None) -> None:
        parts = self.ids
        up, down = ((), ()) if varied is None else groups_of(varied)
        parts.up.show(up)
        parts.down.show(down)
        parts.face.wheel = None if varied is None else Wheel(varied.tala.form)
        self.name_words = "" if varied is None else varied.name
        self.told = "" if varied is None else varied.told
        self.how_to_read = self.rhythm = ""
        if varied is not None:
            self.how_to_read = f"{say(READ)} {begin_words(varied)} {say(STROKES)}"
            self.rhythm = say(
                "{tala}, {layout}", tala=say(varied.tala.name), layout=say(varied.layout.name)
            )

    def _place(self, *_: Any) -> None:
        """Words above and plates at the foot, or side by side."""
        width, height = self.size
        if min(width, height) < dp(theme.LEAST_SIDE):
            return  # not in the window yet
        foot, margin = self.ids.foot, dp(theme.SPACE)
        upright = height >= width
        broad = dp(theme.COLUMN if upright else BROAD) * look.scale
        whole = min(width - 2 * margin, max(broad, MOST_BROAD * width))
        x = (width - whole) / 2
        if upright:
            self.wheel_px = min(dp(210) * look.room, 0.21 * height)
            foot.width = min(whole, broad)
            foot.pos = (width - foot.width) / 2, margin
            above = foot.top + dp(theme.GAP)
            self._fit_words(x, whole, above, height - above - dp(theme.GAP))
            return
        self.wheel_px = min(dp(230) * look.room, 0.32 * height)
        foot.width = min(dp(460) * look.scale, 0.48 * whole)
        words = whole - foot.width - dp(theme.WIDE)
        foot.x = x if look.left_handed else x + whole - foot.width
        foot.y = max(dp(theme.GAP), (height - foot.height) / 2)
        left = x + whole - words if look.left_handed else x
        self._fit_words(left, words, margin, height - 2 * margin)

    def _fit_words(self, x: float, width: float, y: float, room: float) -> None:
        """In the middle of their room, groups as large as it allows."""
        roll, words = self.ids.roll, self.ids.words
        rows = self.ids.up, self.ids.down
        rest = words.height - sum(row.height for row in rows)
        for size in GROUP_SIZES:
            high = [row.high(width, size) for row in rows]
            # Type is not to grow at the price of more lines.
            most = [row.high(width, theme.DISPLAY) * size / theme.DISPLAY for row in rows]
            wraps = size > theme.DISPLAY and any(h > m + 1 for h, m in zip(high, most, strict=True))
            air = TALL_PART if size > theme.DISPLAY else 1.0  # the caution is to stay on view
            if rest + air * sum(high) <= room and not wraps:
                break
        for row in rows:
            row.type_sp = size
        tall = min(room, words.height)
        roll.size, roll.pos = (width + dp(14), tall), (x, y + (room - tall) / 2)


def _today_words(minutes: float) -> str:
    """`Four minutes on the instrument today`; nothing where it was less than one."""
    if minutes < 1.0:
        return ""
    told = counted(
        int(minutes),
        "{number} minute on the instrument today",
        "{number} minutes on the instrument today",
    )
    return capital(told)


def _rest_words(rest_s: float) -> str:
    minutes = ceil(rest_s / 60)
    left = counted(
        minutes, "{number} minute of rest is left.", "{number} minutes of rest are left."
    )
    return f"{say(REST)} {capital(left)}"


load_kv("instrument")

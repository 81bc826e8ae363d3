"""So far: how what was practised stands, a tab for each picture of it, and what is picked from one.

What a tab shows is worked out on a thread when it comes on view. Where that takes longer than
nobody notices, the screen says so and lives on. Only what another program has written into the log
is taken note of at once, before the screen comes on view.
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from functools import partial
from typing import Any

from kivy.clock import Clock
from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from practice import ModeChoice, Practice, PracticeError
from practice.pairs import Pair
from practice.so_far import Told, pair_told
from practice.standing import Standing
from practice.things import SUBJECTS
from screens import theme
from screens.days import DaysTab
from screens.gaps_tab import GapsTab
from screens.keys import BACKWARD, FORWARD, KaanScreen, focus_on, focused_in, things_in
from screens.look import load_kv, look, text_px
from screens.matrix import MatrixTab
from screens.pair_panel import PairPanel
from words import say, to_say

AT_ONCE_S = 0.08
"""For so long it is waited for what the answers tell before the screen says that it is looking."""
LOOKED_EVERY_S = 0.05
SIDE, MOST_SIDE = 390, 0.42
"""In a broad window, how broad what stands beside a picture is, in dp, and at most of the width."""
FOOT = 0.36
"""Upright, what was picked takes at least so much of the height."""


class WeakScreen(KaanScreen):
    """`on_drill` is told the skills to practise now and may raise PracticeError, `on_away` the name
    of the screen to go to; `on_close` is called to go back."""

    tab_id = StringProperty("gaps")
    waiting = BooleanProperty(False)
    upright = BooleanProperty(True)
    side_px = NumericProperty(0.0)

    def __init__(
        self,
        practice: Practice,
        *,
        on_drill: Callable[[tuple[str, ...]], None],
        on_away: Callable[[str], None],
        on_close: Callable[[], None],
        **kwargs: Any,
    ) -> None:
        self.practice, self.on_away, self.on_close = practice, on_away, on_close
        self._on_drill = on_drill
        self._worker = ThreadPoolExecutor(2, thread_name_prefix="so-far")
        """One may be making what is to be heard while another works out a tab."""
        self._coming: Future[Any] | None = None
        self._minding: Any = None
        self._standing: Standing | None = None
        self._tabs: dict[str, Any] = {}
        self._shown: set[str] = set()
        """The tabs that show the standing that there is now."""
        super().__init__(**kwargs)
        self.panel = PairPanel(practice, self._worker, on_drill=self._drill, on_shut=self.shut)
        self.ids.tabs.offer(tuple(ModeChoice(tab, say(TABS[tab][0]), "") for tab in TABS))
        self._arrange = Clock.create_trigger(self._place, -1)
        self.bind(size=self._changed)
        look.bind(scale=self._changed)
        for end in (self.ids.top, self.ids.foot):
            end.bind(height=self._changed)

    def _changed(self, *_: Any) -> None:
        self._arrange()

    # What the answers tell.

    def on_pre_enter(self, *_: Any) -> None:
        """Look afresh: there may be new answers."""
        self.shut()
        self.practice.refresh()
        self._shown.clear()
        self._standing = self.practice.standing()
        self.take_tab(self.tab_id)

    def _look(self, tab: Any) -> None:
        """Work out what a tab shows."""
        self._stop_looking()
        self._coming = self._worker.submit(tab.work_out, self._standing)
        wait([self._coming], AT_ONCE_S)
        self.waiting = True
        self._minding = Clock.schedule_interval(self._mind, LOOKED_EVERY_S)
        self._mind()

    def _mind(self, *_: Any) -> None:
        coming = self._coming
        if coming is None or not coming.done():
            return
        self._stop_looking()
        self._tabs[self.tab_id].show(coming.result())
        self._shown.add(self.tab_id)
        self._arrange()

    def _stop_looking(self) -> None:
        """What is being worked out is not waited for any more."""
        self.waiting = False
        if self._coming is not None:
            self._coming.cancel()
            self._coming = None
        if self._minding is not None:
            self._minding.cancel()
            self._minding = None

    def on_leave(self, *_: Any) -> None:
        """Nothing is looked for or heard any more."""
        self._stop_looking()
        self.panel.hush()
        for tab in self._tabs.values():
            tab.let_go()
            tab.leave()

    def let_go(self) -> None:
        self.on_leave()
        self._worker.shutdown(wait=False, cancel_futures=True)

    # Tabs.

    def take_tab(self, tab: str) -> None:
        """Show another picture."""
        if tab != self.tab_id:
            self.shut()
        self.tab_id = tab
        if tab not in self._tabs:
            self._tabs[tab] = TABS[tab][1](self)
        self._stop_looking()
        if self._standing is not None and tab not in self._shown:
            self._look(self._tabs[tab])
        self._arrange()

    def make_gaps(self) -> GapsTab:
        tab = GapsTab()
        tab.bind(on_told=lambda _, told: self.tell(told), on_hear=lambda _: self.panel.hear_both())
        tab.bind(picture_px=self._changed)
        return tab

    def make_matrix(self, subject: str) -> MatrixTab:
        tab = MatrixTab(subject)
        tab.bind(on_pair=lambda _, pair: self.pick(pair))
        return tab

    # What was picked.

    def tell(self, told: Told) -> None:
        """Show what is said of what was picked."""
        if self._standing is not None:
            self.panel.show(self._standing, told)
            self._open(is_open=True)

    def pick(self, pair: Pair) -> None:
        """A cell of a picture was picked."""
        if self._standing is not None:
            self.tell(pair_told(self._standing, pair))

    def shut(self) -> None:
        """Show what was picked no more."""
        self.panel.hush()
        if self.panel.parent is not None:
            self._open(is_open=False)
        if self.tab_id in self._tabs:
            self._tabs[self.tab_id].let_go()

    def _open(self, *, is_open: bool) -> None:
        body = self.ids.body
        if is_open and self.panel.parent is None:
            body.add_widget(self.panel)
        elif not is_open and self.panel.parent is not None:
            body.remove_widget(self.panel)
        self._arrange()

    def _drill(self, skills: tuple[str, ...]) -> None:
        try:
            self._on_drill(skills)
        except PracticeError as error:
            self.panel.trouble = str(error)

    def back(self) -> None:
        """First shut what is open."""
        if self.panel.parent is not None:
            self.shut()
        else:
            self.on_close()

    def main_thing(self) -> Widget | None:
        return self.panel.main_thing() if self.panel.parent is not None else None

    def take_key(self, name: str) -> bool:
        """While nothing has the keys, an arrow goes to the picture: to the worst of it."""
        tab = None if self.waiting else self._tabs.get(self.tab_id)
        if name not in BACKWARD + FORWARD or tab is None or focused_in(self) is not None:
            return False
        picture = tab.main_thing()
        if picture is None or picture not in things_in(self):
            return False
        focus_on(self, picture)  # which stands on a cell or a day at once
        if isinstance(tab, GapsTab):
            picture.take_key(name)
        return True

    # Where things are.

    def _place(self, *_: Any) -> None:
        """What was picked stands beside its picture, or, upright, below it."""
        body, panel = self.ids.body, self.panel
        tab = None if self.waiting else self._tabs.get(self.tab_id)
        for part in list(body.children):
            if part is not panel and part is not tab:
                body.remove_widget(part)
        if tab is None:
            return
        if tab.parent is None:
            body.add_widget(tab, index=len(body.children))
        self.upright = self.height >= self.width
        self._place_tabs()
        self.side_px = min(dp(SIDE) * look.scale, MOST_SIDE * self.width)
        body.orientation = "vertical" if self.upright else "horizontal"
        room = self.height - self.ids.top.height - self.ids.foot.height - dp(8)
        if isinstance(tab, GapsTab):
            tab.upright, tab.side_px, tab.room_px = self.upright, self.side_px, room
            tab.brief = panel.parent is not None
        below = room - tab.picture_px if isinstance(tab, GapsTab) else 0.0
        if self.upright:
            panel.size_hint = 1, None
            panel.height = max(FOOT * room, below)
        else:
            panel.size_hint = None, 1
            panel.width = self.side_px

    def _place_tabs(self) -> None:
        """In the line of the title, if there is room for them, or below it."""
        ids = self.ids
        top, head, title, tabs = (ids[name].__self__ for name in ("top", "head", "title", "tabs"))
        words = text_px(title.text, title.font_name, theme.TITLE) + dp(4)
        names = sum(plate.width + tabs.spacing[0] for plate in tabs.children)
        beside = words + names + 4 * dp(theme.SPACE) < self.width
        title.size_hint_x = None if beside else 1
        if beside:
            title.width = words
        if tabs.parent is not (head if beside else top):
            tabs.parent.remove_widget(tabs)
            (head if beside else top).add_widget(tabs)


TABS: dict[str, tuple[str, Callable[[WeakScreen], Any]]] = {
    "gaps": (SUBJECTS["gaps"].name, WeakScreen.make_gaps),
    **{
        subject: (SUBJECTS[subject].name, partial(WeakScreen.make_matrix, subject=subject))
        for subject in ("swaras", "ragas", "ornaments", "talas", "stages")
    },
    "days": (to_say("Days"), lambda screen: DaysTab()),
}
"""Name, to be said, and maker, by id, in their order."""

load_kv("weak")

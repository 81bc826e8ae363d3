"""Walks over every screen of the app, in every state of it that matters, each with a name."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from practice import Mode, Moved, Summary
from practice.broken_off import keep, let_go
from practice.instrument import GIVEN, PaltaNoted
from practice.summary import rest_caution
from practice.varied import key_of
from practice.varying import vary
from quizzes.paltas import prastara
from screens.keys import focus_on
from screens.look import look
from screens.refusal import RefusalScreen
from tests.missed import miss_some
from tests.window.hands import frames, key, tab_to, touch, wait_for
from tests.window.kept import noted
from tests.window.scripted import FIVE, GAPS, ScriptedSession, step
from tests.window.seen_desk import DECKS, SeenDesk
from tests.window.seen_drills import SeenDrills
from tests.window.seen_pads import SeenPads
from tests.window.seen_so_far import KEPT, LONG_NAME, SeenSoFar

PARTS = (
    "welcome_screens",
    "first_screens",
    "plain_screens",
    "instrument_screens",
    "mode_screens",
    "string_screens",
    "name_screens",
    "written_screens",
    "phrase_screens",
    "long_names",
    "kind_screens",
    "raga_screens",
    "stage_screens",
    "order_screens",
    "share_screens",
    "wheel_screens",
    "tap_screens",
    "tala_screens",
    "deck_questions",
    "desk_screens",
    "course_screens",
    "in_step_screens",
    "so_far_screens",
    "page_screens",
    "taken_screens",
    "student_screens",
    "kept_phrase_screens",
)
SCREENS = (
    *("practice", "cautions", "settings", "students", "tap test", "lesson", "summary"),
    *("instrument", "weak", "lesson page", "phrases", "kind", "part"),
    *("desk", "adding", "chooser", "tradition", "class page", "courses"),
)
"""Those that are gone to at once, or as from what leads to them."""
WAYS = (
    *("swara:G", "gap:R-P:down", "ornament:zamzama", "strokes:write:dir:16", "write:all:8"),
    *("order:performance:9", "layout", "sam:mark:tintal", "tap:tali:jhaptal", "fit"),
)
"""What skills begin with: one for each way of answering, with long words."""
REFUSED = "The folder /data/kaan cannot be written to: choose another with --folder."


class EveryScreen(SeenDrills, SeenPads, SeenDesk, SeenSoFar):
    """The walk through one app, from its first screen: each part of it (`PARTS`) is a method, and
    calls `see(name)` whenever something is on view that is to be seen."""

    def __init__(self, app, see) -> None:
        self.app, self._see = app, see

    def see(self, name: str) -> None:
        """What is on view has this name and is ready to be seen."""
        first = self.app.manager.get_screen("practice")
        wait_for(lambda: first._coming is None, what="what a practice holds")
        frames(4)
        self._see(name)

    def drill(self, *steps):
        """A drill on these steps."""
        drill = self.app._screen("drill")
        drill.drop()
        self.app.go("drill")
        drill.begin(ScriptedSession(*steps))
        frames(3)
        return drill

    def first_screens(self) -> None:
        """What the first screen offers where a practice was broken off or something is amiss; the
        sheets of keys; what is said in passing; a window that only says why Kaan cannot begin."""
        app, practice = self.app, self.app.practice
        asked = step("swara:G", met=FIVE)
        keep(practice.folder, Mode(), 540.0, asked)
        practice._tell("settings", "settings.json: text_size is 'huge'; choose usual or large.")
        app.go("settings")
        app.go("practice")
        self.see("first-going-on")
        let_go(practice.folder)
        practice._tell("settings")
        for name, screen in {"keys-first": app._screen("practice"), "keys-drill": None}.items():
            shown = screen or self.drill(step(GAPS[1], met=GAPS))
            shown.list_keys()
            self.see(name.replace(" ", "-"))
            shown.close_sheet()
        app._screen("drill").drop()
        app.go("students")
        students = app._screen("students")
        students.done = f"{LONG_NAME}: 1,204 answers came."
        self.see("toast")
        students.done = ""
        app.go("practice")
        refusal = RefusalScreen(name="refusal", reason=REFUSED, on_close=lambda: None)
        app.manager.add_widget(refusal)
        app.manager.current = "refusal"
        self.see("refusal")
        app.go("practice")
        app.manager.remove_widget(refusal)

    def each_once(self) -> None:
        """Each screen as it comes, and one question of each way of answering: new, asked, told.

        The shortest walk that leaves out no screen; the parts have the states besides.
        """
        app, practice = self.app, self.app.practice
        for part in ("who", "loud", "sa", "course"):
            app.go("welcome")
            app._screen("welcome").show(part)
            self.see(f"welcome-{part}")
        self.first_screens()
        self.ways_of_answering()
        miss_some(practice)
        practice.shelf.take(practice.shelf.look(DECKS / "first-gaps.toml"))
        practice.take_given()
        for line, raga in KEPT.items():
            noted(app, line, raga=raga, minute=list(KEPT).index(line))
        app._screen("summary").show(Summary(41, 29, 14.2, (), (), rest_caution(30.0), 3))
        for name in SCREENS:
            app.go("practice")
            if name in ("kind", "part"):
                app.choose_which(Mode(name))
            elif name == "chooser":
                app.desk._choose_to_bring()
                app._screen(name).files.path = str(DECKS)
            else:
                app.go(name)
            screen = app.manager.current_screen
            wait_for(lambda screen=screen: not getattr(screen, "waiting", False), what=name)
            self.see(name.replace(" ", "-"))
            if hasattr(screen.ids.get("roll"), "scroll_y"):
                screen.ids.roll.scroll_y = 0.0
                self.see(f"{name}-end".replace(" ", "-"))
        for tab in ("gaps", "ragas", "ornaments", "stages", "days"):
            self._tab(tab)
            self.see(f"weak-{tab}")
        self._desk_once()
        app.go("practice")

    def ways_of_answering(self) -> None:
        """One question of each way, new, asked and told; then whether to leave."""
        self._told_of(WAYS)
        drill = self.app._screen("drill")
        drill.leave()
        self.see("leaving")
        drill.close_sheet()
        drill.drop()

    def _desk_once(self) -> None:
        """A deck, the form of a question, a course with its step, and a file that comes in."""
        app = self.app
        app.go("desk")
        desk = app._screen("desk")
        desk._open(desk.ids.rows.children[0])
        deck = app.manager.current_screen
        wait_for(lambda: len(deck.rows.children) == len(deck.editing.entries), what="its rows")
        self.see("deck")
        app.desk.edit(deck.editing, 0)
        self.see("question")
        app.manager.current_screen.preview()
        self.see("preview")
        app.go("courses")
        courses = app._screen("courses")
        courses.make()
        course = app.manager.current_screen
        course.add()
        adding = app.manager.current_screen
        adding.choose("ragas")
        self.see("course-adding")
        adding.ids.part.children[0].ticks._turn(["yaman"], on=True)
        adding.add()
        self.see("course")
        course._on_step(course.editing, 0)
        self.see("course-step")
        app.go("courses")
        courses._on_look("sitar-certificate")
        self.see("course-look")
        app.desk.bring(DECKS / "first-gaps.toml", back="desk")
        self.see("arriving")

    def welcome_screens(self):
        self.app.go("welcome")
        screen = self.app._screen("welcome")
        self.see("welcome-who")
        for part in ("loud", "sa", "course"):
            screen.show(part)
            self.see(f"welcome-{part}")
            if part == "loud":
                screen.part.touch_check()
                self.see("welcome-rising")
                screen.part.touch_check()
                self.see("welcome-set")
            if part == "sa":
                screen.part.ids.typed.text = "12"
                screen.part.keep_typed()
                self.see("welcome-sa-fault")
                tab_to(lambda: screen.part.ids.sa.focused)
                self.see("welcome-sa-focus")
        look.by_keys = False
        self.app.go("practice")

    def plain_screens(self) -> None:
        self.app.go("practice")
        self.see("first")
        key("tab")
        key("tab")
        self.see("first-focus")
        look.by_keys = False
        self.app.go("cautions")
        self.see("cautions")
        self.app.go("settings")
        screen = self.app._screen("settings")
        wait_for(lambda: len(screen.speaker_options) > 1, what="the list of speakers")
        for number, place in enumerate((1.0, 0.55, 0.0), 1):
            screen.ids.roll.scroll_y = place
            self.see(f"settings-{number}")
        moved = (
            Moved("b", "komal Ni", "shaky", "firm"),
            Moved("a", "Re up to Pa", "coming", "shaky"),
            Moved("c", "komal Dha down to komal Ga", "shaky", "coming"),
        )
        tuned = ("Pa in tune: you hear it from about 12 cents (9 to 17, 22 answers)",)
        self.app._screen("summary").show(
            Summary(41, 29, 14.2, moved, tuned, "Rest your ears a little before you play on.", 3)
        )
        self.app.go("summary")
        self.see("summary")
        summary = self.app._screen("summary")
        focus_on(summary, summary.ids.turn)
        look.by_keys = True
        self.see("summary-focus")
        look.by_keys = False
        summary.left_out = True
        summary._tell()
        self.see("summary-left-out")

    def instrument_screens(self) -> None:
        """The palta of the day, its theka as it goes on, the rest, and the longest palta."""
        self.app.go("instrument")
        screen = self.app.manager.current_screen
        exercise = screen.exercise
        self.see("instrument-ready")
        touch(screen.ids.main)
        wait_for(lambda: screen.ids.face.lit == 3, what="the third matra")
        touch(screen.ids.clean)
        self.see("instrument-playing")
        tab_to(lambda: screen.ids.slower.focused)
        self.see("instrument-focus")
        look.by_keys = False
        exercise._in_one_go_s, exercise._unnoted_s = 600.0, 600.0
        touch(screen.ids.main)
        self.see("instrument-resting")
        given = [key_of(n, index) for n in range(3, 7) for index in range(prastara.count(n))]
        now = datetime.now(UTC)
        noted = [PaltaNoted(key, GIVEN, 60.0, now, {}) for key in given]
        begun = {"raga-rest:own:alhaiya_bilawal", "sam:jhumra"}
        exercise._show(vary(noted, begun=begun, day=now.date(), student="m"))
        exercise._rests = False
        screen._show()
        self.see("instrument-seven")
        screen.back()

    def mode_screens(self) -> None:
        """Ways to practise: with misses in the log, each chosen, and what is chosen from."""
        practice, first = self.app.practice, self.app.manager.get_screen("practice")
        ragas = ("yaman", "bhupali")
        practice.save(replace(practice.settings, lesson_day="thursday", lesson_ragas=ragas))
        miss_some(practice)
        self.app.go("settings")
        self.app.go("practice")
        for mode in ("before-lesson", "weak-spots"):
            first.choose_mode(mode)
            self.see(f"mode-{mode}")
        for mode, which in (("kind", "gap"), ("part", "Ga joins")):
            first.choose_mode(mode)
            screen = self.app.manager.current_screen
            wait_for(lambda screen=screen: not screen.waiting, what="the whole list")
            self.see(f"mode-{mode}-choosing")
            self.app.chosen(Mode(mode, which))
            self.see(f"mode-{mode}")
        first.take(Mode())
        self.app.go("settings")
        settings = self.app._screen("settings")
        settings.ids.roll.scroll_to(settings.ids.lesson, animate=False)
        self.see("lesson-settings")
        settings.ids.practices.children[0].dispatch("on_turn")
        settings.ids.roll.scroll_to(settings.ids.held, animate=False)
        self.see("practices-settings")
        settings.ids.practices.children[0].dispatch("on_turn")
        practice.save(replace(practice.settings, lesson_day=""))
        self.app.go("lesson")
        self.see("lesson-none")
        self.app.go("practice")
        practice.save(replace(practice.settings, lesson_day="thursday"))
        self.app.go("lesson")
        lesson = self.app._screen("lesson")
        wait_for(lambda: not lesson._waiting, what="all the ragas")
        self.see("lesson")
        key("tab")
        self.see("lesson-focus")
        look.by_keys = False
        lesson.ids.roll.scroll_y = 0.5
        self.see("lesson-ragas")
        self.app.go("practice")

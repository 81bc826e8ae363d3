"""What is looked back on: so far, pages, students, the folder kept in step, kept phrases."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from practice import Practice
from practice.log_files import hand_over_log
from practice.students import Students
from screens.keys import focus_on
from screens.look import look
from tests import taken
from tests.gaps_heard import hear_gaps
from tests.missed import miss_some
from tests.practice.devices import Device
from tests.window.hands import frames, key, tab_to, wait_for
from tests.window.kept import noted
from tests.window.seen_desk import DECKS

KEPT = {
    "N, R/ G:3 M~~ D:1/2 N S'^ (N)R'_* N D P:2 {MP} M G R": "vrindavani_sarang",
    "S r G m P": "bhairav",
    "M P m G R": "yaman",
    "S R G": "",
}
"""Phrases that are kept, and in which ragas they were made."""
SWARAS_TAKEN = taken.skills_of("swara", "SrRgGmMPdDnN")
OTHERS_TAKEN = (
    *taken.skills_of(
        "raga-from-phrase:note",
        (
            *("bhupali", "yaman", "durga", "desh", "khamaj", "bageshri", "bhairav", "kalingada"),
            *("malkauns", "kafi", "bihag", "bilawal", "alhaiya_bilawal", "bhimpalasi", "todi"),
            *("vrindavani_sarang", "marwa", "puriya", "deshkar"),
        ),
    ),
    "raga-from-phrase:rest:bhupali-deshkar",
    *taken.skills_of("ornament", ("kan", "sparsh", "meend", "krintan", "gamak", "andolan")),
    *taken.skills_of("ornament:span", "345"),
    *taken.skills_of("tala", ("ektal", "chautal", "tintal")),
    *taken.skills_of("which-stage", ("alap", "jor", "alap-jhala", "vilambit-gat", "drut-gat")),
)
LONG_NAME = "Lakshmi Annapurna Venkatasubramanian of the Eastern Hills"


class SeenSoFar:
    """Screens of none, some and very many answers, of one student and of several."""

    def taken_screens(self) -> None:
        """What is taken for what, and the days, after no answers, 50 and 5,000; one cell picked."""
        practice, asked = self.app.practice, (*SWARAS_TAKEN, *OTHERS_TAKEN)
        for count, skills in ((0, SWARAS_TAKEN), (50, SWARAS_TAKEN), (5000, asked)):
            practice.save(replace(practice.settings, student_id=f"of-{count}"))
            said = {"until": practice._now(), "student": f"of-{count}"}
            rows = taken.rows(skills, count, **said)
            if count == 5000:
                rows += taken.tuned("tune:P", 240, (30.0, 9.0), **said)
                rows += taken.tuned("tune:G", 240, (40.0, 22.0), **said)
            practice._log.append_all(sorted(rows, key=lambda row: row.utc))
            practice._forget()
            for tab in ("swaras", "ragas", "ornaments", "stages", "days"):
                screen, shown = self._tab(tab)
                self.see(f"taken-{tab}-{count}")
                if tab == "days":
                    shown.children[0].scroll_y = 0.0
                    self.see(f"taken-days-{count}-end")
        screen, shown = self._tab("ragas")
        shown.pick(shown._matrix.worst(1)[0])
        self.see("taken-picked")
        screen.shut()
        shown.board.cells.focused = look.by_keys = True
        self.see("taken-focus")
        look.by_keys = shown.board.cells.focused = False
        screen, shown = self._tab("days")
        shown.ids.bars.take_key("left")
        self.see("taken-day-picked")
        self.app.go("practice")

    def _tab(self, name: str):
        """A tab of what is so far, read afresh: its screen, and itself."""
        self.app.go("practice")
        self.app.go("weak")
        screen = self.app.manager.current_screen
        wait_for(lambda: not screen.waiting, what="what the answers tell")
        screen.take_tab(name)
        wait_for(lambda: not screen.waiting, what="what the tab shows")
        frames(4)
        shown = screen._tabs[name]
        wait_for(lambda: not getattr(shown, "waiting", False), what="thresholds")
        frames(4)
        return screen, shown

    def so_far_screens(self) -> None:
        """The gaps on the string after no answers, 50 and 5,000; one picked, and one way alone."""
        for count, more in ((0, 0), (50, 50), (5000, 4950)):
            if more:
                hear_gaps(self.app.practice, more)
            self.app.go("practice")
            self.app.go("weak")
            screen = self.app.manager.current_screen
            wait_for(lambda screen=screen: not screen.waiting, what="what the answers tell")
            screen.take_tab("gaps")
            wait_for(lambda screen=screen: not screen.waiting, what="what the tab shows")
            self.see(f"gaps-{count}")
            tab = screen._tabs["gaps"]
            if count:
                focus_on(screen, tab.arcs)
                key("right")
                self.see(f"gaps-{count}-picked")
                look.by_keys = False
                screen.shut()
        tab.take_way("up")
        self.see("gaps-up")

    def page_screens(self) -> None:
        """The page for the lesson after no answers, 50 and 5,000, from its top to its end, while it
        is read and where it cannot be; the class of one, of many, and one of its students."""
        practice = self.app.practice
        for count, more in ((0, 0), (50, 50), (5000, 4950)):
            if more:
                hear_gaps(practice, more)
            self.app.go("practice")
            self.app.go("lesson page")
            screen = self.app.manager.current_screen
            self.see(f"lesson-page-{count}-read")
            wait_for(lambda screen=screen: screen.page, what="the page")
            for number, place in enumerate((1.0, 0.6, 0.3, 0.0), 1):
                screen.ids.roll.scroll_y = place
                self.see(f"lesson-page-{count}-{number}")
        screen.done = "Written: pages/anasuya-2026-11-29.pdf"
        screen.ids.roll.to_top()
        tab_to(lambda: screen.ids.png.focused)
        self.see("lesson-page-written")
        look.by_keys = False
        self.app.go("class page")
        screen = self.app.manager.current_screen
        wait_for(lambda: screen.page and not screen.waiting, what="the class of one")
        self.see("class-page-one")
        students = Students(practice.home)
        for number, name in enumerate(("Anasuya Venkataraghavan", "मीरा शर्मा", "Jo", "Noor")):
            other = Practice(students.add(name).folder, home=practice.home, speaker="silence")
            hear_gaps(other, (12, 300, 900, 40)[number], seed=number)
            other.close()
        (students.add("Zia").folder / "log.sqlite").write_bytes(b"no log at all" * 99)
        self.app.go("practice")
        self.app.go("class page")
        self.see("class-page-read")
        wait_for(lambda: screen.page and not screen.waiting, what="the class")
        for number, place in enumerate((1.0, 0.5, 0.0), 1):
            screen.ids.roll.scroll_y = place
            self.see(f"class-page-{number}")
        screen.open(next(one for one in screen.page.students if one.name.startswith("मीरा")))
        page = self.app.manager.current_screen
        wait_for(lambda: page.page, what="another student's page")
        self.see("class-page-student")
        page.back()
        self.app.go("practice")

    def in_step_screens(self) -> None:
        """The folder kept in step in the settings: none, one with others' answers, one that is
        gone."""
        self.app.go("settings")
        settings = self.app._screen("settings")
        part = settings.ids.in_step
        settings.ids.roll.scroll_to(part, animate=False)
        self.see("in-step-none")
        cloud = Path(tempfile.mkdtemp()) / "in-step-folder"
        for student, name in (("mira", "Mira"), ("om", "ओम")):
            other = Device(Path(tempfile.mkdtemp()) / "tablet", student, name).keep(cloud)
            other.answer(12, student)
            other.look()
        whole = (cloud / "om.tablet.zip").read_bytes()
        (cloud / "ravi.tablet.zip").write_bytes(whole[:500])
        for look_at in (lambda: part.keep(cloud), lambda: part.look("mira", "om")):
            look_at()
            wait_for(lambda: not part.is_looking, what="a look into the folder")
            settings.ids.roll.scroll_to(part, animate=False)
            self.see("in-step-taken" if part.strangers == [] else "in-step-found")
        settings.ids.roll.scroll_to(part.ids.takes_all, animate=False)
        self.see("in-step-foot")
        shutil.rmtree(cloud)
        part.look()
        wait_for(lambda: not part.is_looking, what="a look into the folder")
        self.see("in-step-gone")
        part.keep_none()
        self.app.go("practice")

    def student_screens(self) -> None:
        """One student, a few and many; then answers that leave and that come in."""
        practice, app = self.app.practice, self.app
        students = Students(practice.home)
        app.go("students")
        screen = app._screen("students")
        self.see("students-one")
        for name in ("Asha", "Asha", "राम कुमार", "আশা Rao", LONG_NAME, "Ravi", "Nila"):
            students.add(name)
        spoilt = students.add("Spoilt")
        (spoilt.folder / "settings.json").write_text("{")
        students.set_aside(students.named("Nila"))
        screen.on_pre_enter()
        row = screen.ids.rows.children[-1]
        row.dispatch("on_turn")
        self.see("students")
        row.children[0].dispatch("on_set_aside")
        self.see("students-asked")
        screen.lies_over.ids.ways.children[-1].dispatch("on_release")
        self.see("students-set-aside")
        screen.ids.roll.scroll_y = 0.0
        self.see("students-foot")
        screen.ids.roll.to_top()
        screen.begin_adding()
        self.see("students-adding")
        screen.leave_adding()
        app.go("practice")
        self.see("first-of-several")
        miss_some(practice)
        app.go("settings")
        settings = app._screen("settings")
        settings.ids.roll.scroll_to(settings.ids.students, animate=False)
        self.see("students-settings")
        settings.ids.answers._write(practice.home, settings.ids.answers._tell)
        wait_for(lambda: not settings.ids.answers.busy, what="the file")
        self.see("answers-settings")
        for name, device in (("", "tablet"), ("राम कुमार", "other")):
            self._look_at_answers(name, device)
        app.go("desk")

    def _look_at_answers(self, name, device) -> None:
        """A file of another's answers, and the same one damaged."""
        with tempfile.TemporaryDirectory() as folder:
            other = Practice(Path(folder), speaker="silence")
            other.save(replace(other.settings, student_name=name))
            miss_some(other)
            other.close()
            path = hand_over_log(Path(folder), Path(folder), datetime.now(UTC)).path
            for spoilt in (False, True):
                if spoilt:
                    data = path.read_bytes()
                    path.write_bytes(data[: len(data) // 2] + b"?" + data[len(data) // 2 + 1 :])
                self.app.desk.bring(path, back="desk")
                screen = self.app.manager.current_screen
                wait_for(lambda screen=screen: not screen.busy, what="the look at it")
                self.see(f"answers-{device}{'-spoilt' * spoilt}")
                screen.back()

    def kept_phrase_screens(self) -> None:
        """Phrases that were kept: one's own, what a raga says, one let go; a student's, and where
        one is to go."""
        app, practice = self.app, self.app.practice
        for minute, (line, raga) in enumerate(KEPT.items()):
            noted(app, line, raga=raga, minute=minute)
        app.go("settings")
        app.go("practice")
        self.see("phrases-first")
        app.go("phrases")
        screen = app.manager.current_screen
        screen.rows[1].sounding = 2
        self.see("phrases-kept")
        screen.rows[1].says = True
        screen.do(screen.rows[2])
        self.see("phrases-kept-said")
        screen.ids.roll.scroll_y = 0.0
        self.see("phrases-kept-foot")
        look.by_keys = True
        focus_on(screen, screen.rows[0].ids.plate)
        self.see("phrases-kept-focus")
        look.by_keys = False
        for row in screen.rows:
            if not row.gone:
                screen.do(row)
        app.go("practice")
        app.go("phrases")
        self.see("phrases-kept-none")
        for line, raga in KEPT.items():
            noted(app, line, raga=raga, minute=30 + list(KEPT).index(line))
        miss_some(practice)
        practice.shelf.take(practice.shelf.look(DECKS / "first-gaps.toml"))
        app.go("lesson page")
        page = app.manager.current_screen
        wait_for(lambda: page.page is not None and not page.waiting, what="the page")
        self.see("phrases-lesson-page")
        page.show_phrases()
        screen = app.manager.current_screen
        self.see("phrases-of-student")
        screen.do(screen.rows[0])
        self.see("phrases-which-deck")
        app.manager.current_screen.make()
        self.see("phrases-form")
        app.go("practice")

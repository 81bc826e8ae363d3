"""The teacher's desk: decks, each form of a question, files that arrive, the tradition, courses."""

from __future__ import annotations

import tempfile
from pathlib import Path

from screens.sargam_field import SargamField
from tests.window.hands import frames, wait_for

DECKS = Path(__file__).resolve().parents[2] / "assets" / "decks"
SHEET = """prompt,sargam,right,wrong,wrong,why
On which swara does it rest?,N R G:3,Ga,Re,Ni,Ga is held.
Which is higher?,,Pa,Ma,Ga,
"""
TRADITION = """[durga]
vadi = "D R"
nyas = "R X"

[[order]]
first = "jor"
then = "alap"
"""


class SeenDesk:
    """A teacher's screens, filled from the decks that come with Kaan."""

    def desk_screens(self) -> None:
        """The teacher's desk: decks, a deck, the form of each kind, keypad, chooser, arrivals."""
        practice = self.app.practice
        for path in sorted(DECKS.glob("*.toml")):
            practice.shelf.take(practice.shelf.look(path))
        wrong = (DECKS / "our-alap.toml").read_text("utf-8").replace('"our-alap"', '"other-alap"')
        practice.shelf.write("other-alap", wrong.replace("prompt", "promt", 1))
        self.app.go("desk")
        desk = self.app._screen("desk")
        self.see("desk")
        row = desk.ids.rows.children[-1]
        row.dispatch("on_turn")
        row.dispatch("on_remove")
        self.see("desk-removing")
        desk.lies_over.ids.ways.children[-1].dispatch("on_release")
        self.see("desk-removed")
        desk.put_back()
        seen: set[str] = set()
        for row in desk.ids.rows.children[::-1]:
            desk._open(row)
            self._deck_screens(row.kept.id, seen)
            self.app.go("desk")
        for name, screen in {"adding": "adding", "chooser": "chooser"}.items():
            self.app.go(name)
            if name == "chooser":
                self.app.desk._choose_to_bring()
                self.app._screen(screen).files.path = str(DECKS)
            self.see(f"desk-{name}")
        ways, folder = self.app.desk, Path(tempfile.mkdtemp())
        (folder / "sheet.csv").write_text(SHEET, "utf-8")
        (folder / "wrong.toml").write_text(wrong.replace("prompt", "promt"), "utf-8")
        for path in (DECKS / "first-gaps.toml", folder / "sheet.csv", folder / "wrong.toml"):
            ways.bring(path, back="desk")
            self.see(f"desk-arriving-{path.stem}")
        self._tradition_screens()
        self.app.go("practice")

    def _tradition_screens(self) -> None:
        """The list, a raga with a fact open, the keypad, what is wrong, and an order of stages."""
        practice = self.app.practice
        practice.shelf.write_tradition(TRADITION)
        self.app.go("tradition")
        screen = self.app.manager.current_screen
        self.see("tradition")
        screen.choose("durga")
        rows = {row.fact.fields[0]: row for row in screen._rows}
        for field in ("vadi", "nyas", "gait"):
            rows[field].turn()
            frames(4)
            screen.ids.roll.scroll_to(rows[field].ids.plate, animate=False)
            self.see(f"tradition-{field}")
        rows["nyas"]._fields[0].field.focus = True
        self.see("tradition-keypad")
        screen.put_pad_away()
        screen.back()
        screen._turn_to("stage")
        screen.choose("jor")
        screen.ids.roll.scroll_y = 0.6
        self.see("tradition-order")
        practice.shelf.write_tradition("")

    def _deck_screens(self, name: str, seen: set[str]) -> None:
        """One deck, and each kind of question in it, but those seen, from above to below."""
        deck = self.app.manager.current_screen
        wait_for(lambda: len(deck.rows.children) == len(deck.editing.entries), what="its rows")
        deck.rows.children[-1].dispatch("on_turn")
        self.see(f"deck-{name}")
        deck.ids.roll.scroll_y = 0.0
        self.see(f"deck-{name}-foot")
        for at, entry in enumerate(deck.editing.entries):
            if entry["kind"] in seen:
                continue
            seen.add(entry["kind"])
            self.app.desk.edit(deck.editing, at)
            form = self.app.manager.current_screen
            for number, place in enumerate((1.0, 0.6, 0.25, 0.0), 1):
                form.ids.roll.scroll_y = place
                self.see(f"form-{name}-{entry['kind']}-{number}")
            fields = [each for each in form.walk() if isinstance(each, SargamField)]
            if fields and entry["kind"] == "choose-one":
                fields[0].focus = True
                fields[0].insert_text(" R Xm")
                frames(6)
                self.see(f"form-{name}-keypad")
                form.pad.hands = True
                self.see(f"form-{name}-keypad-hands")
                form.pad.hands = False
                form.put_pad_away()
                self.see(f"form-{name}-fault")
                deck.editing.undo()
            self.app.go("deck")

    def course_screens(self) -> None:
        """Courses: the list, one that is made, ticking, a step, one of single skills, a shipped."""
        practice = self.app.practice
        practice.shelf.take(practice.shelf.look(DECKS / "first-gaps.toml"))
        practice.take_given()
        self.app.go("courses")
        courses = self.app._screen("courses")
        courses.make()
        course = self.app.manager.current_screen
        self.see("course-new")
        course.add()
        adding = self.app.manager.current_screen
        ticked = [
            ("ragas", "yaman"),
            ("talas", "tintal"),
            ("kinds", "gap"),
            ("decks", "first-gaps"),
        ]
        for field, name in ticked:
            adding.choose(field)
            (part,) = adding.ids.part.children
            part.ticks._turn([name], on=True)
            self.see(f"course-adding-{field}")
        adding.add()
        course.set_pace(4)
        course.editing.put(0, kinds=["gasp"])
        self.see("course-faulty")
        course.editing.undo()
        self.see("course")
        course.ids.roll.scroll_y = 0.0
        self.see("course-foot")
        course._on_step(course.editing, 0)
        self.see("course-step")
        self.app.go("courses")
        wait_for(lambda: courses.ids.rows.children, what="the courses")
        self.see("courses")
        courses._on_look("sitar-certificate")
        self.see("course-look")
        self.app.manager.current_screen.copy()
        course = self.app.manager.current_screen
        course._on_step(course.editing, 0)
        self.see("course-step-by-hand")
        self.app.go("practice")

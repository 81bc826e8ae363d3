"""Takes a picture of every screen in its states, to be looked at; run by hand.

.venv/bin/python -m tests.window.pictures build/pictures [--sizes 600x960 960x600] [--text large]
"""

from __future__ import annotations

import argparse
import shutil
import tempfile
import time
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from tests.window import opened

opened.set_up()

from audio.speakers import Playing  # noqa: E402 - after the window is set up
from practice import Mode, Moved, Practice, Summary  # noqa: E402
from practice.instrument import GIVEN, PaltaNoted  # noqa: E402
from practice.latency import beats_ms  # noqa: E402
from practice.log_files import hand_over_log  # noqa: E402
from practice.students import Students  # noqa: E402
from practice.varied import key_of  # noqa: E402
from practice.varying import vary  # noqa: E402
from quizzes import KINDS  # noqa: E402
from quizzes.decks.asking import entry_text, skills_of  # noqa: E402
from quizzes.paltas import prastara  # noqa: E402
from quizzes.stages.asking import StageKind  # noqa: E402
from quizzes.wheel import Wheel  # noqa: E402
from screens.keys import focus_on  # noqa: E402
from screens.look import look  # noqa: E402
from screens.sargam_field import SargamField  # noqa: E402
from tests import taken  # noqa: E402
from tests.gaps_heard import hear_gaps  # noqa: E402
from tests.missed import miss_some  # noqa: E402
from tests.practice.devices import Device  # noqa: E402
from tests.window import hands, wheels, written  # noqa: E402
from tests.window.hands import Finger, frames, key, slide, tab_to, touch, wait_for  # noqa: E402
from tests.window.kept import noted  # noqa: E402
from tests.window.scripted import FIVE, GAPS, TWELVE, WIDE, ScriptedSession, skills_that_begin, step  # noqa: E402
from tests.window.teachers import TAUGHT  # noqa: E402

PARTS = (
    "welcome_screens",
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
KINDS_SEEN = (
    "ornament:zamzama",
    "what-changed:pitch",
    "shade:g",
    "strokes:write:dir:16",
    "strokes:altered:dir",
    "strokes:jhala:4-2",
    "slip:dropped",
    "slip:which",
    "palta:altered:three",
    "palta:name:back",
    "palta:continue:compound",
    "palta:third:compound",
    "prastara:next:4",
)
RAGAS_SEEN = (
    "raga-from-phrase:note:alhaiya_bilawal",
    "raga-from-phrase:run",
    "raga-from-phrase:not-yet",
    "raga-from-phrase:rest",
    "raga-from-phrase:register",
    "raga-from-phrase:treatment",
    *(kind for kind in KINDS if kind.startswith("raga-") and kind != "raga-from-phrase"),
)
STAGES_SEEN = (
    "order:performance:6",
    "order:performance:9",
    *(kind.name for kind in KINDS.values() if isinstance(kind, StageKind) and kind.name != "order"),
)
TALAS_SEEN = (
    "tala:dhamar",
    "sam:mark:tintal",
    "khali:tintal",
    "laya:matras",
    "layakari:hear:tigun",
    "layakari:takes:tintal:tigun",
    "layakari:start:jhaptal:chaugun",
    "theka:order:dhamar",
    "theka:write:jhaptal",
    "theka:fill:tintal",
    "theka:clap:tilwada",
    "tap:tali:jhaptal",
    "tihai:lands:half",
    "tihai:gap:heard",
    "tihai:start:half",
    "tihai:chakradar:lands",
    "tihai:chakradar:gap",
    "gat-start:masitkhani",
)
"""What skills begin with; the first of each is asked."""
MADE = {
    "raga-make:meend:yaman": "M P m G R S",
    "raga-make:answer:yaman": "",
    "make:loudness": "S R_",
}
"""Wishes, and what is made under each; "" for one that keeps it."""
KEPT = {
    "N, R/ G:3 M~~ D:1/2 N S'^ (N)R'_* N D P:2 {MP} M G R": "vrindavani_sarang",
    "S r G m P": "bhairav",
    "M P m G R": "yaman",
    "S R G": "",
}
"""Phrases that are kept, and in which ragas they were made."""
DECKS = Path(__file__).resolve().parents[2] / "assets" / "decks"
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
LONG_NAME = "Lakshmi Annapurna Venkatasubramanian of the Eastern Hills"
SIZES = ("600x960", "960x600", "1280x800", "1920x1200")


class Album:
    """Names and keeps the pictures of one app at one size."""

    def __init__(self, app, folder: Path, size: str) -> None:
        self.app, self.folder, self.size = app, folder, size

    def take(self, name: str) -> None:
        first = self.app.manager.get_screen("practice")
        wait_for(lambda: first._coming is None, what="what a practice holds")
        frames(5)
        opened.picture(self.folder / f"{name}-{self.size}.png")

    def drill(self, *steps):
        """A drill on these steps."""
        drill = self.app._screen("drill")
        drill.drop()
        self.app.go("drill")
        drill.begin(ScriptedSession(*steps))
        frames(4)
        return drill

    def welcome_screens(self):
        self.app.go("welcome")
        screen = self.app._screen("welcome")
        self.take("welcome-who")
        for part in ("loud", "sa", "course"):
            screen.show(part)
            self.take(f"welcome-{part}")
            if part == "loud":
                screen.touch_check()
                self.take("welcome-rising")
                screen.touch_check()
                self.take("welcome-set")
            if part == "sa":
                screen.set_typed("12")
                self.take("welcome-sa-fault")
                tab_to(lambda: screen._part.ids.sa.focused)
                self.take("welcome-sa-focus")
        look.by_keys = False
        self.app.go("practice")

    def plain_screens(self) -> None:
        self.app.go("practice")
        self.take("first")
        key("tab")
        key("tab")
        self.take("first-focus")
        look.by_keys = False
        self.app.go("cautions")
        self.take("cautions")
        self.app.go("settings")
        screen = self.app._screen("settings")
        wait_for(lambda: len(screen.speaker_options) > 1, what="the list of speakers")
        for number, place in enumerate((1.0, 0.55, 0.0), 1):
            screen.ids.roll.scroll_y = place
            self.take(f"settings-{number}")
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
        self.take("summary")
        summary = self.app._screen("summary")
        focus_on(summary, summary.ids.turn)
        look.by_keys = True
        self.take("summary-focus")
        look.by_keys = False
        summary.left_out = True
        summary._tell()
        self.take("summary-left-out")

    def instrument_screens(self) -> None:
        """The palta of the day, its theka as it goes on, the rest, and the longest palta."""
        self.app.go("instrument")
        screen = self.app.manager.current_screen
        exercise = screen.exercise
        self.take("instrument-ready")
        touch(screen.ids.main)
        wait_for(lambda: screen.ids.face.lit == 3, what="the third matra")
        touch(screen.ids.clean)
        self.take("instrument-playing")
        tab_to(lambda: screen.ids.slower.focused)
        self.take("instrument-focus")
        look.by_keys = False
        exercise._in_one_go_s, exercise._unnoted_s = 600.0, 600.0
        touch(screen.ids.main)
        self.take("instrument-resting")
        given = [key_of(n, index) for n in range(3, 7) for index in range(prastara.count(n))]
        now = datetime.now(UTC)
        noted = [PaltaNoted(key, GIVEN, 60.0, now, {}) for key in given]
        begun = {"raga-rest:own:alhaiya_bilawal", "sam:jhumra"}
        exercise._show(vary(noted, begun=begun, day=now.date(), student="m"))
        exercise._rests = False
        screen._show()
        self.take("instrument-seven")
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
            self.take(f"mode-{mode}")
        for mode, which in (("kind", "gap"), ("part", "Ga joins")):
            first.choose_mode(mode)
            screen = self.app.manager.current_screen
            wait_for(lambda screen=screen: not screen.waiting, what="the whole list")
            self.take(f"mode-{mode}-choosing")
            self.app.chosen(Mode(mode, which))
            self.take(f"mode-{mode}")
        first.take(Mode())
        self.app.go("settings")
        settings = self.app._screen("settings")
        settings.ids.roll.scroll_to(settings.ids.lesson, animate=False)
        self.take("lesson-settings")
        settings.ids.practices.children[0].dispatch("on_turn")
        settings.ids.roll.scroll_to(settings.ids.held, animate=False)
        self.take("practices-settings")
        settings.ids.practices.children[0].dispatch("on_turn")
        practice.save(replace(practice.settings, lesson_day=""))
        self.app.go("lesson")
        self.take("lesson-none")
        self.app.go("practice")
        practice.save(replace(practice.settings, lesson_day="thursday"))
        self.app.go("lesson")
        lesson = self.app._screen("lesson")
        wait_for(lambda: not lesson._waiting, what="all the ragas")
        self.take("lesson")
        key("tab")
        self.take("lesson-focus")
        look.by_keys = False
        lesson.ids.roll.scroll_y = 0.5
        self.take("lesson-ragas")
        self.app.go("practice")

    def string_screens(self) -> None:
        drill = self.drill(step("swara:G", met=FIVE, new=True))
        self.take("string-new")
        drill.ask_me()
        self.take("string-asking")
        finger = Finger(*drill.pad.middle_of("m")).go_down()
        self.take("string-pressed")
        finger.come_up()
        self.take("string-heard-otherwise")
        drill = self.drill(step("swara:N", met=TWELVE))
        drill.pad.at_key = "M"
        look.by_keys = True
        focus_on(drill, drill.pad)
        self.take("string-twelve-focus")
        look.by_keys = False
        drill.give("n")
        self.take("string-twelve-heard-otherwise")
        drill = self.drill(step("swara:d", met=WIDE))
        self.take("string-saptaks")
        drill.give("N,")
        self.take("string-saptaks-heard-otherwise")

    def name_screens(self) -> None:
        drill = self.drill(step(GAPS[1], met=GAPS, new=True))
        self.take("names-new")
        drill.ask_me()
        key("tab")
        key("tab")
        self.take("names-asking")
        look.by_keys = False
        key("1")
        self.take("names-told")
        drill = self.drill(step(GAPS[1], met=GAPS, names="size"))
        drill.give(drill._step.question.right[0])
        self.take("names-by-size-right")
        drill = self.drill(step("tune:P"))
        self.take("tune-asking")
        key("escape")
        look.by_keys = False
        self.take("leaving")
        drill.drop()
        self.app.go("drill")
        drill.late = True
        self.take("late")

    def written_screens(self) -> None:
        right = "da dir da ra da ra dir chikari"
        drill = self.drill(written.line_step(right, new=True))
        self.take("written-new")
        drill.ask_me()
        self.take("written-empty")
        for stroke in ["da", "dir", "da", "da", "ra"]:
            drill.writing.write(stroke)
        self.take("written-asking")
        drill.writing.write("dir")
        key("enter")
        look.by_keys = False
        self.take("written-partly")
        drill = self.drill(written.line_step(right, places=8))
        drill.give("ra ra ra")
        self.take("written-otherwise")
        drill = self.drill(written.line_step(" ".join(["da", "dir", "da", "ra"] * 4)))
        drill.give("da dir da ra da dir ra da ra dir ra ra da dir da ra")
        self.take("written-sixteen")
        drill = self.drill(written.line_step(right))
        drill.give(right)
        self.take("written-right")
        drill = self.drill(written.line_step("dha dhin", written.BOLS, places=12))
        for bol in written.BOLS:
            drill.writing.write(bol)
        self.take("written-bols-full")
        swaras = written.line_step("S r G", written.SWARAS, places=15, labels=written.SWARA_LABELS)
        drill = self.drill(swaras)
        for swara in written.SWARAS[:9]:
            drill.writing.write(swara)
        key("tab")
        key("tab")
        self.take("written-swaras")
        look.by_keys = False
        drill.give("S g G N, P")
        self.take("written-swaras-partly")

    def phrase_screens(self) -> None:
        """A phrase that is made on the string and by keys, and told place by place."""
        met = tuple(f"swara:{letter}" for letter in "SRGmPDN")
        drill = self.drill(step("write:all:8", met=met))
        self.take("phrase-empty")
        for swara in ("N", "R", "G"):
            hands.touch_fret(drill.ids.phrase_string, swara)
        self.take("phrase-three")
        slide(drill.ids.phrase_string, "G", "P")
        self.take("phrase-meend")
        for group in ("lengths", "hands"):
            drill.ids.phrase.group = group
            self.take(f"phrase-{group}")
        for name in "56~(m)P.":
            key(name)
        look.by_keys = False
        self.take("phrase-kan")
        drill.ids.phrase.ids.strip.sounding = 2
        self.take("phrase-sounding")
        drill.give(drill.ids.phrase.phrase.text)
        self.take("phrase-told")
        drill = self.drill(step("write:swaras:5", met=met))
        drill.ids.phrase.group = "swaras"
        self.take("phrase-swaras")
        right = drill._step.question.right[0]
        key("S")
        key("tab")
        self.take("phrase-focus")
        look.by_keys = False
        drill.give(right)
        self.take("phrase-right")
        for skill, line in MADE.items():
            drill = self.drill(step(skill, new=True))
            drill._on_keep = lambda question, given: None
            name = "-".join(skill.split(":")[:2])
            self.take(f"{name}-new")
            drill.ask_me()
            drill.ids.phrase.group = "hands"
            self.take(f"{name}-asking")
            if "shades" in drill._step.question.signs:
                drill.ids.phrase.group = "shades"
                self.take(f"{name}-shades")
            drill.give(line or drill._step.question.right[0])
            self.take(f"{name}-told")
            drill.ids.roll.scroll_y = 0.0
            self.take(f"{name}-told-foot")

    def long_names(self) -> None:
        for name, prompt, labels in written.LONG:
            drill = self.drill(written.name_step(prompt, labels, new=True))
            self.take(f"long-{name}-new")
            drill.ask_me()
            self.take(f"long-{name}-asking")
            drill.give("1")
            self.take(f"long-{name}-told")

    def raga_screens(self) -> None:
        """One question of each sort of evidence, with the phrase drawn; sounding in the last."""
        self._told_of(RAGAS_SEEN)

    def stage_screens(self) -> None:
        """One question of each kind on the stages of a performance."""
        self._told_of(STAGES_SEEN)

    def tala_screens(self) -> None:
        """One question of each way to ask of talas, layakari and tihais, with its wheel."""
        self._told_of(TALAS_SEEN)

    def _told_of(self, skills) -> None:
        for beginning in skills:
            met = skills_that_begin(beginning.partition(":")[0])
            skill = skills_that_begin(beginning)[0]
            drill = self.drill(step(skill, met=met, new=True))
            name = beginning.replace(":", "-")
            self.take(f"{name}-new")
            drill.ask_me()
            self.take(f"{name}-asking")
            question = drill._step.question
            wrong = [c.id for c in question.choices if c.id not in question.right]
            if question.is_line:
                keys = question.right[0].split()
                wrong = [" ".join([*keys[1:], keys[0]])]
            elif question.answer_on == "taps":
                wrong = [" ".join(str(int(beat) + 40) for beat in question.right[0].split()[1:])]
            elif question.answer_on == "shares":
                wrong = [" ".join(map(str, drill.sharing.shares))]
            drill.give(wrong[-1])
            length_s = drill._session.seconds_of(drill._explanation.right_cue)
            drill._session.playing = Playing(time.monotonic() + 0.6 * length_s)
            drill.hear_right()
            self.take(f"{name}-told")
            drill.ids.roll.scroll_y = 0.0
            self.take(f"{name}-told-end")

    def deck_questions(self) -> None:
        """Each form of a teacher's question: new, asked, right, and in part or otherwise."""
        for skill in skills_of(TAUGHT):
            asked = {"deck": entry_text(TAUGHT, skill.id), "met": (skill.id,)}
            drill = self.drill(step(skill.id, new=True, **asked))
            name = skill.id.removeprefix("deck:").replace(":", "-")
            self.take(f"{name}-new")
            drill.ask_me()
            self.take(f"{name}-asking")
            question = drill._step.question
            drill.give(question.right[0])
            self.take(f"{name}-right")
            keys = question.right[0].split()
            wrong = [c.id for c in question.choices if c.id not in keys]
            if question.is_line:
                wrong = [" ".join([*keys[1:], keys[0]])]
            elif question.answer_on == "several":
                wrong = [" ".join(keys[:-1])]
            for number, given in enumerate(wrong, 1):
                drill = self.drill(step(skill.id, **asked))
                drill.give(given)
                self.take(f"{name}-told-{number}")
                drill.ids.roll.scroll_y = 0.0
                self.take(f"{name}-told-{number}-end")

    def order_screens(self) -> None:
        """Things to be put in order: lifted by the keys, dragged by a finger, and told."""
        sets = {"hours": written.ORDER, "turns": written.TURNS, "stages": written.STAGES}
        for name, labels in sets.items():
            why = written.PAIRS if name == "stages" else ()
            drill = self.drill(written.order_step(labels, why=why, new=name == "stages"))
            if drill.stage == "new":
                self.take(f"order-{name}-new")
                drill.ask_me()
            self.take(f"order-{name}-asking")
            key("3")
            self.take(f"order-{name}-lifted")
            key("1")
            look.by_keys = False
            plates = {plate.number: plate for plate in drill.ordering.ids.places.children}
            finger = Finger(*plates[2].ids.grip.to_window(*plates[2].ids.grip.center)).go_down()
            _, y = plates[4].to_window(*plates[4].center)
            finger.slide_to(finger.x, y + 14)
            self.take(f"order-{name}-dragged")
            finger.come_up()
            keys = list(labels)
            drill.give(" ".join([*keys[1:], keys[0]]))
            self.take(f"order-{name}-told")
            drill.ids.roll.scroll_y = 0.0
            self.take(f"order-{name}-told-end")
        keys = list(written.STAGES)
        others = " ".join([*keys[:6], keys[7], keys[6], keys[8]])
        for name, given in (("also-right", others), ("one-of-several", " ".join(keys[::-1]))):
            drill = self.drill(written.order_step(written.STAGES, also=(others,)))
            drill.give(given)
            self.take(f"order-{name}")

    def share_screens(self) -> None:
        """Minutes to be shared out among few stages and among many."""
        few = dict(list(written.STAGES.items())[1:4])
        for name, labels, shares, given in (
            ("few", few, (20, 8, 12), "12 14 14"),
            ("many", written.STAGES, (20, 8, 5, 15, 6, 6, 10, 14, 6), "3 10 10 1 1 30 10 20 5"),
        ):
            drill = self.drill(written.shares_step(labels, shares, new=True, why=written.PAIRS))
            drill.ask_me()
            self.take(f"shares-{name}-asking")
            key("2")
            for _ in range(5):
                key("up")
            self.take(f"shares-{name}-keys")
            look.by_keys = False
            bar = drill.sharing.ids.bar
            x, y = bar.to_window(bar.x_of(sum(drill.sharing.shares[:1])), bar.center_y)
            finger = Finger(x, y).go_down()
            finger.slide_to(x - 60, y)
            self.take(f"shares-{name}-dragged")
            finger.come_up()
            drill.give(given)
            self.take(f"shares-{name}-told")
            drill.ids.roll.scroll_y = 0.0
            self.take(f"shares-{name}-told-end")
        drill = self.drill(written.shares_step(few, (20, 8, 12)))
        drill.give("20 8 12")
        self.take("shares-right")

    def tap_screens(self) -> None:
        """The plate before, while and after it is tapped, what is told, and the tap test."""
        asked = step("tap:tali:jhaptal")
        drill = self.drill(step("tap:tali:jhaptal", new=True))
        self.take("taps-new")
        drill = self.drill(asked)
        beats = list(map(int, asked.question.right[0].split()))
        playing = Playing(time.monotonic() + asked.question.cue.duration_s - 3.0)
        drill._session.playing = playing
        drill.listen()
        self.take("taps-asking")
        drill.tapping.ids.plate.tap()
        self.take("taps-tapped")
        playing.end_by(time.monotonic() - 0.1)
        frames(1)
        drill.tapping._sent = True  # or else it goes out under the picture
        self.take("taps-ended")
        offs = (-35, 12, 148, 0, -8, 61, -90, 22)
        drill.give(" ".join(str(beat + off) for beat, off in zip(beats, offs, strict=False)))
        self.take("taps-told")
        drill.ids.roll.scroll_y = 0.0
        self.take("taps-told-end")
        drill = self.drill(asked)
        drill.give(" ".join(map(str, beats)))
        self.take("taps-right")
        drill.drop()
        self.app.go("tap test")
        screen = self.app._screen("tap test")
        self.take("tap-test-ready")
        screen.begin()
        frames(2)
        screen.ids.plate.tap()
        self.take("tap-test-tapping")
        began = screen._playing.ends_at - screen._length_s
        for number, beat in enumerate(map(float, beats_ms())):
            screen.take(began + (beat + 84 + 9 * (number % 3)) / 1000)
        screen._measure()
        self.take("tap-test-measured")
        screen.begin()
        screen._measure()
        self.take("tap-test-refused")
        screen.on_close()
        settings = self.app._screen("settings")
        settings.ids.roll.scroll_to(settings.ids.forget, animate=False)
        self.take("tap-settings")

    def wheel_screens(self) -> None:
        """Wheels to answer on and to look at: plain, blind, with what is said of a matra, with
        spans; at rest, chosen on, alight, and told."""
        why = ("Counted from sam, the third vibhag begins on matra 9, which is waved.",)
        for name, form in {
            "tintal": wheels.TINTAL,
            "dhamar": wheels.DHAMAR,
            "longest": wheels.LONGEST,
        }.items():
            wheel = Wheel(form, turning=wheels.turning(form.matras))
            told = replace(wheel, marked=((form.khali[-1], "khali"),))
            cue = wheels.cue(form.matras)
            asked = written.wheel_step(wheel, form.khali[-1], told=told, cue=cue, why=why)
            drill = self.drill(asked)
            self.take(f"wheel-{name}-asking")
            key("1")
            key("1")
            look.by_keys = False
            self._sound(drill, 5, drill.listen)
            self.take(f"wheel-{name}-chosen")
            drill.give("11")
            self._sound(drill, 8, drill.hear_right)
            self.take(f"wheel-{name}-told")
        blind = wheels.BLIND
        told = Wheel(wheels.TINTAL, turning=blind.turning, marked=((1, "sam"),))
        drill = self.drill(written.wheel_step(blind, 13, told=told, cue=wheels.cue(16), why=why))
        key("4")
        look.by_keys = False
        self._sound(drill, 6, drill.listen)
        self.take("wheel-blind-asking")
        drill.give("13")
        self.take("wheel-blind-right")
        for name, wheel in {"tihai": wheels.SPANNED, "wound": wheels.WOUND}.items():
            labels = ("It lands on sam", "It lands half a matra too early", "It lands on matra 2")
            labels += ("It lands a whole matra too late",)
            wheel = replace(wheel, marked=((1, "it ends here"), (9, "it begins")))
            asked = written.wheel_step(
                wheel.still(),
                1,
                told=wheel,
                cue=wheels.cue(32),
                labels=labels,
                why=written.PAIRS[:2],
                prompt="A tihai begins after sam. Where does it land?",
            )
            drill = self.drill(asked)
            self.take(f"wheel-{name}-asking")
            drill.give("2")
            self._sound(drill, 6.5, drill.hear_right)
            self.take(f"wheel-{name}-told")

    def desk_screens(self) -> None:
        """The teacher's desk: decks, a deck, the form of each kind, keypad, chooser, arrivals."""
        practice = self.app.practice
        for path in sorted(DECKS.glob("*.toml")):
            practice.shelf.take(practice.shelf.look(path))
        wrong = (DECKS / "our-alap.toml").read_text("utf-8").replace('"our-alap"', '"other-alap"')
        practice.shelf.write("other-alap", wrong.replace("prompt", "promt", 1))
        self.app.go("desk")
        desk = self.app._screen("desk")
        self.take("desk")
        row = desk.ids.rows.children[-1]
        row.dispatch("on_turn")
        row.remove()
        self.take("desk-removing")
        row.remove()
        self.take("desk-removed")
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
            self.take(f"desk-{name}")
        ways, folder = self.app.desk, Path(tempfile.mkdtemp())
        (folder / "sheet.csv").write_text(SHEET, "utf-8")
        (folder / "wrong.toml").write_text(wrong.replace("prompt", "promt"), "utf-8")
        for path in (DECKS / "first-gaps.toml", folder / "sheet.csv", folder / "wrong.toml"):
            ways.bring(path, back="desk")
            self.take(f"desk-arriving-{path.stem}")
        self._tradition_screens()
        self.app.go("practice")

    def _tradition_screens(self) -> None:
        """The list, a raga with a fact open, the keypad, what is wrong, and an order of stages."""
        practice = self.app.practice
        practice.shelf.write_tradition(TRADITION)
        self.app.go("tradition")
        screen = self.app.manager.current_screen
        self.take("tradition")
        screen.choose("durga")
        rows = {row.fact.title: row for row in screen._rows}
        for title in ("Vadi and samvadi", "Rests on", "Gait"):
            rows[title].turn()
            frames(4)
            screen.ids.roll.scroll_to(rows[title].ids.plate, animate=False)
            self.take(f"tradition-{title.split()[0].lower()}")
        rows["Rests on"]._fields[0].field.focus = True
        self.take("tradition-keypad")
        screen.put_pad_away()
        screen.back()
        screen._turn_to("stage")
        screen.choose("jor")
        screen.ids.roll.scroll_y = 0.6
        self.take("tradition-order")
        practice.shelf.write_tradition("")

    def _deck_screens(self, name: str, seen: set[str]) -> None:
        """One deck, and each kind of question in it, but those seen, from above to below."""
        deck = self.app.manager.current_screen
        wait_for(lambda: len(deck.rows.children) == len(deck.editing.entries), what="its rows")
        deck.rows.children[-1].dispatch("on_turn")
        self.take(f"deck-{name}")
        deck.ids.roll.scroll_y = 0.0
        self.take(f"deck-{name}-foot")
        for at, entry in enumerate(deck.editing.entries):
            if entry["kind"] in seen:
                continue
            seen.add(entry["kind"])
            self.app.desk.edit(deck.editing, at)
            form = self.app.manager.current_screen
            for number, place in enumerate((1.0, 0.6, 0.25, 0.0), 1):
                form.ids.roll.scroll_y = place
                self.take(f"form-{name}-{entry['kind']}-{number}")
            fields = [each for each in form.walk() if isinstance(each, SargamField)]
            if fields and entry["kind"] == "choose-one":
                fields[0].focus = True
                fields[0].insert_text(" R Xm")
                frames(6)
                self.take(f"form-{name}-keypad")
                form.pad.hands = True
                self.take(f"form-{name}-keypad-hands")
                form.pad.hands = False
                form.put_pad_away()
                self.take(f"form-{name}-fault")
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
        self.take("course-new")
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
            part._turn([name], on=True)
            self.take(f"course-adding-{field}")
        adding.add()
        course.set_pace(4)
        course.editing.put(0, kinds=["gasp"])
        self.take("course-faulty")
        course.editing.undo()
        self.take("course")
        course.ids.roll.scroll_y = 0.0
        self.take("course-foot")
        course._on_step(course.editing, 0)
        self.take("course-step")
        self.app.go("courses")
        wait_for(lambda: courses.ids.rows.children, what="the courses")
        self.take("courses")
        courses._on_look("sitar-certificate")
        self.take("course-look")
        self.app.manager.current_screen.copy()
        course = self.app.manager.current_screen
        course._on_step(course.editing, 0)
        self.take("course-step-by-hand")
        self.app.go("practice")

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
                self.take(f"taken-{tab}-{count}")
                if tab == "days":
                    shown.children[0].scroll_y = 0.0
                    self.take(f"taken-days-{count}-end")
        screen, shown = self._tab("ragas")
        shown.pick(shown._matrix.worst(1)[0])
        self.take("taken-picked")
        screen.shut()
        shown.board.cells.focused = look.by_keys = True
        self.take("taken-focus")
        look.by_keys = shown.board.cells.focused = False
        screen, shown = self._tab("days")
        shown.ids.bars.take_key("left")
        self.take("taken-day-picked")
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
            self.take(f"gaps-{count}")
            tab = screen._tabs["gaps"]
            if count:
                focus_on(screen, tab.arcs)
                key("right")
                self.take(f"gaps-{count}-picked")
                look.by_keys = False
                screen.shut()
        tab.take_way("up")
        self.take("gaps-up")

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
            self.take(f"lesson-page-{count}-read")
            wait_for(lambda screen=screen: screen.page, what="the page")
            for number, place in enumerate((1.0, 0.6, 0.3, 0.0), 1):
                screen.ids.roll.scroll_y = place
                self.take(f"lesson-page-{count}-{number}")
        screen.done = "Written: pages/anasuya-2026-11-29.pdf"
        screen.ids.roll.to_top()
        tab_to(lambda: screen.ids.png.focused)
        self.take("lesson-page-written")
        look.by_keys = False
        self.app.go("class page")
        screen = self.app.manager.current_screen
        wait_for(lambda: screen.page and not screen.waiting, what="the class of one")
        self.take("class-page-one")
        students = Students(practice.home)
        for number, name in enumerate(("Anasuya Venkataraghavan", "मीरा शर्मा", "Jo", "Noor")):
            other = Practice(students.add(name).folder, home=practice.home, speaker="silence")
            hear_gaps(other, (12, 300, 900, 40)[number], seed=number)
            other.close()
        (students.add("Zia").folder / "log.sqlite").write_bytes(b"no log at all" * 99)
        self.app.go("practice")
        self.app.go("class page")
        self.take("class-page-read")
        wait_for(lambda: screen.page and not screen.waiting, what="the class")
        for number, place in enumerate((1.0, 0.5, 0.0), 1):
            screen.ids.roll.scroll_y = place
            self.take(f"class-page-{number}")
        screen.open(next(one for one in screen.page.students if one.name.startswith("मीरा")))
        page = self.app.manager.current_screen
        wait_for(lambda: page.page, what="another student's page")
        self.take("class-page-student")
        page.back()
        self.app.go("practice")

    def in_step_screens(self) -> None:
        """The folder kept in step in the settings: none, one with others' answers, one that is
        gone."""
        self.app.go("settings")
        settings = self.app._screen("settings")
        part = settings.ids.in_step
        settings.ids.roll.scroll_to(part, animate=False)
        self.take("in-step-none")
        cloud = self.folder / "in-step-folder"
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
            self.take("in-step-taken" if part.strangers == [] else "in-step-found")
        settings.ids.roll.scroll_to(part.ids.takes_all, animate=False)
        self.take("in-step-foot")
        shutil.rmtree(cloud)
        part.look()
        wait_for(lambda: not part.is_looking, what="a look into the folder")
        self.take("in-step-gone")
        part.keep_none()
        self.app.go("practice")

    def student_screens(self) -> None:
        """One student, a few and many; then answers that leave and that come in."""
        practice, app = self.app.practice, self.app
        students = Students(practice.home)
        app.go("students")
        screen = app._screen("students")
        self.take("students-one")
        for name in ("Asha", "Asha", "राम कुमार", "আশা Rao", "தமிழ்", LONG_NAME, "Ravi", "Nila"):
            students.add(name)
        spoilt = students.add("Spoilt")
        (spoilt.folder / "settings.json").write_text("{")
        students.set_aside(students.named("Nila"))
        screen.on_pre_enter()
        row = screen.ids.rows.children[-1]
        row.dispatch("on_turn")
        row.children[0].set_aside()
        self.take("students")
        screen.ids.roll.scroll_y = 0.0
        self.take("students-foot")
        screen.ids.roll.to_top()
        screen.begin_adding()
        self.take("students-adding")
        screen.leave_adding()
        app.go("practice")
        self.take("first-of-several")
        miss_some(practice)
        app.go("settings")
        settings = app._screen("settings")
        settings.ids.roll.scroll_to(settings.ids.students, animate=False)
        self.take("students-settings")
        settings.ids.answers._write(practice.home, settings.ids.answers._tell)
        wait_for(lambda: not settings.ids.answers.busy, what="the file")
        self.take("answers-settings")
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
                self.take(f"answers-{device}{'-spoilt' * spoilt}")
                screen.back()

    def kept_phrase_screens(self) -> None:
        """Phrases that were kept: one's own, what a raga says, one let go; a student's, and where
        one is to go."""
        app, practice = self.app, self.app.practice
        for minute, (line, raga) in enumerate(KEPT.items()):
            noted(app, line, raga=raga, minute=minute)
        app.go("settings")
        app.go("practice")
        self.take("phrases-first")
        app.go("phrases")
        screen = app.manager.current_screen
        screen.rows[1].sounding = 2
        self.take("phrases-kept")
        screen.rows[1].says = True
        screen.do(screen.rows[2])
        self.take("phrases-kept-said")
        screen.ids.roll.scroll_y = 0.0
        self.take("phrases-kept-foot")
        look.by_keys = True
        focus_on(screen, screen.rows[0].ids.plate)
        self.take("phrases-kept-focus")
        look.by_keys = False
        for row in screen.rows:
            if not row.gone:
                screen.do(row)
        app.go("practice")
        app.go("phrases")
        self.take("phrases-kept-none")
        for line, raga in KEPT.items():
            noted(app, line, raga=raga, minute=30 + list(KEPT).index(line))
        miss_some(practice)
        practice.shelf.take(practice.shelf.look(DECKS / "first-gaps.toml"))
        app.go("lesson page")
        page = app.manager.current_screen
        wait_for(lambda: page.page is not None and not page.waiting, what="the page")
        self.take("phrases-lesson-page")
        page.show_phrases()
        screen = app.manager.current_screen
        self.take("phrases-of-student")
        screen.do(screen.rows[0])
        self.take("phrases-which-deck")
        app.manager.current_screen.make()
        self.take("phrases-form")
        app.go("practice")

    @staticmethod
    def _sound(drill, matras, play) -> None:
        """Let what is played have come so many matras far, for the while of a picture."""
        at_s = wheels.LEAD_S + matras * 60 / float(wheels.PER_MIN)
        cue = drill._step.question.cue
        drill._session.playing = Playing(time.monotonic() + cue.duration_s - at_s)
        play()

    def kind_screens(self) -> None:
        """One question of each of the kinds with the longest words."""
        for skill in KINDS_SEEN:
            kind = skill.partition(":")[0]
            met = tuple(known.id for known in KINDS[kind].skills())
            drill = self.drill(step(skill, met=met, new=True))
            name = skill.replace(":", "-")
            self.take(f"{name}-new")
            drill.ask_me()
            self.take(f"{name}-asking")
            question = drill._step.question
            wrong = next(c.id for c in question.choices if c.id not in question.right)
            if question.is_line:
                keys = question.right[0].split()
                wrong = " ".join([*keys[:2], *keys[3:]])
            drill.give(wrong)
            self.take(f"{name}-told")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--sizes", nargs="+", default=SIZES)
    parser.add_argument("--text", default="usual")
    parser.add_argument("--left-handed", action="store_true")
    parser.add_argument("--high-contrast", action="store_true")
    parser.add_argument("--language", default="en")
    parser.add_argument("--letters", default="")
    parser.add_argument("--parts", nargs="+", default=PARTS, choices=PARTS)
    options = parser.parse_args()
    options.folder.mkdir(parents=True, exist_ok=True)
    for size in options.sizes:
        width, height = map(int, size.split("x"))
        practice = Practice(Path(tempfile.mkdtemp()), speaker="silence")
        practice.save(
            replace(
                practice.settings,
                cautions_seen=True,
                text_size=options.text,
                left_handed=options.left_handed,
                high_contrast=options.high_contrast,
                language=options.language,
                letters=options.letters,
            )
        )
        with opened.app_on(practice, (width, height)) as app:
            album = Album(app, options.folder, size)
            for part in options.parts:
                getattr(album, part)()
        practice.close()


if __name__ == "__main__":
    main()

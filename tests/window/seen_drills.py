"""Questions while they are new, asked and told: each way of answering by names, on the string or
in writing, and each kind."""

from __future__ import annotations

import time

from audio.speakers import Playing
from quizzes import KINDS
from quizzes.decks.asking import entry_text, skills_of
from quizzes.stages.asking import StageKind
from screens.keys import focus_on
from screens.look import look
from tests.window import written
from tests.window.hands import Finger, key
from tests.window.scripted import FIVE, GAPS, TWELVE, WIDE, skills_that_begin, step
from tests.window.teachers import TAUGHT

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


class SeenDrills:
    """Drills of questions, while they are new, asked and told."""

    def string_screens(self) -> None:
        drill = self.drill(step("swara:G", met=FIVE, new=True))
        self.see("string-new")
        drill.ask_me()
        self.see("string-asking")
        finger = Finger(*drill.pad.middle_of("m")).go_down()
        self.see("string-pressed")
        finger.come_up()
        self.see("string-heard-otherwise")
        drill = self.drill(step("swara:N", met=TWELVE))
        drill.pad.at_key = "M"
        look.by_keys = True
        focus_on(drill, drill.pad)
        self.see("string-twelve-focus")
        look.by_keys = False
        drill.give("n")
        self.see("string-twelve-heard-otherwise")
        drill = self.drill(step("swara:d", met=WIDE))
        self.see("string-saptaks")
        drill.give("N,")
        self.see("string-saptaks-heard-otherwise")

    def name_screens(self) -> None:
        drill = self.drill(step(GAPS[1], met=GAPS, new=True))
        self.see("names-new")
        drill.ask_me()
        key("tab")
        key("tab")
        self.see("names-asking")
        look.by_keys = False
        key("1")
        self.see("names-told")
        drill = self.drill(step(GAPS[1], met=GAPS, names="size"))
        drill.give(drill._step.question.right[0])
        self.see("names-by-size-right")
        drill = self.drill(step("tune:P"))
        self.see("tune-asking")
        key("escape")
        look.by_keys = False
        self.see("leaving")
        drill.drop()
        self.app.go("drill")
        drill.late = True
        self.see("late")

    def written_screens(self) -> None:
        right = "da dir da ra da ra dir chikari"
        drill = self.drill(written.line_step(right, new=True))
        self.see("written-new")
        drill.ask_me()
        self.see("written-empty")
        for stroke in ["da", "dir", "da", "da", "ra"]:
            drill.writing.write(stroke)
        self.see("written-asking")
        drill.writing.write("dir")
        key("enter")
        look.by_keys = False
        self.see("written-partly")
        drill = self.drill(written.line_step(right, places=8))
        drill.give("ra ra ra")
        self.see("written-otherwise")
        drill = self.drill(written.line_step(" ".join(["da", "dir", "da", "ra"] * 4)))
        drill.give("da dir da ra da dir ra da ra dir ra ra da dir da ra")
        self.see("written-sixteen")
        drill = self.drill(written.line_step(right))
        drill.give(right)
        self.see("written-right")
        drill = self.drill(written.line_step("dha dhin", written.BOLS, places=12))
        for bol in written.BOLS:
            drill.writing.write(bol)
        self.see("written-bols-full")
        swaras = written.line_step("S r G", written.SWARAS, places=15, labels=written.SWARA_LABELS)
        drill = self.drill(swaras)
        for swara in written.SWARAS[:9]:
            drill.writing.write(swara)
        key("tab")
        key("tab")
        self.see("written-swaras")
        look.by_keys = False
        drill.give("S g G N, P")
        self.see("written-swaras-partly")

    def long_names(self) -> None:
        for name, prompt, labels in written.LONG:
            drill = self.drill(written.name_step(prompt, labels, new=True))
            self.see(f"long-{name}-new")
            drill.ask_me()
            self.see(f"long-{name}-asking")
            drill.give("1")
            self.see(f"long-{name}-told")

    def kind_screens(self) -> None:
        """One question of each of the kinds with the longest words."""
        for skill in KINDS_SEEN:
            kind = skill.partition(":")[0]
            met = tuple(known.id for known in KINDS[kind].skills())
            drill = self.drill(step(skill, met=met, new=True))
            name = skill.replace(":", "-")
            self.see(f"{name}-new")
            drill.ask_me()
            self.see(f"{name}-asking")
            question = drill._step.question
            wrong = next(c.id for c in question.choices if c.id not in question.right)
            if question.is_line:
                keys = question.right[0].split()
                wrong = " ".join([*keys[:2], *keys[3:]])
            drill.give(wrong)
            self.see(f"{name}-told")

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
            self.see(f"{name}-new")
            drill.ask_me()
            self.see(f"{name}-asking")
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
            self.see(f"{name}-told")
            if drill.ids.roll.viewport_size[1] > drill.ids.roll.height:
                drill.ids.roll.scroll_y = 0.0
                self.see(f"{name}-told-end")

    def deck_questions(self) -> None:
        """Each form of a teacher's question: new, asked, right, and in part or otherwise."""
        for skill in skills_of(TAUGHT):
            asked = {"deck": entry_text(TAUGHT, skill.id), "met": (skill.id,)}
            drill = self.drill(step(skill.id, new=True, **asked))
            name = skill.id.removeprefix("deck:").replace(":", "-")
            self.see(f"{name}-new")
            drill.ask_me()
            self.see(f"{name}-asking")
            question = drill._step.question
            drill.give(question.right[0])
            self.see(f"{name}-right")
            keys = question.right[0].split()
            wrong = [c.id for c in question.choices if c.id not in keys]
            if question.is_line:
                wrong = [" ".join([*keys[1:], keys[0]])]
            elif question.answer_on == "several":
                wrong = [" ".join(keys[:-1])]
            for number, given in enumerate(wrong, 1):
                drill = self.drill(step(skill.id, **asked))
                drill.give(given)
                self.see(f"{name}-told-{number}")
                drill.ids.roll.scroll_y = 0.0
                self.see(f"{name}-told-{number}-end")

"""Questions that are answered on a pad of their own: phrases, orders, shares, taps and wheels."""

from __future__ import annotations

import time
from dataclasses import replace

from audio.speakers import Playing
from practice.latency import beats_ms
from quizzes.wheel import Wheel
from screens.look import look
from tests.window import hands, wheels, written
from tests.window.hands import Finger, frames, key, slide
from tests.window.scripted import step

MADE = {
    "raga-make:meend:yaman": "M P m G R S",
    "raga-make:answer:yaman": "",
    "make:loudness": "S R_",
}
"""Wishes, and what is made under each; "" for one that keeps it."""


class SeenPads:
    """Drills on each pad, while something is made on it and when it is told."""

    def phrase_screens(self) -> None:
        """A phrase that is made on the string and by keys, and told place by place."""
        met = tuple(f"swara:{letter}" for letter in "SRGmPDN")
        drill = self.drill(step("write:all:8", met=met))
        self.see("phrase-empty")
        for swara in ("N", "R", "G"):
            hands.touch_fret(drill.ids.phrase_string, swara)
        self.see("phrase-three")
        slide(drill.ids.phrase_string, "G", "P")
        self.see("phrase-meend")
        for group in ("lengths", "hands"):
            drill.ids.phrase.group = group
            self.see(f"phrase-{group}")
        for name in "56~(m)P.":
            key(name)
        look.by_keys = False
        self.see("phrase-kan")
        drill.ids.phrase.ids.strip.sounding = 2
        self.see("phrase-sounding")
        drill.give(drill.ids.phrase.phrase.text)
        self.see("phrase-told")
        drill = self.drill(step("write:swaras:5", met=met))
        drill.ids.phrase.group = "swaras"
        self.see("phrase-swaras")
        right = drill._step.question.right[0]
        key("S")
        key("tab")
        self.see("phrase-focus")
        look.by_keys = False
        drill.give(right)
        self.see("phrase-right")
        for skill, line in MADE.items():
            drill = self.drill(step(skill, new=True))
            drill._on_keep = lambda question, given: None
            name = "-".join(skill.split(":")[:2])
            self.see(f"{name}-new")
            drill.ask_me()
            drill.ids.phrase.group = "hands"
            self.see(f"{name}-asking")
            if "shades" in drill._step.question.signs:
                drill.ids.phrase.group = "shades"
                self.see(f"{name}-shades")
            drill.give(line or drill._step.question.right[0])
            self.see(f"{name}-told")
            drill.ids.roll.scroll_y = 0.0
            self.see(f"{name}-told-foot")

    def order_screens(self) -> None:
        """Things to be put in order: lifted by the keys, dragged by a finger, and told."""
        sets = {"hours": written.ORDER, "turns": written.TURNS, "stages": written.STAGES}
        for name, labels in sets.items():
            why = written.PAIRS if name == "stages" else ()
            drill = self.drill(written.order_step(labels, why=why, new=name == "stages"))
            if drill.stage == "new":
                self.see(f"order-{name}-new")
                drill.ask_me()
            self.see(f"order-{name}-asking")
            key("3")
            self.see(f"order-{name}-lifted")
            key("1")
            look.by_keys = False
            plates = {plate.number: plate for plate in drill.ordering.ids.places.children}
            finger = Finger(*plates[2].ids.grip.to_window(*plates[2].ids.grip.center)).go_down()
            _, y = plates[4].to_window(*plates[4].center)
            finger.slide_to(finger.x, y + 14)
            self.see(f"order-{name}-dragged")
            finger.come_up()
            keys = list(labels)
            drill.give(" ".join([*keys[1:], keys[0]]))
            self.see(f"order-{name}-told")
            drill.ids.roll.scroll_y = 0.0
            self.see(f"order-{name}-told-end")
        keys = list(written.STAGES)
        others = " ".join([*keys[:6], keys[7], keys[6], keys[8]])
        for name, given in (("also-right", others), ("one-of-several", " ".join(keys[::-1]))):
            drill = self.drill(written.order_step(written.STAGES, also=(others,)))
            drill.give(given)
            self.see(f"order-{name}")

    def share_screens(self) -> None:
        """Minutes to be shared out among few stages and among many."""
        few = dict(list(written.STAGES.items())[1:4])
        for name, labels, shares, given in (
            ("few", few, (20, 8, 12), "12 14 14"),
            ("many", written.STAGES, (20, 8, 5, 15, 6, 6, 10, 14, 6), "3 10 10 1 1 30 10 20 5"),
        ):
            drill = self.drill(written.shares_step(labels, shares, new=True, why=written.PAIRS))
            drill.ask_me()
            self.see(f"shares-{name}-asking")
            key("2")
            for _ in range(5):
                key("up")
            self.see(f"shares-{name}-keys")
            look.by_keys = False
            bar = drill.sharing.ids.bar
            x, y = bar.to_window(bar.x_of(sum(drill.sharing.shares[:1])), bar.center_y)
            finger = Finger(x, y).go_down()
            finger.slide_to(x - 60, y)
            self.see(f"shares-{name}-dragged")
            finger.come_up()
            drill.give(given)
            self.see(f"shares-{name}-told")
            drill.ids.roll.scroll_y = 0.0
            self.see(f"shares-{name}-told-end")
        drill = self.drill(written.shares_step(few, (20, 8, 12)))
        drill.give("20 8 12")
        self.see("shares-right")

    def tap_screens(self) -> None:
        """The plate before, while and after it is tapped, what is told, and the tap test."""
        asked = step("tap:tali:jhaptal")
        drill = self.drill(step("tap:tali:jhaptal", new=True))
        self.see("taps-new")
        drill = self.drill(asked)
        beats = list(map(int, asked.question.right[0].split()))
        playing = Playing(time.monotonic() + asked.question.cue.duration_s - 3.0)
        drill._session.playing = playing
        drill.listen()
        self.see("taps-asking")
        drill.tapping.ids.plate.tap()
        self.see("taps-tapped")
        playing.end_by(time.monotonic() - 0.1)
        frames(1)
        drill.tapping._sent = True  # or else it goes out under the picture
        self.see("taps-ended")
        offs = (-35, 12, 148, 0, -8, 61, -90, 22)
        drill.give(" ".join(str(beat + off) for beat, off in zip(beats, offs, strict=False)))
        self.see("taps-told")
        drill.ids.roll.scroll_y = 0.0
        self.see("taps-told-end")
        drill = self.drill(asked)
        drill.give(" ".join(map(str, beats)))
        self.see("taps-right")
        drill.drop()
        self.app.go("tap test")
        screen = self.app._screen("tap test")
        self.see("tap-test-ready")
        screen.begin()
        frames(2)
        screen.ids.plate.tap()
        self.see("tap-test-tapping")
        began = screen._playing.ends_at - screen._length_s
        for number, beat in enumerate(map(float, beats_ms())):
            screen.take(began + (beat + 84 + 9 * (number % 3)) / 1000)
        screen._measure()
        self.see("tap-test-measured")
        screen.begin()
        screen._measure()
        self.see("tap-test-refused")
        screen.on_close()
        settings = self.app._screen("settings")
        settings.ids.roll.scroll_to(settings.ids.forget, animate=False)
        self.see("tap-settings")

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
            self.see(f"wheel-{name}-asking")
            key("1")
            key("1")
            look.by_keys = False
            self._sound(drill, 5, drill.listen)
            self.see(f"wheel-{name}-chosen")
            drill.give("11")
            self._sound(drill, 8, drill.hear_right)
            self.see(f"wheel-{name}-told")
        blind = wheels.BLIND
        told = Wheel(wheels.TINTAL, turning=blind.turning, marked=((1, "sam"),))
        drill = self.drill(written.wheel_step(blind, 13, told=told, cue=wheels.cue(16), why=why))
        key("4")
        look.by_keys = False
        self._sound(drill, 6, drill.listen)
        self.see("wheel-blind-asking")
        drill.give("13")
        self.see("wheel-blind-right")
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
            self.see(f"wheel-{name}-asking")
            drill.give("2")
            self._sound(drill, 6.5, drill.hear_right)
            self.see(f"wheel-{name}-told")

    @staticmethod
    def _sound(drill, matras, play) -> None:
        """Let what is played have come so many matras far, for the while of a picture."""
        at_s = wheels.LEAD_S + matras * 60 / float(wheels.PER_MIN)
        cue = drill._step.question.cue
        drill._session.playing = Playing(time.monotonic() + cue.duration_s - at_s)
        play()

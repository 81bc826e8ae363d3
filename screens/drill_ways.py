"""The ways to answer in the drill: on the string, by a name or several, in writing, as a phrase, in
order, in shares, in time, on a wheel.

Each brings one question to its part of the drill's screen, takes the keys meant for it, and shows
what was and what was given.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from kivy.uix.widget import Widget

from audio.speakers import Playing
from audio.tuning import load_tuning
from practice import Session
from practice.own_line import matra_s_of, own_score
from quizzes import Question
from quizzes.question import KEYS_APART
from screens.following import Following
from screens.key_words import Said
from screens.keys import focus_on, focused_in
from screens.numbers import keyed
from screens.verdict import done
from screens.widgets import ChoicePlate
from words import say, to_say

if TYPE_CHECKING:
    from screens.drill import DrillScreen


class Way(Protocol):
    """One way to answer."""

    always_said: bool
    """Whether how it goes is said at every question, as it changes what is asked."""

    def offer(self, question: Question) -> None:
        """Show what can be answered, with nothing marked."""

    def how(self) -> str:
        """How an answer is given, in a line."""

    def present(self, question: Question) -> None:
        """Show the right answer of a new skill, where the way can."""

    def live(self, live: bool) -> None:
        """Whether an answer is waited for just now."""

    def sounds(self, playing: Playing, session: Session) -> None:
        """The cue of the question begins to sound, for the first time or again."""

    def tell(self, *, was: str, given: str) -> None:
        """Mark what was and what was given."""

    def take_key(self, name: str) -> bool:
        """A key while an answer is waited for; True if it was used."""

    def key_words(self) -> tuple[Said, ...]:
        """What keys do then."""

    def take_back(self) -> bool:
        """Undo what has only been begun, such as a thing that is lifted; True if there was any."""

    def main_thing(self) -> Widget | None:
        """What Enter presses while nothing is focused."""


class ByName:
    """One of several names, each with the key that stands before it."""

    always_said = False

    def __init__(self, screen: DrillScreen) -> None:
        self._screen = screen

    def offer(self, question: Question) -> None:
        self._question = question
        choices = self._screen.ids.choices
        choices.clear_widgets()
        for key, choice in keyed(question.choices):
            plate = ChoicePlate(choice_id=choice.id, label=choice.label, key=key)
            plate.bind(on_release=lambda plate: self.choose(plate))
            choices.add_widget(plate)

    def how(self) -> str:
        return say("Touch your answer.")

    def choose(self, plate: ChoicePlate) -> None:
        """One name was touched."""
        self._screen.give(plate.choice_id)

    def present(self, question: Question) -> None:
        pass  # a name among others would only be read

    def live(self, live: bool) -> None:
        for plate in self._screen.ids.choices.children:
            plate.can_focus = live
            plate.disabled = self._screen.stage == "new"

    def sounds(self, playing: Playing, session: Session) -> None:
        pass

    def tell(self, *, was: str, given: str) -> None:
        marks = dict.fromkeys((*self._question.right, was), "was")
        marks[given] = "right" if given == was else "otherwise"
        for plate in self._screen.ids.choices.children:
            plate.given_word = done(self._screen.verb)
            plate.mark = marks.get(plate.choice_id, "aside")

    def take_key(self, name: str) -> bool:
        plates = {plate.key: plate for plate in self._screen.ids.choices.children}
        plate = plates.get(name.lower())
        if plate is not None:
            plate.press()
        return plate is not None

    def key_words(self) -> tuple[Said, ...]:
        keys = [plate.key for plate in self._screen.ids.choices.children[::-1] if plate.key]
        return ((", ".join(keys), say("The answer that the key stands before")),)

    def take_back(self) -> bool:
        return False

    def main_thing(self) -> Widget | None:
        return None


class BySet(ByName):
    """Several of these names: each is chosen, or left again, by a touch; then the set is sent."""

    always_said = True

    def offer(self, question: Question) -> None:
        super().offer(question)
        for plate in self._plates():
            plate.tick = "open"
        self._screen.chosen = 0

    def how(self) -> str:
        return say("Choose all that are right, then Answer.")

    def choose(self, plate: ChoicePlate) -> None:
        if self._screen.stage == "asking" and not self._screen.leaving:
            plate.tick = "open" if plate.tick == "chosen" else "chosen"
            self._screen.chosen = len(self._chosen())

    def send(self) -> None:
        """Answer with what is chosen, if anything is."""
        if chosen := self._chosen():
            self._screen.give(KEYS_APART.join(chosen))

    def _plates(self) -> list[ChoicePlate]:
        return self._screen.ids.choices.children[::-1]

    def _chosen(self) -> list[str]:
        """In the order of the choices."""
        return [plate.choice_id for plate in self._plates() if plate.tick == "chosen"]

    def tell(self, *, was: str, given: str) -> None:
        rights, chosen = (set(self._question.chosen(line)) for line in (was, given))
        for plate in self._plates():
            plate.tick = ""
            plate.given_word = done(self._screen.verb)
            here = plate.choice_id
            if here in rights:
                plate.mark = "right" if here in chosen else "was"
            else:
                plate.mark = "otherwise" if here in chosen else "aside"

    def take_key(self, name: str) -> bool:
        used = super().take_key(name)
        if used:
            focus_on(self._screen, None)  # so that Enter sends the answer
        return used

    def main_thing(self) -> Widget | None:
        return self._screen.ids.actions.children[0].ids.answer


class OnString:
    """A fret of the playing string; letters and arrows are its keys."""

    always_said = False

    def __init__(self, screen: DrillScreen) -> None:
        self._screen = screen
        screen.pad.bind(on_answer=lambda _, swara: screen.give(swara))
        screen.ids.saptaks.pad = screen.pad

    def offer(self, question: Question) -> None:
        pad = self._screen.pad
        pad.tuning = load_tuning(question.setting.tuning)
        pad.ask([choice.id for choice in question.choices])
        self._screen.ids.saptaks.show()

    def how(self) -> str:
        if len(self._screen.pad.octaves()) > 1:
            return say("Choose the saptak, then touch its fret on the string.")
        return say("Touch its fret on the string.")

    def present(self, question: Question) -> None:
        self._screen.pad.shown = question.right[0]

    def live(self, live: bool) -> None:
        pad = self._screen.pad
        pad.live = live
        if live:
            pad.shown = ""

    def sounds(self, playing: Playing, session: Session) -> None:
        pass

    def tell(self, *, was: str, given: str) -> None:
        self._screen.pad.tell(was=was, heard=given)

    def take_key(self, name: str) -> bool:
        pad = self._screen.pad
        if len(name) == 1:
            return pad.take_letter(name)
        if name in ("left", "right", "up", "down") and not pad.focused:
            if not pad.take_key(name):
                return False
            focus_on(self._screen, pad)
            return True
        return False

    def key_words(self) -> tuple[Said, ...]:
        return tuple(self._screen.pad.key_words())

    def take_back(self) -> bool:
        return False

    def main_thing(self) -> Widget | None:
        return None


class OnPad:
    """A pad of its own, of the screen's part `name`, on which an answer is made ready and sent."""

    always_said = False
    name: str
    said: str
    """How an answer is given; to be said."""

    def __init__(self, screen: DrillScreen) -> None:
        self._screen, self.pad = screen, screen.ids[self.name]
        self.pad.bind(on_answer=lambda _, line: screen.give(line))

    def offer(self, question: Question) -> None:
        self.pad.ask(question)

    def how(self) -> str:
        return say(self.said)

    def present(self, question: Question) -> None:
        pass  # the introduction tells it in words and in sound

    def live(self, live: bool) -> None:
        self.pad.live = live

    def sounds(self, playing: Playing, session: Session) -> None:
        pass

    def tell(self, *, was: str, given: str) -> None:
        pass  # both stand among the words, with room for them

    def take_key(self, name: str) -> bool:
        return bool(self.pad.take_key(name))

    def key_words(self) -> tuple[Said, ...]:
        return tuple(self.pad.key_words())

    def take_back(self) -> bool:
        return False

    def main_thing(self) -> Widget | None:
        return self.pad.ids.answer


class ByKeys(OnPad):
    """A pad on which keys make the answer ready; Enter sends it."""

    def take_key(self, name: str) -> bool:
        if not super().take_key(name):
            return False
        focus_on(self._screen, None)  # so that Enter sends the answer
        return True


class InWriting(ByKeys):
    """A line of keys."""

    name = "writing"
    said = to_say("Touch the keys one after another, then Answer.")


class InPhrase(ByKeys):
    """A phrase, made on a string of its own or with keys, and heard before it is sent."""

    name = "phrase"

    def __init__(self, screen: DrillScreen) -> None:
        super().__init__(screen)
        self._string = screen.ids.phrase_string
        self._sounding: tuple[Playing, Session] | None = None
        self.pad.play_on(self._string)
        screen.ids.phrase_saptaks.pad = self._string
        self.pad.bind(on_hear=self._hear, shape=screen.place_again)

    def offer(self, question: Question) -> None:
        super().offer(question)
        self._question = question
        self._screen.ids.phrase_saptaks.show()

    def how(self) -> str:
        return ""  # the pad says what it waits for, beside what is made

    def live(self, live: bool) -> None:
        super().live(live)
        self._string.live = live and self.pad.on_string

    def sounds(self, playing: Playing, session: Session) -> None:
        self._sounding = playing, session

    def _hear(self, _: Widget, line: str, asked: bool) -> None:
        """What is only touched keeps silent while the cue is being listened to."""
        if self._sounding is None:
            return
        cue, session = self._sounding
        if asked or cue.ended:
            playing = session.hear_own(line)
            self._screen.hear_of_trouble()
            if asked:
                score = own_score(self._question, line)
                following = Following(score, score, playing, session.seconds_of(score))
                self.pad.follow(following, matra_s_of(self._question))

    def take_key(self, name: str) -> bool:
        here = focused_in(self._screen)
        if here is None and self._walks_phrase(name):
            return True
        if here is None and self._string.take_key(name):
            focus_on(self._screen, self._string)
            return True
        if here is self.pad.ids.strip.__self__:  # what is chosen there stays so
            return bool(self.pad.take_key(name))
        return super().take_key(name)

    def _walks_phrase(self, name: str) -> bool:
        """Left and right walk in the phrase where they do not along the string."""
        across = self._string.upright or not self._string.is_open
        return across and bool(self.pad.ids.strip.take_key(name))


class InOrder(OnPad):
    """Things carried to their places."""

    name = "ordering"
    said = to_say("Draw each to its place, then Answer.")

    def sounds(self, playing: Playing, session: Session) -> None:
        if self._screen.heard:
            self.pad.hear_out(playing)

    def take_back(self) -> bool:
        return bool(self.pad.put_back())


class InShares(OnPad):
    """A whole shared out among things in turn."""

    name = "sharing"
    said = to_say("Draw the borders until each has its share, then Answer.")


class InTime(OnPad):
    """Taps along with the cue; they go out by themselves after it."""

    name = "tapping"
    said = to_say("Tap along while it sounds; your taps are the answer.")

    def offer(self, question: Question) -> None:
        super().offer(question)
        self._cue = question.cue

    def sounds(self, playing: Playing, session: Session) -> None:
        self.pad.begin(playing, length_s=session.seconds_of(self._cue), ms_of=session.cue_ms)


class OnWheel(ByKeys):
    """A matra of a cycle; arrows and digits choose one."""

    name = "wheel"
    said = to_say("Touch its point on the wheel, then Answer.")

    def take_key(self, name: str) -> bool:
        if focused_in(self._screen) is self.pad.ids.face.__self__:
            return bool(self.pad.take_key(name))  # where Enter sends the answer as well
        return super().take_key(name)


WAYS: dict[str, type[ByName] | type[OnString] | type[OnPad]] = {
    "choices": ByName,
    "several": BySet,
    "string": OnString,
    "written": InWriting,
    "sargam": InPhrase,
    "order": InOrder,
    "shares": InShares,
    "taps": InTime,
    "wheel": OnWheel,
}
"""By `Question.answer_on`."""

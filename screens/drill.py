"""The drill: asks one question after another, shows what was and what was heard, keeps the time.

It only calls the session: picking, marking and the wording of explanations are made elsewhere.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from typing import Any

from kivy.clock import Clock
from kivy.properties import (
    BooleanProperty,
    NumericProperty,
    ObjectProperty,
    OptionProperty,
    StringProperty,
)
from kivy.uix.widget import Widget

from audio.score import Score
from audio.speakers import Playing
from practice import Outcome, Session, Step, Summary
from quizzes import Question
from quizzes.explanation import Beside, Explanation, Finding, Met
from scheduler import SchedulerError
from screens.aligned import Place, align_answer, shares_told
from screens.drill_parts import PARTS, SLOWER_KEY, Part
from screens.drill_places import PADS, arrange
from screens.drill_ways import WAYS, Way
from screens.drill_wheel import bring_home, turning_of_cue
from screens.following import Following
from screens.key_words import Said, space_key
from screens.keys import KaanScreen, focus_on
from screens.look import load_kv, look
from screens.ordering import OrderList
from screens.phrase import Phrase
from screens.sharing import SharesPad
from screens.string import StringPad
from screens.tapping import TappingPad
from screens.tracing import Drawing, drawing_of
from screens.verdict import chose_some, one_of_several, verb_of, verdict_kind, verdict_words
from screens.wheel import WheelPad
from screens.writing import WritingPad
from words import say

POLL_S = 1 / 30
PAGES = {"pageup": 1.0, "pagedown": -1.0}
PAGE = 0.8
"""The share of the words on view that one key rolls by."""
HOW_OFTEN = 3
"""So many times in a practice it is said how a way of answering goes."""
LATE_S = 0.2
"""A next question that takes longer than this is announced."""


class DrillScreen(KaanScreen):
    """`stage` says where the current question stands.

    `on_done` is told of the session's end, with None where nothing was answered; `on_keep` of a
    phrase that the student has made and wants to keep; `trouble` says what is wrong with the
    speaker, if anything.
    """

    tells_of_keys = True
    stage = OptionProperty("waiting", options=("waiting", "new", "asking", "answered"))
    late = BooleanProperty(False)
    leaving = BooleanProperty(False)
    answers_on = OptionProperty("choices", options=tuple(WAYS))
    why = StringProperty("")
    prompt = StringProperty("")
    asked_role = StringProperty("title")
    """How large the question is set, where its answer is made on a pad that takes much room."""
    how = StringProperty("")
    """How it is answered, the first times that this way comes in a practice."""
    introduction = StringProperty("")
    once_more = BooleanProperty(False)
    """Whether it shows again what has been met."""
    verdict = StringProperty("")
    verdict_mark = StringProperty("")
    right_label = StringProperty("")
    verb = StringProperty("heard")
    """What was done to answer the present question: see `verb_of`."""
    given_label = StringProperty("")
    given_plays = BooleanProperty(False)
    given_played = StringProperty("")
    """What the sound of the given answer is, where it is not simply that answer."""
    heard = BooleanProperty(True)
    """Whether what is asked or shown can be heard; of a silent question there is nothing to."""
    right_plays = BooleanProperty(True)
    """Whether what it was can be heard."""
    chosen = NumericProperty(0)
    """How many names are chosen where several may be."""
    slower = BooleanProperty(False)
    """Whether what it was can be heard slowly."""
    drawing: Drawing | None = ObjectProperty(None, allownone=True)
    """The phrase of the explanation, where it is drawn."""
    following: Following | None = ObjectProperty(None, allownone=True)
    """Where in that phrase its sound has come to, while it sounds."""
    told: tuple[Place, ...] = ObjectProperty(())
    """Both lines of a written answer, or both orders, beside each other."""
    one_of_several = BooleanProperty(False)
    """Whether other orders would be right as well."""
    shared: tuple[tuple[str, int, int], ...] = ObjectProperty(())
    """Of what was shared out, each thing, what it has usually, and what it was given."""
    met: tuple[Met, ...] = ObjectProperty(())
    """Beat by beat, how taps came to them."""
    beside: tuple[Beside, ...] = ObjectProperty(())
    """Both lines of sargam, place by place."""
    findings: tuple[Finding, ...] = ObjectProperty(())
    """What is found of a phrase that was made."""
    made: Phrase = ObjectProperty(Phrase())
    """The phrase that was made, where that is what was asked."""
    can_keep = BooleanProperty(False)
    kept = BooleanProperty(False)
    """Whether the phrase that was made is kept."""
    explained = StringProperty("")
    silent = StringProperty("")
    """What keeps cues from being heard."""
    trouble = StringProperty("")
    """Why an answer could not be kept."""
    time_part = NumericProperty(1.0)
    time_text = StringProperty("")

    def __init__(
        self,
        *,
        on_done: Callable[[Summary | None], None],
        on_keep: Callable[[Question, str], object] | None = None,
        trouble: Callable[[], str | None] = lambda: None,
        **kwargs: Any,
    ) -> None:
        self._on_done, self._read_trouble = on_done, trouble
        self._on_keep, self._given = on_keep, ""
        self._session: Session | None = None
        self._step: Step | None = None
        self._ticking: Any = None
        self._waiting: Any = None
        self._explanation: Explanation | None = None
        self._shown_how: Counter[str] = Counter()
        super().__init__(**kwargs)
        self.wheel: WheelPad = self.ids.wheel.__self__  # kept here where it is nowhere on view
        self.ground = self.wheel.parent
        self.wheel_index = self.ground.children.index(self.wheel)
        self._ways: dict[str, Way] = {name: way(self) for name, way in WAYS.items()}
        self._arrange = Clock.create_trigger(lambda _: arrange(self), -1)
        for name in ("size", "stage", "answers_on"):
            self.fbind(name, self.place_again)
        self.fbind("stage", self._fill)
        self.fbind("leaving", lambda *_: self._set_live())
        self.fbind("stage", lambda *_: self.ids.roll.to_top())
        self._fill()
        look.bind(scale=self.place_again, left_handed=self.place_again)
        for name in ("actions", "saptaks", "phrase_saptaks", "choices", *PADS.values(), "bar"):
            self.ids[name].bind(height=self.place_again)

    def place_again(self, *_: Any) -> None:
        """Something that its places depend on has changed."""
        self._arrange()

    def parts(self) -> tuple[type[Part], type[Part] | None]:
        """The words and the actions of the stage."""
        return PARTS[self.stage, self.answers_on]

    def _fill(self, *_: Any) -> None:
        """Put the words and the actions of the stage on view."""
        words, actions = self.parts()
        bring_home(self)
        for column, part in ((self.ids.words, words), (self.ids.actions, actions)):
            for before in column.children:
                before.leave()
            column.clear_widgets()
            if part is not None:
                column.add_widget(part(screen=self))
                column.children[0].bind(height=self.place_again)
        self._set_live()

    def _set_live(self) -> None:
        live = self.stage == "asking" and not self.leaving
        for way in self._ways.values():
            if way is not self.way:
                way.live(False)
        self.way.live(live)  # last, since some share their things

    @property
    def pad(self) -> StringPad:
        return self.ids.pad

    @property
    def writing(self) -> WritingPad:
        return self.ids.writing

    @property
    def ordering(self) -> OrderList:
        return self.ids.ordering

    @property
    def sharing(self) -> SharesPad:
        return self.ids.sharing

    @property
    def tapping(self) -> TappingPad:
        return self.ids.tapping

    @property
    def way(self) -> Way:
        """How the present question is answered."""
        return self._ways[self.answers_on]

    # The way of one question.

    def begin(self, session: Session) -> None:
        """Drill this session from its first question."""
        self._session = session
        self.close_sheet()
        self.trouble = ""
        self._shown_how.clear()
        self._whole_s = max(1.0, session.seconds_left)
        self._tick()
        self._ticking = Clock.schedule_interval(self._tick, 1.0)
        self._come()

    def _come(self) -> None:
        """Show the next question as soon as it is ready."""
        self._waited_s, self.late = 0.0, False
        if not self._look_for_next(0.0):
            self.stage = "waiting"
            self._waiting = Clock.schedule_interval(self._still_waiting, POLL_S)

    def _still_waiting(self, elapsed_s: float) -> bool:
        """For the clock: False once the question is there."""
        return not self._look_for_next(elapsed_s)

    def _look_for_next(self, elapsed_s: float) -> bool:
        if self._session is None:
            return True
        if not self._session.ready:
            self._waited_s += elapsed_s
            self.late = self._waited_s > LATE_S
            return False
        self.late = False
        step = self._session.next()
        if step is None:
            self.finish()
        else:
            self._show(step)
        return True

    def _show(self, step: Step) -> None:
        assert self._session is not None  # which gave the step
        playing = self._session.play()  # first of all: to build what is seen takes as long again
        self._step = step
        self.why, self.prompt = step.why, step.question.prompt
        self.introduction, self.once_more = step.introduction or "", step.once_more
        self.verdict = self.verdict_mark = self.explained = ""
        self.told = self.shared = self.met = self.beside = self.findings = ()
        self._explanation = self.following = None
        self.answers_on = step.question.answer_on
        self.verb = verb_of(step.question)
        self.wheel.show(step.question.wheel)
        self.way.offer(step.question)
        self.heard = _is_heard(self._session.shown, step.question)
        if not step.introduction:
            self._say_how()
        self.stage = "new" if step.introduction else "asking"
        if self.stage == "new":
            self.way.present(step.question)
            self._show_new_wheel()
        self.ids.choices_roll.to_top()
        focus_on(self, None)
        self._follow_sound(playing)

    def _show_new_wheel(self) -> None:
        """The cycle of a new skill, as after the answer, and nothing of the question's own."""
        shown = self._session.shown if self._session is not None else None
        self.wheel.show(shown.wheel if shown is not None else None)

    def ask_me(self) -> None:
        """The introduction has been heard and read: put the question."""
        if self.stage != "new" or self._session is None or self._step is None:
            return
        self._session.ask()
        playing = self._session.play()
        self.wheel.show(self._step.question.wheel)
        self.way.offer(self._step.question)
        self.heard = _is_heard(None, self._step.question)
        self._say_how()
        self.stage = "asking"
        self._follow_sound(playing)

    def _say_how(self) -> None:
        """Say how the question is answered, where it is not known yet in this practice."""
        told = self.way.how()
        self._shown_how[told] += 1
        again = self.way.always_said or self._shown_how[told] <= HOW_OFTEN
        self.how = told if again else ""

    def listen(self) -> None:
        """Play the introduction or the cue, again if it has been heard."""
        if self._session is not None and self.stage != "waiting":
            self._follow_sound(self._session.play())

    def _follow_sound(self, playing: Playing) -> None:
        """The introduction or the cue has begun to sound: let what is seen go with it."""
        assert self._session is not None
        self.following = None
        if self.stage == "asking":
            self.way.sounds(playing, self._session)
        self._turn_with_cue(playing)
        self.hear_of_trouble()

    def give(self, choice_id: str) -> None:
        """Answer; what is shown next is already in the log."""
        if self.stage != "asking" or self._session is None or self.leaving:
            return
        try:
            outcome = self._session.answer(choice_id)
        except SchedulerError as error:
            self.trouble = str(error)  # the question waits to be answered again
            self._set_live()
            return
        self.trouble = ""
        self._tell(outcome, choice_id)
        self.stage = "answered"
        focus_on(self, None)

    def _tell(self, outcome: Outcome, given: str) -> None:
        assert self._step is not None  # an answer was just given to it
        question: Question = self._step.question
        right, explanation = outcome.mark.right, outcome.explanation
        self.told = align_answer(question, given, explanation.nearest) if question.is_line else ()
        self.one_of_several = one_of_several(question)
        self.shared = shares_told(question, given) if question.answer_on == "shares" else ()
        self.verdict = verdict_words(
            outcome.mark,
            self.told,
            verb=self.verb,
            counted=explanation.counted,
            by_luck=chose_some(question, given),
        )
        self.verdict_mark = verdict_kind(outcome.mark)
        self.right_label = explanation.right_label
        self.given_label = "" if right else explanation.given_label
        self.right_plays = not explanation.right_cue.is_silent
        self.given_plays = explanation.given_cue is not None
        self.given_played = explanation.given_plays
        self.slower = explanation.slow_cue is not None
        drawn = explanation.drawn
        self.drawing = drawing_of(explanation.right_cue, drawn) if drawn else None
        self.met = explanation.met
        self.beside, self.findings = explanation.beside, explanation.findings
        self.made = Phrase.read(given if self.verb == "made" else "")
        self.can_keep = bool(explanation.findings) and self._on_keep is not None
        self.kept, self._given = False, given
        self._explanation = explanation
        self.explained = explanation.why
        self.wheel.tell(question, given, explanation)
        self.way.tell(was=given if right else question.right[0], given=given)

    def hear_right(self) -> None:
        """Play what it was."""
        if self._explained and self._session is not None:
            self._follow(self._session.play_right(), self._explained.right_cue)
            self.hear_of_trouble()

    def hear_slowly(self) -> None:
        """Play what it was, slowly."""
        if self._explained and self._session is not None and self._explained.slow_cue:
            self._follow(self._session.play_slowly(), self._explained.slow_cue)
            self.hear_of_trouble()

    def hear_given(self) -> None:
        """Play what was answered."""
        if self._explained and self._session is not None and self.given_plays:
            self.following = None
            self.wheel.turn(None)
            self._session.play_given()
            self.hear_of_trouble()

    def hear_told(self, cue: Score) -> None:
        """Play what stands in the explanation beside what it was and what was answered."""
        if self._explained and self._session is not None:
            self.following = None
            self.wheel.turn(None)
            self._session.play_told(cue)
            self.hear_of_trouble()

    def keep(self) -> None:
        """Keep the phrase that was made."""
        if not self._explained or self._step is None or self._on_keep is None or self.kept:
            return
        try:
            self._on_keep(self._step.question, self._given)
        except SchedulerError as error:
            self.trouble = str(error)  # the plate waits to be touched again
            return
        self.kept, self.trouble = True, ""

    @property
    def _explained(self) -> Explanation | None:
        """The explanation, while it is on view."""
        return self._explanation if self.stage == "answered" else None

    def _follow(self, playing: Playing, played: Score) -> None:
        """Let the point run along the drawing with what plays, or more slowly with it."""
        assert self._session is not None
        assert self._explanation is not None
        length_s = self._session.seconds_of(played)
        self.following = Following(self._explanation.right_cue, played, playing, length_s)
        self.wheel.turn(self.following)

    def _turn_with_cue(self, playing: Playing) -> None:
        """Let the wheel on view turn with what plays, if that is what it turns with."""
        assert self._session is not None
        assert self._step is not None
        question, shown, explained = self._step.question, self._session.shown, self._explained
        played, turns, like = question.cue, self.wheel.turns, None
        if shown is not None:
            played = shown.intro_cue or shown.right_cue
            turns = turns and played == shown.right_cue
        elif explained is not None and played != explained.right_cue:
            # The wheel that was asked on may know where in the cycle its cue begins.
            like = turning_of_cue(question, self.wheel.wheel)
            turns = like is not None
        following = Following(played, played, playing, self._session.seconds_of(played))
        self.wheel.turn(following if turns else None, like=like)

    def next(self) -> None:
        """On to the next question."""
        if self.stage == "answered":
            self._come()

    # Time, trouble and the end.

    def hear_of_trouble(self) -> None:
        """Say what is wrong with the speaker, if anything is."""
        self.silent = self._read_trouble() or ""

    def _tick(self, *_: Any) -> None:
        if self._session is None:
            return
        self.hear_of_trouble()  # a device may fail after it was asked to play
        left_s = self._session.seconds_left
        self.time_part = left_s / self._whole_s
        minutes = -(-int(left_s) // 60)
        self.time_text = (
            say("{minutes} min left", minutes=minutes) if left_s >= 60 else say("last minute")
        )

    def finish(self) -> None:
        """End the session, now, and hand on what it was."""
        session = self.drop()
        if session is not None:
            summary = session.end()
            self._on_done(summary if summary.answered else None)

    def drop(self) -> Session | None:
        """Let go of the session without a word, as when the app is closed."""
        session, self._session = self._session, None
        self.following = None
        self.wheel.turn(None)
        self.stage = "waiting"
        self.close_sheet()
        for event in (self._ticking, self._waiting):
            if event is not None:
                event.cancel()
        return session

    def let_go(self) -> None:
        self.drop()

    def back(self) -> None:
        """Leave or stay, but first put back what is just lifted."""
        if self.stage == "asking" and self.way.take_back():
            return
        self.leave()

    def leave(self) -> None:
        """Ask before leaving, in silence."""
        if self._session is not None:
            self._session.hush()
            self.following = None
            self.wheel.turn(None)
        asked = say("End the practice here? What you answered is kept.")
        self.ask(asked, "", (say("End it"), self.finish), say("Go on practising"))
        self.leaving = True

    def close_sheet(self) -> None:
        """Whoever was asked before leaving has said it."""
        super().close_sheet()
        self.leaving = False

    # Keys.

    def take_key(self, name: str) -> bool:
        if self.stage == "asking" and self.way.take_key(name):
            return True
        if name == "space":
            self.listen()
            return True
        if name in PAGES:
            self._roll(PAGES[name])
            return True
        if name == SLOWER_KEY and self.stage == "answered" and self.slower:
            self.hear_slowly()
            return True
        return False

    def keys_said(self) -> list[Said]:
        said = [(space_key(), say("Listen again"))]
        if self.stage == "asking":
            said = [*self.way.key_words(), *said]
        if self.stage == "answered" and self.slower:
            said.append((SLOWER_KEY.upper(), say("Hear it more slowly")))
        return said

    def _roll(self, way: float) -> None:
        """Roll the words by most of what is on view, up (1) or down (-1)."""
        roll = self.ids.roll
        hidden = self.ids.words.height - roll.height
        if hidden > 0:
            roll.scroll_y = min(1.0, max(0.0, roll.scroll_y + way * PAGE * roll.height / hidden))

    def main_thing(self) -> Widget | None:
        part = next(iter(self.ids.actions.children), None)
        onward = part.ids.get("onward") if part is not None else None
        return self.way.main_thing() if onward is None and self.stage == "asking" else onward


def _is_heard(shown: Explanation | None, question: Question) -> bool:
    """Whether what shows a new skill, or else the question itself, can be heard."""
    played = question.cue if shown is None else shown.intro_cue or shown.right_cue
    return not played.is_silent


load_kv("drill")

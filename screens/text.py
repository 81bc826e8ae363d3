"""The same practice in a terminal: answers with keys, no window, readable aloud.

It runs the plan, kinds, marking and log of the window. Where nothing can be heard, each cue is
written to a WAV file and its path is told. What is asked for next is written when the sound is
over, so as not to be read aloud into it; whoever types sooner need not wait.
"""

from __future__ import annotations

import select
import sys
import time
from collections.abc import Sequence
from shlex import quote
from typing import TextIO

from audio.score import Score
from audio.speakers import Playing
from practice import CAUTIONS, Mode, Outcome, Practice, Session, Step, Summary, default_folder
from quizzes import Question
from quizzes.explanation import Explanation
from quizzes.question import KEYS_APART
from scheduler import SchedulerError
from screens.aligned import align_answer, shares_told
from screens.answer_typed import HELP, TAPS_HELP, choices_printed, help_for, read_answer
from screens.cycles_printed import met_printed, wheel_printed
from screens.errors import WritingError
from screens.typed import (
    phrase_printed,
    printed,
    read_seconds,
    shares_printed,
)
from screens.typed_phrase import (
    HEAR,
    cue_wished,
    findings_printed,
    places_of,
    read_phrase,
    wishes_of,
    wrongs_printed,
)
from screens.verdict import one_of_several, verb_of, verdict_words

LONGEST_WAIT_S = 30.0
HELPED = ("shares", "taps", "several", "sargam")
"""Ways to answer that are told again with each question."""
KEEP = "k"
STEP_S = 0.1
"""So often it is looked whether something has been typed, while a sound is waited for."""
NOT_MINE = (
    "If somebody else answered: `main.py leave-out{folder}` lets these answers count for nothing; "
    "they stay in the log."
)


class Leave(Exception):
    """The student has had enough."""


class TextDrill:
    """One practice of `minutes` (the student's usual unless given) in `mode` (the day's practice),
    at the terminal itself unless `read` and `write` are given.
    """

    def __init__(
        self,
        practice: Practice,
        *,
        minutes: int | None = None,
        mode: Mode | None = None,
        read: TextIO | None = None,
        write: TextIO | None = None,
    ) -> None:
        self._practice = practice
        self._minutes = practice.settings.minutes if minutes is None else minutes
        self._mode = mode or Mode()
        self._read, self._write = read or sys.stdin, write or sys.stdout
        self._signs: set[str] = set()
        """What of sargam was told how to write."""

    def run(self) -> int:
        """Until the time is up, the input ends, or the student leaves; always 0.

        Raises ModeError, before anything is asked, where the mode cannot be had.
        """
        for trouble in self._practice.troubles:
            self._say(trouble)
        no_sound = self._practice.sound_trouble
        if no_sound and no_sound not in self._practice.troubles:
            self._say(no_sound)
        self._say(f"Course: {self._practice.course.name}")
        outlook = self._practice.outlook(self._minutes, self._mode)
        self._say_mode()
        self._say(outlook.headline)
        if outlook.counts:
            self._say(outlook.counts)
        for what, why in outlook.lines:
            self._say(f"  {what}: {why}")
        self._say(CAUTIONS[0])
        self._say(HELP)
        session = self._practice.start(self._minutes, self._mode)
        try:
            while (step := session.next()) is not None:
                self._ask(session, step)
        except Leave:
            pass
        summary = session.end()
        self._tell(summary)
        self._practice.end()
        if summary.answered:
            folder = self._practice.folder
            is_usual = folder == default_folder()
            self._say(NOT_MINE.format(folder="" if is_usual else f" --folder {quote(str(folder))}"))
        return 0

    def _say_mode(self) -> None:
        """Which it is and what it asks, where it is not the day's practice."""
        if self._mode == Mode():
            return
        modes = self._practice.modes()
        choice = modes.choice(self._mode.id)
        which = modes.chosen(self._mode)
        self._say(f"{choice.name}: {which.name}" if which else f"{choice.name}. {choice.about}")

    def _ask(self, session: Session, step: Step) -> None:
        self._say("")
        self._say(f"{step.number}.")
        if step.introduction is not None:
            heading = "Once more" if step.once_more else "New"
            self._say(f"{heading}: {step.introduction}")
            self._present(session)
            session.ask()
        self._say(step.question.prompt)
        self._say_lines(choices_printed(step.question))
        if step.question.wheel is not None:
            self._say_lines(wheel_printed(step.question.wheel))
        if step.question.is_line or step.question.answer_on in HELPED:
            self._say(help_for(step.question, known=self._signs.issuperset(step.question.signs)))
            self._signs.update(step.question.signs)
        if step.question.told:
            self._say(f"It begins with: {step.question.told}")
        if step.question.answer_on != "taps":
            self._hear(session.play(), step.question.cue)
        given, outcome = self._answered(session, step.question)
        self._say_verdict(step.question, given, outcome)
        explanation = outcome.explanation
        self._say_lines(phrase_printed(explanation.drawn))
        self._say_lines(met_printed(explanation.met))
        if explanation.wheel is not None:
            self._say_lines(wheel_printed(explanation.wheel))
        if explanation.why:
            self._say(explanation.why)
        # Only now: before the answer, the reason could give it away.
        self._say(f"Asked because: {step.why}.")
        self._compare(session, step.question, given, explanation)

    def _present(self, session: Session) -> None:
        """What is new, as often as wished, where it can be heard."""
        shown = session.shown
        played = None if shown is None else shown.intro_cue or shown.right_cue
        self._hear(session.play(), played)
        again = "" if played is not None and played.is_silent else ", a to hear it again"
        while self._line(f"Enter to be asked{again}: ") == "a":
            self._hear(session.play(), played)

    def _say_verdict(self, question: Question, given: str, outcome: Outcome) -> None:
        """Right or not; what was and what was said, a written line place by place."""
        mark, explanation = outcome.mark, outcome.explanation
        is_line, near = question.is_line, explanation.nearest
        places = align_answer(question, given, near) if is_line else places_of(explanation.beside)
        if mark.right:
            self._say(f"Right: {explanation.right_label}.")
            self._say_lines(findings_printed(explanation.findings))
            return
        verb = verb_of(question)
        if mark.credit > 0.0:
            words = verdict_words(mark, places, verb=verb, counted=explanation.counted)
            self._say(f"{words}.")
        was = "could be" if one_of_several(question) else "was"
        shares = question.answer_on == "shares"
        was_words = "One that keeps the wish is" if verb == "made" else f"It {was}"
        right = f"{'Usual is' if shares else was_words} {explanation.right_label}"
        self._say(f"{right}; you {_said(question)} {explanation.given_label}.")
        told = (
            shares_printed(shares_told(question, given))
            if shares
            else printed(places, verb=verb, was=was)
        )
        self._say_lines(told)
        self._say_lines(wrongs_printed(explanation.beside))
        self._say_lines(findings_printed(explanation.findings))

    def _answered(self, session: Session, question: Question) -> tuple[str, Outcome]:
        """Answer until the log has it: a full disk may be cleared in between."""
        while True:
            given = self._answer(session, question)
            try:
                return given, session.answer(given)
            except SchedulerError as error:
                self._say(str(error))

    def _answer(self, session: Session, question: Question) -> str:
        """Ask until something that can be answered is typed; an empty line plays the cue again."""
        if question.answer_on == "taps":
            return self._tapped(session)
        while True:
            line = self._line("Your answer: ")
            if not line:
                self._hear(session.play(), question.cue)
                continue
            if question.answer_on == "sargam" and line == HEAR:
                self._say(help_for(question))
                continue
            only_heard = question.answer_on == "sargam" and line.startswith(HEAR)
            try:
                if only_heard:
                    own = read_phrase(line.removeprefix(HEAR).strip(), question, whole=False)
                    self._hear(session.hear_own(own))
                    continue
                return read_answer(line, question)
            except WritingError as error:
                is_long = question.answer_on == "sargam"  # it stands above, whole
                self._say(f"{error}." if is_long else f"{error}. {help_for(question)}")

    def _tapped(self, session: Session) -> str:
        """The milliseconds at which Enter was pressed while the cue played, or that were typed."""
        while True:
            playing, taps = session.play(), []
            if playing.path is not None:
                self._say(f"  sound: {playing.path}")
            line = self._line("Tap: ")
            while not line:
                moment = time.monotonic()
                if moment >= playing.ends_at:
                    break
                taps.append(session.cue_ms(moment))
                line = self._line("")
            if not line and taps:
                return KEYS_APART.join(map(str, dict.fromkeys(taps)))
            if line not in ("", "a"):
                try:
                    typed = [session.cue_ms_at(second) for second in read_seconds(line)]
                    return KEYS_APART.join(map(str, dict.fromkeys(typed)))
                except WritingError as error:
                    self._say(f"{error}. {TAPS_HELP}")

    def _compare(
        self, session: Session, question: Question, given: str, explanation: Explanation
    ) -> None:
        """Play what there is to compare, as often as wished; keep a phrase that was made."""
        said, plays = _said(question), {}
        if not explanation.right_cue.is_silent:
            right = "one that keeps the wish" if said == "made" else "what it was"
            plays["1"] = (f"plays {right}", session.play_right)
        if explanation.given_cue is not None:
            played = explanation.given_plays
            what = f"what you {said} ({played})" if played else f"what you {said}"
            plays["2"] = (what, session.play_given)
        if explanation.slow_cue is not None:
            slower = "that one, slower" if said == "made" else "what it was, slower"
            plays["3"] = (slower, session.play_slowly)
        wishes = [f"{key} {what}" for key, (what, _) in plays.items()]
        wishes += wishes_of(explanation, said)
        wishes += [f"{KEEP} keeps this phrase"] if explanation.findings else []
        while line := self._line(f"{', '.join(['Enter goes on', *wishes])}: "):
            if line in plays:
                self._hear(plays[line][1]())
            elif (cue := cue_wished(line, explanation)) is not None:
                self._hear(session.play_told(cue))
            elif line.lower() == KEEP and explanation.findings:
                self._keep(question, given)

    def _keep(self, question: Question, given: str) -> None:
        try:
            self._practice.keep_phrase(question, given)
            self._say("It is kept.")
        except SchedulerError as error:
            self._say(str(error))

    def _hear(self, playing: Playing, played: Score | None = None) -> None:
        """Wait for what plays, and tell where it is written; of silence there is nothing."""
        if played is not None and played.is_silent:
            return
        if playing.path is not None:
            self._say(f"  sound: {playing.path}")
        until = time.monotonic() + LONGEST_WAIT_S
        while not playing.ended and time.monotonic() < until and not _is_typed(self._read):
            playing.wait(STEP_S)

    def _tell(self, summary: Summary) -> None:
        self._say("")
        minutes = round(summary.minutes)
        self._say(f"{summary.counts}. {minutes} minute{'s' * (minutes != 1)}.")
        if summary.met:
            self._say(f"  {summary.met}")
        for moved in summary.moved:
            self._say(f"  {moved.name}: {moved.before} before, {moved.after} now")
        for line in summary.thresholds:
            self._say(f"  {line}")
        self._say(summary.caution)

    def _line(self, wish: str) -> str:
        """One line of input without its blanks; raises Leave at `q` and at the end of input."""
        self._write.write(wish)
        self._write.flush()
        line = self._read.readline()
        if not line or line.strip().lower() == "q":
            self._say("")
            raise Leave
        return line.strip()

    def _say_lines(self, lines: Sequence[str]) -> None:
        for line in lines:
            self._say(f"  {line}")

    def _say(self, text: str) -> None:
        self._write.write(text + "\n")
        self._write.flush()


def _is_typed(read: TextIO) -> bool:
    """Whether a line waits to be read; False where that cannot be told."""
    try:
        return bool(select.select([read], [], [], 0.0)[0])
    except (OSError, ValueError):  # no terminal, or a system that can wait for sockets alone
        return False


def _said(question: Question) -> str:
    """What a student has done here who has answered: other answers than these are typed by name."""
    return (
        verb_of(question)
        if question.answer_on in ("order", "shares", "taps", "several", "sargam")
        else "said"
    )

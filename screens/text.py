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
from practice.meanings import state_word
from quizzes import Question
from quizzes.explanation import Explanation
from quizzes.question import KEYS_APART
from scheduler import SchedulerError
from screens.aligned import align_answer, shares_told
from screens.answer_typed import TAPS_HELP, choices_printed, help_for, read_answer, usual_help
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
from screens.typed_verdict import OWN, YOU, both_told, done_here
from screens.verdict import one_of_several, verb_of, verdict_words
from words import in_script, say, say_many, to_say, use

LONGEST_WAIT_S = 30.0
HELPED = ("shares", "taps", "several", "sargam")
"""Ways to answer that are told again with each question."""
KEEP = "k"
STEP_S = 0.1
"""So often it is looked whether something has been typed, while a sound is waited for."""
NOT_MINE = to_say(
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
        use(self._practice.settings.language, self._practice.settings.letters)
        for trouble in self._practice.troubles:
            self._say(trouble)
        no_sound = self._practice.sound_trouble
        if no_sound and no_sound not in self._practice.troubles:
            self._say(no_sound)
        self._say(say("Course: {name}", name=say(self._practice.course.name)))
        outlook = self._practice.outlook(self._minutes, self._mode)
        self._say_mode()
        self._say(outlook.headline)
        if outlook.counts:
            self._say(outlook.counts)
        for what, why in outlook.lines:
            self._say("  " + say("{what}: {why}", what=what, why=why))
        self._say(say(CAUTIONS[0]))
        self._say(usual_help())
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
            named = "" if is_usual else f" --folder {quote(str(folder))}"
            self._say(say(NOT_MINE, folder=named))
        return 0

    def _say_mode(self) -> None:
        """Which it is and what it asks, where it is not the day's practice."""
        if self._mode == Mode():
            return
        modes = self._practice.modes()
        choice = modes.choice(self._mode.id)
        which = modes.chosen(self._mode)
        if which:
            self._say(say("{mode}: {which}", mode=choice.name, which=which.name))
        else:
            self._say(say("{part}. {about}", part=choice.name, about=choice.about))

    def _ask(self, session: Session, step: Step) -> None:
        self._say("")
        self._say(f"{step.number}.")
        if step.introduction is not None:
            told = step.introduction
            again = step.once_more
            self._say(
                say("Once more: {told}", told=told) if again else say("New: {told}", told=told)
            )
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
            self._say(say("It begins with: {line}", line=in_script(step.question.told)))
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
        self._say(say("Asked because: {why}.", why=step.why))
        self._compare(session, step.question, given, explanation)

    def _present(self, session: Session) -> None:
        """What is new, as often as wished, where it can be heard."""
        shown = session.shown
        played = None if shown is None else shown.intro_cue or shown.right_cue
        self._hear(session.play(), played)
        wish = say("Enter to be asked, a to hear it again: ")
        if played is not None and played.is_silent:
            wish = say("Enter to be asked: ")
        while self._line(wish) == "a":
            self._hear(session.play(), played)

    def _say_verdict(self, question: Question, given: str, outcome: Outcome) -> None:
        """Right or not; what was and what was said, a written line place by place."""
        mark, explanation = outcome.mark, outcome.explanation
        is_line, near = question.is_line, explanation.nearest
        places = align_answer(question, given, near) if is_line else places_of(explanation.beside)
        if mark.right:
            self._say(say("Right: {label}.", label=explanation.right_label))
            self._say_lines(findings_printed(explanation.findings))
            return
        verb = verb_of(question)
        if mark.credit > 0.0:
            words = verdict_words(mark, places, verb=verb, counted=explanation.counted)
            self._say(say("{text}.", text=words))
        shares, several = question.answer_on == "shares", one_of_several(question)
        self._say(both_told(question, explanation, verb=verb, several=several))
        told = (
            shares_printed(shares_told(question, given))
            if shares
            else printed(
                places,
                was_head=say("it could be") if several else "",
                given_head=say(YOU[verb]),
            )
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
            line = self._line(say("Your answer: "))
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
                told = say("{text}.", text=error)
                self._say(told if is_long else f"{told} {help_for(question)}")

    def _tapped(self, session: Session) -> str:
        """The milliseconds at which Enter was pressed while the cue played, or that were typed."""
        while True:
            playing, taps = session.play(), []
            if playing.path is not None:
                self._say("  " + say("sound: {path}", path=playing.path))
            line = self._line(say("Tap: "))
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
                    self._say(f"{say('{text}.', text=error)} {say(TAPS_HELP)}")

    def _compare(
        self, session: Session, question: Question, given: str, explanation: Explanation
    ) -> None:
        """Play what there is to compare, as often as wished; keep a phrase that was made."""
        said, plays = done_here(question), {}
        if not explanation.right_cue.is_silent:
            plays["1"] = (
                say("1 plays one that keeps the wish")
                if said == "made"
                else say("1 plays what it was"),
                session.play_right,
            )
        if explanation.given_cue is not None:
            what = say(OWN[said])
            if explanation.given_plays:
                what = say("{own} ({played})", own=what, played=explanation.given_plays)
            plays["2"] = (what, session.play_given)
        if explanation.slow_cue is not None:
            plays["3"] = (
                say("3 that one, slower") if said == "made" else say("3 what it was, slower"),
                session.play_slowly,
            )
        wishes = [say("Enter goes on"), *(what for what, _ in plays.values())]
        wishes += wishes_of(explanation, said)
        wishes += [say("{key} keeps this phrase", key=KEEP)] if explanation.findings else []
        while line := self._line(f"{', '.join(wishes)}: "):
            if line in plays:
                self._hear(plays[line][1]())
            elif (cue := cue_wished(line, explanation)) is not None:
                self._hear(session.play_told(cue))
            elif line.lower() == KEEP and explanation.findings:
                self._keep(question, given)

    def _keep(self, question: Question, given: str) -> None:
        try:
            self._practice.keep_phrase(question, given)
            self._say(say("It is kept."))
        except SchedulerError as error:
            self._say(str(error))

    def _hear(self, playing: Playing, played: Score | None = None) -> None:
        """Wait for what plays, and tell where it is written; of silence there is nothing."""
        if played is not None and played.is_silent:
            return
        if playing.path is not None:
            self._say("  " + say("sound: {path}", path=playing.path))
        until = time.monotonic() + LONGEST_WAIT_S
        while not playing.ended and time.monotonic() < until and not _is_typed(self._read):
            playing.wait(STEP_S)

    def _tell(self, summary: Summary) -> None:
        self._say("")
        minutes = round(summary.minutes)
        took = say_many("{count} minute.", "{count} minutes.", minutes)
        self._say(f"{say('{text}.', text=summary.counts)} {took}")
        if summary.met:
            self._say(f"  {summary.met}")
        for moved in summary.moved:
            told = say(
                "{name}: {before} before, {after} now",
                name=moved.name,
                before=state_word(moved.before),
                after=state_word(moved.after),
            )
            self._say(f"  {told}")
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

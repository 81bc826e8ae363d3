"""Pages made up from a seed, with names and lists of any length, to be set on paper."""

from datetime import UTC, date, datetime
from random import Random

from practice.pages.advice import Suggestion
from practice.pages.class_page import ClassPage, Shared, Spent, Student
from practice.pages.confusions import Confusion
from practice.pages.guessing import Guessed, Guessing
from practice.pages.lesson_page import LessonPage
from practice.pages.moves import Moves
from practice.pages.practised import Practised
from practice.pages.ready import HEADLINES, Ready
from practice.pages.states import Part, States

MADE = datetime(2026, 11, 29, 18, 0, tzinfo=UTC)
TEXTS = (
    *("Ga", "Bhupali and Deshkar", "W" * 90, "long " * 40, "मीरा", "Mīrā", "a\r\x1b", "\u200b", ""),
    *("komal Re up to tivra Ma", "é" * 30, "\U0001f3b5 \udcff"),
)
PHRASE = "N, R G M P - D P M G R S "


class Made(Random):
    """Draws what a page is made of."""

    def text(self):
        if self.random() < 0.2:
            return "".join(chr(self.randrange(32, 0x2000)) for _ in range(self.randrange(50)))
        return self.choice(TEXTS)

    def some(self, most, make):
        return tuple(make() for _ in range(self.choice((0, 1, most // 4, most))))

    def states(self):
        return States(*(self.choice((0, 1, 7, 2052)) for _ in range(4)))

    def ready(self):
        return Ready(self.choice(list(HEADLINES)), self.text())

    def confusion(self):
        figures = "9 of 24 (21 to 57 %)", self.choice(("", "4 of 20"))
        played = (PHRASE * self.randrange(5) for _ in range(2))
        return Confusion(self.text(), self.text(), *figures, *played, is_sure=self.random() < 0.5)

    def guessed(self):
        return Guessed(self.text(), "12 of 48 (15 to 39 %) right within 0.9 s, luck alone gives 12")

    def practised(self):
        minutes = tuple(self.choice((0.0, 0.1, 14.0, 900.0)) for _ in range(28))
        words, known, kinds, *noted = (self.text() for _ in range(5))
        return Practised(date(2026, 11, 2), minutes, words, known, kinds, 28, *noted)

    def lesson_page(self):
        return LessonPage(
            id="student-1a2b3c4d",
            student=self.text(),
            made=MADE,
            lesson=self.text(),
            course=self.text(),
            ready=self.ready(),
            states=self.states(),
            parts=self.some(120, lambda: Part(self.text(), self.states())),
            moves=Moves(*(self.some(40, self.text) for _ in range(3))),
            confusions=self.some(6, self.confusion),
            guessing=Guessing(self.some(20, self.guessed), (), self.randrange(40)),
            practised=self.practised(),
            suggestions=tuple(Suggestion(self.text(), self.text()) for _ in range(3)),
            asked=self.randrange(9999),
            is_course_here=self.random() < 0.8,
        )

    def student(self):
        spent = Spent(self.randrange(29), 28, self.choice((0.0, 9999.0)), self.randrange(99999))
        trouble = self.choice(("", "", "", "log.sqlite: it is damaged. " * 9))
        return Student("student-1", self.text(), self.ready(), self.states(), spent, self.text(),
                       self.text(), trouble)  # fmt: skip

    def class_page(self):
        shared = (self.some(6, self.shared) for _ in range(2))
        return ClassPage(MADE, self.some(90, self.student), *shared)

    def shared(self):
        return Shared(self.text(), self.text(), self.text())

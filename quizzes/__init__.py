"""What is asked: kinds of question, their marking and explanations, and courses."""

from quizzes.catalogue import kind_of, make_question, skill_of
from quizzes.courses import Course, load_course
from quizzes.errors import CourseError, QuizError, UnknownSkill
from quizzes.explanation import Explanation
from quizzes.kinds import KINDS
from quizzes.question import Choice, Kind, Mark, Question, Setting, Skill

__all__ = [
    "KINDS",
    "Choice",
    "Course",
    "CourseError",
    "Explanation",
    "Kind",
    "Mark",
    "Question",
    "QuizError",
    "Setting",
    "Skill",
    "UnknownSkill",
    "kind_of",
    "load_course",
    "make_question",
    "skill_of",
]

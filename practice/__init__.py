"""The way of one answer: scheduler, questions and sound brought together, without a screen."""

from practice.courses import CourseChoice, course_choices
from practice.errors import FolderError, ModeError, PracticeError, SettingsError, StepError
from practice.modes import Mode, ModeChoice, Modes, Which
from practice.outlook import Outlook
from practice.practice import Practice, default_folder
from practice.session import Outcome, Session
from practice.settings import Settings
from practice.steps import Step
from practice.summary import CAUTIONS, Moved, Summary

__all__ = [
    "CAUTIONS",
    "CourseChoice",
    "FolderError",
    "Mode",
    "ModeChoice",
    "ModeError",
    "Modes",
    "Moved",
    "Outcome",
    "Outlook",
    "Practice",
    "PracticeError",
    "Session",
    "Settings",
    "SettingsError",
    "Step",
    "StepError",
    "Summary",
    "Which",
    "course_choices",
    "default_folder",
]

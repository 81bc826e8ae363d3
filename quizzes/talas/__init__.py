"""Talas: cycles of matras, what is known of each, and exact arithmetic of where things fall.

tala        what a tala is: its form, thekas and variants
reading     read from `assets/talas/`
tradition   a teacher's word on them
cycle       places in a cycle
laya        slow, middle, fast: at which tempos nobody doubts
layakari    so many notes to a matra, and where they must begin
tihai       a phrase three times, and where it lands
steady      thekas by which a laya can be judged
cues        a theka as a cue, from anywhere in its cycle
hearing     cues in which something is to be found by ear
sounds      what is heard of a matra, whatever its bols are called
likeness    which thekas could be taken for one another
offering    which talas are offered together
wording     words on forms and bols
waves       words on khali, and where the bayan rests
tapping     how near taps come to the beats that were meant
asking      what all kinds of question about talas share
said        what is said of their files, for who translates it

Bols are written in the letters of the language in use by `quizzes.bols`; `Tala.called` and
`Laya.called` are names in it.
"""

from quizzes.talas.reading import LAYAS, TALAS, load_tala, tala_ids
from quizzes.talas.tala import Form, Tala, ThekaText, Variant
from quizzes.talas.tradition import talas

__all__ = [
    "LAYAS",
    "TALAS",
    "Form",
    "Tala",
    "ThekaText",
    "Variant",
    "load_tala",
    "tala_ids",
    "talas",
]

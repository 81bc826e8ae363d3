"""What `ornament` asks, in ids and in words."""

from __future__ import annotations

from audio.ornaments import ornaments as known_ornaments
from quizzes.left_hand import Place, an_ornament, describe, end_of, mirrored, ornament_name
from quizzes.names import capital, counted, swara_name, swara_word
from quizzes.question import Choice
from words import say, say_many, to_say

ACTS = {
    "kan": to_say("touched one other note for an instant first"),
    "sparsh": to_say("held a note, then hammered on a higher one"),
    "krintan": to_say("held a note, then plucked off to a lower one"),
    "zamzama": to_say("hammered on and plucked off, again and again"),
    "murki": to_say("ran quickly through three notes, then rested"),
    "meend": to_say("pulled the string for one smooth glide"),
    "ghaseet": to_say("slid along the string, fret by fret"),
    "gamak": to_say("pulled from below again and again, fast"),
    "andolan": to_say("swung slowly and gently about the note"),
}
"""What the hand does, short enough for one line of a choice. Each is true of its own sound alone: a
kan's first note is touched, a sparsh's or krintan's is held, and these change once, a zamzama again
and again."""

WORDS = {
    "kan": to_say(
        "Singers also call it a sparsh-swara; on strings a quick sparsh or krintan makes one."
    ),
    "sparsh": to_say("Some schools call this a zamzama or a krintan."),
    "krintan": to_say("Some schools use the word for other moves of the fingers too."),
    "zamzama": to_say("Some schools use the word even where a finger is hammered on only once."),
    "murki": to_say("Some schools call a quick cluster on one stroke a krintan."),
    "gamak": to_say("Some schools also call a gently rocked swara a gamak."),
    "andolan": to_say("Some schools count it among the gamaks."),
}
"""What is told of a word when it is met: how schools differ in it.

Zamzama for hammering on once or more: Sitar Malika p. 44 (a Hindi sitar manual scanned at Hindi
Wikisource). Krintan for up to four swaras fingered on one stroke, and for several quick lifts:
https://www.indianetzone.com/techniques_sitar. Gamak for a gently rocked swara: Sitar Malika p. 47.
Andolan among the gamaks: common practice. Kan: an academy's page on the sparsh of plucked strings
has that a kan, or sparsh-swara, is executed on instruments by a swift short glide, by a sparsh (the
technique, another thing than the sparsh-swara) or by a krintan."""

_FROM = {"above": to_say("From above"), "below": to_say("From below")}
_OR_FROM = {"above": to_say("From above: {what}"), "below": to_say("From below: {what}")}
_FROM_WHERE = {
    "kan": to_say("Did the kan come from above or from below?"),
    "meend": to_say("Did the meend come from above or from below?"),
}
_CAME = {
    ("kan", "above"): to_say("The kan came from above."),
    ("kan", "below"): to_say("The kan came from below."),
    ("meend", "above"): to_say("The meend came from above."),
    ("meend", "below"): to_say("The meend came from below."),
}
_MAY_COME = {
    "kan": to_say("A kan can come from above or from below."),
    "meend": to_say("A meend can come from above or from below."),
}
_THIS_COMES = {
    "above": to_say("This one comes from above."),
    "below": to_say("This one comes from below."),
}
_FROM_EITHER = {
    "kan": to_say("a kan from above or below"),
    "meend": to_say("a meend from above or below"),
}


def id_of(what: str, answer: str) -> str:
    """The id of a skill, such as `ornament:span:3`."""
    return f"ornament:{what}:{answer}" if what else f"ornament:{answer}"


def name_of(what: str, detail: str) -> str:
    """`a meend of 3 semitones`, or an ornament's name alone."""
    if what == "span":
        return say_many("a meend of {count} semitone", "a meend of {count} semitones", int(detail))
    if what == "side":
        return say(_FROM_EITHER[detail])
    return ornament_name(detail)


def prompt_of(what: str, detail: str) -> str:
    if what == "span":
        return say("How far did the meend go?")
    if what == "side":
        return say(_FROM_WHERE[detail])
    return say("What did the left hand do?")


def choice_of(what: str, answer: str) -> Choice:
    """One of the answers; what the hand did is told without its word."""
    if what == "side":
        return Choice(answer, say(_FROM[answer]))
    if what == "span":
        span, swara = capital(_span_text(int(answer))), swara_word(int(answer))
        label = say("{span}, as from Sa to {swara}", span=span, swara=swara)
        return Choice(answer, label, id_of(what, answer))
    return Choice(answer, capital(say(ACTS[answer])), id_of(what, answer))


def told(what: str, answer: str) -> str:
    """An answer as it is explained: the act with its word."""
    if what:
        return choice_of(what, answer).label
    name = capital(ornament_name(answer))
    return say("{ornament}: {act}", ornament=name, act=say(ACTS[answer]))


def _span_text(span: int) -> str:
    return counted(span, "{number} semitone", "{number} semitones")


def introduced(what: str, detail: str, right: str, place: Place) -> str:
    """Sentences that present a skill by the stroke that is to be heard."""
    if what == "span":
        said = [say("This meend goes {span}.", span=_span_text(int(detail)))]
        said.append(capital(describe("meend", place)))
    elif what == "side":
        said = [say(_MAY_COME[detail]), say(_THIS_COMES[right])]
        said.append(capital(describe(detail, place)))
    else:
        said = [say("Here this is called {ornament}.", ornament=an_ornament(detail))]
        said.append(say(known_ornaments()[detail].about))
        said += [say(WORDS[detail])] if detail in WORDS else []
    return " ".join(said)


def why_of(what: str, detail: str, place: Place, right: str, given: str) -> str:
    """What was done; after another answer, what that would have been."""
    if what == "span":
        size = say("That is {span}.", span=_span_text(int(right)))
        why = f"{capital(describe('meend', place))} {size}"
        other = say(
            "{span} would have led to {swara}.",
            span=capital(_span_text(int(given))),
            swara=swara_name(end_of(place, int(given))),
        )
    elif what == "side":
        why = f"{say(_CAME[detail, right])} {capital(describe(detail, place))}"
        other = say(_OR_FROM[given], what=describe(detail, mirrored(place)))
    else:
        name, act = an_ornament(right), describe(right, place)
        why = say("Here this is called {ornament}: {what}", ornament=name, what=act)
        name, act = an_ornament(given), describe(given, place)
        other = say("In {ornament}, {what}", ornament=name, what=act)
    return why if given == right else f"{why} {other}"

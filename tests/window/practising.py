"""A student at the window: begins by touch and answers by touch until so many are answered."""

from __future__ import annotations

import time

from audio.tuning import Swara
from screens.numbers import keyed
from tests.window.hands import Finger, frames, key, touch, touch_at, touch_fret, wait_for
from tests.window.phrases import make, type_out


def begin(app):
    """Touch Begin on the first screen; the drill, at its first question."""
    touch(app.manager.get_screen("practice").ids.begin)
    drill = app.manager.get_screen("drill")
    wait_for(lambda: drill.stage != "waiting", what="the first question")
    frames(3)
    return drill


def main_plate(drill):
    """Ask me, or Next."""
    return drill.main_thing()


def pass_introduction(drill):
    """Where the skill is new, read it and touch Ask me."""
    if drill.stage == "new":
        touch(main_plate(drill))
        frames(2)


def give(drill, choice_id):
    """Touch this answer: on the string, among the names, one or several, key by key, in time, into
    place, or as a phrase."""
    if drill.answers_on == "string":
        if choice_id not in {str(fret.swara) for fret in drill.pad.offered()}:
            octave = Swara.read(choice_id).octave
            touch(next(p for p in drill.ids.saptaks.children if p.octave == octave))
        touch_fret(drill.pad, choice_id)
        return
    if drill.answers_on == "sargam":
        make(drill, choice_id)
        touch(drill.ids.phrase.ids.answer)
        return
    if drill.answers_on == "order":
        put_in_order(drill.ordering, choice_id.split())
        touch(drill.ordering.ids.answer)
        return
    if drill.answers_on == "wheel":
        touch_at(*drill.wheel.to_window(*drill.wheel.ids.face.point_of(int(choice_id))))
        touch(drill.wheel.ids.answer)
        return
    if drill.answers_on == "shares":
        share_out(drill.sharing, choice_id)
        touch(drill.sharing.ids.answer)
        return
    if drill.answers_on == "taps":
        tap_out(drill.tapping, choice_id)
        touch(drill.tapping.ids.answer)
        return
    if drill.answers_on == "written":
        keys = {plate.key_id: plate for plate in drill.writing.ids.grid.children}
        for key_id in choice_id.split():
            touch(keys[key_id])
        touch(drill.writing.ids.answer)
        return
    for one in choice_id.split() if drill.answers_on == "several" else [choice_id]:
        touch(next(p for p in drill.ids.choices.children if p.choice_id == one))
    if drill.answers_on == "several":
        touch(drill.main_thing())


def share_out(sharing, line):
    """Drag each border of the bar to its place, from the first on."""
    shares, bar = list(map(int, line.split())), sharing.ids.bar
    for at in range(len(shares) - 1):
        now, wanted = sum(sharing.shares[: at + 1]), sum(shares[: at + 1])
        held = Finger(*bar.to_window(bar.x_of(now), bar.center_y)).go_down()
        held.slide_to(*bar.to_window(bar.x_of(wanted), bar.center_y))
        held.come_up()


def tap_out(pad, line):
    """Tap at these milliseconds of a cue that keeps silent time, and let it end: else each such
    answer would take as long as its cue."""
    playing = pad._playing
    began_at = playing.ends_at - pad._length_s
    for ms in map(int, line.split()):
        pad.take(began_at + ms / 1000)
    playing.end_by(time.monotonic())
    frames(2)


def put_in_order(ordering, line):
    """Drag each thing of an order to its place, from the first on."""
    for number, key_id in enumerate(line):
        if ordering.line[number] != key_id:
            drag(ordering, key_id, ordering.line[number])


def drag(ordering, key_id, onto):
    """Drag the plate of one thing to where that of another stands, by its grip; let go."""
    plates = {plate.key_id: plate for plate in ordering.ids.places.children}
    grip = plates[key_id].ids.grip
    held = Finger(*grip.to_window(*grip.center)).go_down()
    frames(1)
    x, y = plates[onto].ids.grip.to_window(*plates[onto].ids.grip.center)
    held.slide_to(x, y)
    frames(1)
    held.come_up()
    frames(2)


def give_by_keys(drill, choice_id):
    """Answer with this by the keyboard alone."""
    choices = drill._step.question.choices
    ids = [choice.id for choice in choices]
    if drill.answers_on == "string":
        for letter in reversed(choice_id):  # the mark of the saptak comes first
            key(letter)
        return
    if drill.answers_on == "sargam":
        type_out(choice_id)
        key("enter")
        return
    if drill.answers_on == "order":
        for number, key_id in enumerate(choice_id.split(), 1):
            key(str(drill.ordering.line.index(key_id) + 1))
            key(str(number))
        key("enter")
        return
    if drill.answers_on == "wheel":
        for digit in choice_id:
            key(digit)
        key("enter")
        return
    if drill.answers_on == "shares":
        for number, share in enumerate(map(int, choice_id.split()), 1):
            key(str(number))
            while (now := drill.sharing.shares[number - 1]) != share:
                key("up" if now < share else "down")
        key("enter")
        return
    if drill.answers_on != "written":
        keys = {choice.id: name for name, choice in keyed(choices)}
        for one in choice_id.split() if drill.answers_on == "several" else [choice_id]:
            key(keys[one])
        if drill.answers_on == "several":
            key("enter")
        return
    for key_id in choice_id.split():
        key(str(ids.index(key_id) + 1))
    key("enter")


def answer(drill, *, wrong=False):
    """Answer the question on view; what was given, and whether it is right."""
    question = drill._step.question
    others = [choice.id for choice in question.choices if choice.id not in question.right]
    wrongly = "1" if question.answer_on == "taps" else others[0] if others else ""
    if question.answer_on == "sargam":
        wrongly = " ".join([question.choices[0].id] * question.fewest)
    given = wrongly if wrong else question.right[0]
    give(drill, given)
    wait_for(lambda: drill.stage == "answered", what="the verdict")
    frames(2)
    return question, given


def practise(drill, count, *, wrong_every=4):
    """Answer `count` questions by touch, each `wrong_every`th wrongly; (question, given) each.

    Stands on the last verdict when done.
    """
    answers = []
    for number in range(1, count + 1):
        pass_introduction(drill)
        answers.append(answer(drill, wrong=number % wrong_every == 0))
        if number < count:
            touch(main_plate(drill))
            wait_for(lambda: drill.stage in ("new", "asking"), what="the next question")
            frames(3)
    return answers


def leave(app, drill):
    """Touch Leave, then End it; the summary."""
    touch(drill.ids.leave)
    frames(3)
    touch(next(p for p in drill.lies_over.walk() if getattr(p, "text", "") == "End it"))
    frames(3)
    return app.manager.current_screen

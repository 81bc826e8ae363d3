"""Steps of a session that several tests take."""


def ask(session):
    """The next step, heard and ready to be answered."""
    step = session.next()
    if step is not None:
        if session.introducing:
            session.play()
            session.ask()
        session.play()
    return step


def wrong(step):
    """Some answer that is not right."""
    if step.question.answer_on == "taps":
        return "0"
    return next(c.id for c in step.question.choices if c.id not in step.question.right)

"""Until the first screen has been seen no garbage is looked for; then it is, in calm moments."""

import gc
import weakref

import pytest

from screens.start import settle, sweep, unsettle


class Ring:
    """Refers to itself, so that only the collector lets go of it."""

    def __init__(self):
        self.own = self


@pytest.fixture
def gc_kept():
    """The collector is afterwards as it was, but for what is frozen."""
    enabled, threshold, frozen = gc.isenabled(), gc.get_threshold(), gc.get_freeze_count()
    yield
    gc.set_threshold(*threshold)
    (gc.enable if enabled else gc.disable)()
    if frozen:
        gc.freeze()


def is_let_go(gone):
    return gone() is None


def thrown_away():
    ring = Ring()
    return weakref.ref(ring)


def test_an_app_that_was_not_put_off_is_left_as_it_is(gc_kept):
    gc.enable()
    gc.set_threshold(100_000, 10, 10)
    frozen, gone = gc.get_freeze_count(), thrown_away()
    settle()
    sweep(keep=True)
    unsettle()
    assert gc.get_threshold() == (100_000, 10, 10)
    assert not is_let_go(gone)
    assert abs(gc.get_freeze_count() - frozen) < 50  # what was frozen may go by itself


def test_garbage_is_looked_for_among_what_came_since(gc_kept):
    gc.disable()
    kept = Ring()
    before = weakref.ref(kept)
    settle()
    assert gc.isenabled()
    gone = thrown_away()
    sweep(keep=False)
    assert is_let_go(gone)
    del kept  # frozen: it waits for the screens to be made anew
    sweep(keep=True)
    assert not is_let_go(before)
    unsettle()
    sweep(keep=True)
    assert is_let_go(before)

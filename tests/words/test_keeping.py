"""What was said is kept for each language, and nothing that was made while the language changed."""

import pytest

from words import kept_as_said, say, use


@pytest.fixture(autouse=True)
def english_again():
    yield
    use()


def test_each_language_has_its_own_and_is_made_once():
    made = []

    @kept_as_said()
    def named(number):
        made.append(number)
        return say("Back")

    assert [named(1), named(1)] == ["Back", "Back"]
    use("hi")
    assert [named(1), named(1), named(2)] == ["वापस"] * 3
    use()
    assert named(1) == "Back"
    assert made == [1, 1, 2]
    named.cache_clear()
    named(1)
    assert made == [1, 1, 2, 1]


def test_nothing_is_kept_that_was_made_while_the_language_changed():
    changes = ["hi"]

    @kept_as_said()
    def named():
        if changes:
            use(changes.pop())  # as on another thread
        return say("Back")

    assert named() == "वापस"  # said once, between the two
    use()
    assert named() == "Back"

"""What is shaky, what of it has slipped, and what has become firm, each by its name."""

from practice.pages.moves import moves_in, shaky_words
from practice.pages.states import states_of
from tests.practice.pages.stood import stood

NOW = {
    "swara:G": ("shaky", 0.6),
    "swara:r": ("shaky", 0.2),
    "swara:d": ("shaky", 0.4),
    "swara:S": ("firm", 0.9),
    "swara:P": ("firm", 0.9),
    "swara:N": ("coming", 0.5),
}
THEN = {"swara:G": "firm", "swara:r": "coming", "swara:d": "firm", "swara:P": "shaky"}
THEN |= {"swara:S": "firm", "swara:N": "firm"}


def test_the_shakiest_comes_first_and_only_what_was_firm_has_slipped():
    moves = moves_in(stood(NOW, then=THEN))
    assert moves.shaky == ("komal Re", "komal Dha", "Ga")
    assert moves.slipped == ("komal Dha", "Ga")
    assert moves.firmer == ("Pa",)


def test_of_what_a_lesson_is_about_the_shaky_ones_are_named():
    asked = {"swara:G", "swara:d", "swara:S"}
    assert shaky_words(stood(NOW), asked) == ("komal Dha", "Ga")


def test_what_is_firm_by_its_last_answers_is_shaky_where_it_is_mistaken_again_and_again():
    """Not so where all but a few of many answers were right."""
    states = dict.fromkeys(("swara:r", "swara:d", "swara:n"), ("firm", 0.9))
    lately = {"swara:r": (6, 9), "swara:d": (40, 43), "swara:n": (6, 9)}
    standing = stood(states, then=dict.fromkeys(states, "firm"), lately=lately,
                     mistaken=("swara:r", "swara:d"))  # fmt: skip
    assert moves_in(standing).shaky == ("komal Re",)
    assert states_of(standing, states) == (2, 0, 1, 0)

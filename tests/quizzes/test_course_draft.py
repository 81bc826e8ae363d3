"""A course under edit: what is put in stands in the file, and comes out of it again."""

import tomllib

from hypothesis import given, settings
from hypothesis import strategies as st

from quizzes.course_draft import CourseDraft
from quizzes.course_ways import ALL, EAR, KNOWN, NAMED, OTHER, way_of, ways_of
from quizzes.courses import COURSES, courses, load_course
from quizzes.ids import names_file
from quizzes.kept import skills_of

TERM = 'name = "Term"\n'
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
lists = st.lists(st.sampled_from(["gap", "tune", "yaman", "first-gaps", 'a"b', "ध"]), max_size=3)
heads = st.fixed_dictionaries(
    {"name": texts}, optional={"about": texts, "pace": st.integers(1, 50), "source": texts}
)
steps = st.fixed_dictionaries(
    {"name": texts},
    optional=dict.fromkeys(("skills", "decks", "ragas", "talas", "kinds", "ask"), lists),
)
edits = st.lists(
    st.one_of(
        st.tuples(st.just("add"), steps, st.integers(0, 9)),
        st.tuples(st.just("put"), steps, st.integers(0, 9)),
        st.tuples(st.just("move"), st.integers(0, 9), st.integers(0, 9)),
        st.tuples(st.just("duplicate"), st.none(), st.integers(0, 9)),
        st.tuples(st.just("remove"), st.none(), st.integers(0, 9)),
        st.tuples(st.just("head"), heads, st.none()),
    ),
    max_size=8,
)


def edit(draft, head, rows, what, first, second):
    """One edit of a draft and, in plain lists, of what it should hold."""
    if what == "head":
        draft.set_head(**dict.fromkeys(head, None) | first)
        return first, rows
    at = second % max(1, len(rows))
    if what == "add":
        draft.add(first, at)
        return head, [*rows[:at], first, *rows[at:]]
    if not rows:
        return head, rows
    if what == "put":
        draft.put(at, **dict.fromkeys(rows[at], None) | first)
        return head, [*rows[:at], first, *rows[at + 1 :]]
    if what == "duplicate":
        draft.duplicate(at)
        return head, [*rows[: at + 1], rows[at], *rows[at + 1 :]]
    rest = [*rows[:at], *rows[at + 1 :]]
    if what == "remove":
        draft.remove(at)
        return head, rest
    to = first % len(rows)
    draft.move(at, to)
    return head, [*rest[:to], rows[at], *rest[to:]]


@settings(max_examples=40, deadline=None)
@given(edits)
def test_what_is_put_into_a_course_stands_in_its_file_and_comes_out_again(made):
    draft = CourseDraft(TERM, "term.toml")
    head, rows = {"name": "Term"}, []
    for what, first, second in made:
        head, rows = edit(draft, head, rows, what, first, second)
        again = CourseDraft(draft.text, "term.toml")
        assert (again.head(), again.entries()) == (draft.head(), draft.entries()) == (head, rows)
        # By the reader of TOML in Python's standard library.
        assert {"step": []} | tomllib.loads(draft.text) == head | {"step": rows}
    last = draft.text
    while draft.undo():
        pass
    assert draft.text == TERM
    while draft.redo():
        pass
    assert draft.text == last


def test_a_new_course_bears_an_id_of_its_own():
    first, second = (
        CourseDraft.new("Ragas of the Winter, 1"),
        CourseDraft.new("Ragas of the Winter, 1"),
    )
    assert first.text == second.text
    assert first.id != second.id
    assert first.id.startswith("ragas-of-the-winter-1-")
    assert all(names_file(CourseDraft.new(name).id) for name in ("", "a" * 99, "राग", "x/../y"))


def test_a_copy_of_a_shipped_course_asks_the_same():
    for course in courses():
        text = (COURSES / f"{course}.toml").read_text(encoding="utf-8")
        draft = CourseDraft(text, "mine.toml")
        assert draft.course().steps == load_course(course).steps
        draft.set_head(name="Mine")
        assert draft.text.splitlines()[1:] == text.splitlines()[1:]


def test_what_is_wrong_is_told_with_its_step():
    draft = CourseDraft(TERM, "term.toml")
    (fault,) = draft.faults()
    assert (
        str(fault)
        == "term.toml, line 1: step: cannot be used; a course needs at least one [[step]]"
    )
    draft.add({"name": "One", "decks": ["gaps"]})
    assert draft.faults() == ()
    draft.add({"name": "Two", "kinds": ["gasp"], "ask": ["raga-"]})
    wrong = draft.faults()
    assert [(fault.entry, fault.field) for fault in wrong] == [(1, "kinds"), (1, "ask")]
    (fault,) = CourseDraft("name = ", "term.toml").faults()
    assert (fault.line, fault.remedy) == (1, "mend the text, it should be TOML")


def test_ways_part_what_is_heard_from_what_is_to_be_known():
    """Together they are all that is asked of the kinds of a step, and neither holds the other's."""
    step = {"kinds": ["theka", "register", "gap", "raga-vadi"]}
    ways = {way.id: way for way in ways_of(step)}
    asked = [skill for kind in step["kinds"] for skill in skills_of(kind)]
    for way, is_heard in ((EAR, True), (KNOWN, False)):
        for skill in asked:
            belongs = (skill.family == "perception") == is_heard
            assert skill.id.startswith(ways[way].ask) == belongs
    assert list(ways) == [ALL, EAR, KNOWN]


def test_the_way_that_stands_in_the_file_is_among_those_to_choose():
    assert ways_of({"decks": ["gaps"]}) == ()
    assert [way.id for way in ways_of({"ragas": ["yaman"]})] == [ALL, EAR, KNOWN, NAMED]
    for step in ({"talas": ["tintal"]}, {"ragas": ["yaman"]}, {"kinds": ["gap"]}):
        for way in ways_of(step):
            asked = step | ({"ask": list(way.ask)} if way.ask else {})
            assert way_of(asked) == way.id
    by_hand = {"kinds": ["gap"], "ask": ["gap:S-"]}
    assert way_of(by_hand) == OTHER
    assert ways_of(by_hand)[-1].words == "Only gap:S-"

"""TOML texts under edit. What a text means is judged by `tomllib` of the standard library, and in
part by `tomlkit`, both of which read TOML 1.0.0 (https://toml.io/en/v1.0.0)."""

import tomllib
from pathlib import Path

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from quizzes.drafts import DraftError, TextDraft

ROOT = Path(__file__).parents[2]
SHIPPED = sorted((ROOT / "assets").rglob("*.toml"))

# One content, written in ways that differ: what TOML 1.0.0 allows, from its sections on keys,
# tables, inline tables and arrays of tables.
WAYS = {
    "headings": """\
title = "T"  # of all

# the first
[[item]]
name = "a"
  [[item.part]]
  text = "p"  # p
  [[item.part]]
  text = "q"
  [item.more]
  x = ["1", "2"]

# loose

# the second
[[item]]
name = "b"

[word.one]
tali = [1, 4]  # counted
""",
    "inline": """\
title = 'T'
item = [
    {name = "a", part = [{text = "p"}, {text = "q"}], more = {x = ["1", "2"]}},  # the first
    # the second
    {name = "b"}
]
word = {one = {tali = [1, 4]}}""",
    "dotted": """\
"title" = \"""T\"""
word.one.tali = [
    1, # sam
    4
]

[[item]]
name = "a"
more.x = [ '1', '2' ]
[[ item . part ]]
text = "p"
[["item".'part']]
text = "q"
[[item]]
name = "b"
""",
    "apart": """\
title = "T"
[[item]]
name = "a"
[item.more]
x = ["1",
     "2"]
[[item.part]]
text = "p"
[word.one]
tali = [1, 4,]
[[item.part]]
text = "q"
[[item]]
name = "b"
""",
}
WAYS["windows"] = WAYS["headings"].replace("\n", "\r\n")
WAYS["marked"] = "\ufeff" + WAYS["headings"].removesuffix("\n")
CONTENT = tomllib.loads(WAYS["headings"])

NASTY = st.text(
    st.one_of(
        st.sampled_from("'\"\\\n\t\r#=[]{},. \x00\x07\x1b\x7f\x85\u2028\ufeffसागरे🎵é\u200d"),
        st.characters(exclude_categories=["Cs"]),
    ),
    max_size=12,
)
SCALARS = st.one_of(NASTY, st.booleans(), st.integers(-9, 9), st.sampled_from([0.5, -2e9]))
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(NASTY | st.just("a"), inner, max_size=3)
    ),
    max_leaves=6,
)


def meaning(text):
    return tomllib.loads(text.removeprefix("\ufeff"))


def alike(one, other):
    """Equal, and of one type: True is not 1."""
    return repr(_ordered(one)) == repr(_ordered(other))


def _ordered(value):
    if isinstance(value, dict):
        return {key: _ordered(value[key]) for key in sorted(value)}
    return [_ordered(each) for each in value] if isinstance(value, list) else value


@pytest.fixture(params=WAYS)
def draft(request):
    return TextDraft(WAYS[request.param], "any.toml")


def test_shipped_files_are_read_as_tomllib_reads_them_and_given_back_as_they_are():
    for path in SHIPPED:
        text = path.read_text("utf-8")
        draft = TextDraft(text, path.name)
        assert draft.text == text
        assert alike(draft.value(), tomllib.loads(text)), path


def test_all_ways_of_writing_are_read_alike(draft):
    assert alike(draft.value(), CONTENT)
    assert draft.value("item", 0, "part", 1, "text") == "q"
    assert draft.value("item", 2) is None
    assert set(draft.names()) == {"title", "item", "word"}


def test_putting_what_stands_there_changes_no_byte(draft):
    before = draft.text
    draft.put((), CONTENT)
    draft.put(("item", 0), part=CONTENT["item"][0]["part"])
    assert (draft.text, draft.can_undo) == (before, False)


FIRST, SECOND = CONTENT["item"]
NEW = {"name": "c", "part": [{"text": "r"}]}
WITHOUT_WORD = {name: value for name, value in CONTENT.items() if name != "word"}
EDITS = {
    "set": (lambda d: d.put((), title="U"), CONTENT | {"title": "U"}),
    "take out": (lambda d: d.put(("item", 1), name=None), CONTENT | {"item": [FIRST, {}]}),
    "a list": (
        lambda d: d.put(("word", "one"), tali=[1, 3, 4]),
        CONTENT | {"word": {"one": {"tali": [1, 3, 4]}}},
    ),
    "a table in a new table": (
        lambda d: d.put(("word", "two", "three"), x=True),
        CONTENT | {"word": CONTENT["word"] | {"two": {"three": {"x": True}}}},
    ),
    "take out a table": (lambda d: d.put(("word",), one=None), WITHOUT_WORD),
    "move": (lambda d: d.move(("item",), 0, 1), CONTENT | {"item": [SECOND, FIRST]}),
    "remove": (lambda d: d.remove(("item",), 0), CONTENT | {"item": [SECOND]}),
    "duplicate": (
        lambda d: d.duplicate(("item",), 0, name="c"),
        CONTENT | {"item": [FIRST, FIRST | {"name": "c"}, SECOND]},
    ),
    "add": (lambda d: d.add(("item",), NEW, 1), CONTENT | {"item": [FIRST, NEW, SECOND]}),
    "add the first": (lambda d: d.add(("new",), {"x": 1}), CONTENT | {"new": [{"x": 1}]}),
}


@pytest.mark.parametrize(("edit", "now"), EDITS.values(), ids=EDITS)
def test_an_edit_means_the_same_in_all_ways_of_writing(draft, edit, now):
    before = draft.text
    edit(draft)
    found = meaning(draft.text)
    if "word" not in now:  # an empty table may be left
        found = {k: v for k, v in found.items() if k != "word" or v}
    assert alike(found, now), draft.text
    assert alike(draft.value(), meaning(draft.text))
    assert ("\r\n" in before) == ("\r\n" in draft.text)
    assert "\n" not in draft.text.replace("\r\n", "") or "\r\n" not in draft.text
    after = draft.text
    assert draft.undo()
    assert draft.text == before
    assert draft.redo()
    assert draft.text == after


def test_a_comment_that_stands_alone_stays_where_it_is_when_a_table_goes_elsewhere():
    draft = TextDraft(WAYS["headings"], "any.toml")
    draft.move(("item",), 1, 0)
    order = [draft.text.index(each) for each in ("# the second", "# the first", "# loose")]
    assert order == sorted(order)
    draft.remove(("item",), 0)
    assert "# loose" in draft.text
    assert "# the second" not in draft.text


def test_a_list_over_several_lines_keeps_the_comments_of_what_stays():
    draft = TextDraft(
        'a = [\n  "x",  # of x\n  # before y\n  "y", # of y\n  "z" # of z\n]\n', "a.toml"
    )
    draft.put((), a=["y", "x", "new", "z", "last"])
    assert draft.value("a") == ["y", "x", "new", "z", "last"]
    said = draft.text
    assert '# before y\n  "y", # of y\n' in said
    assert '"x",  # of x\n' in said
    assert '"z", # of z\n' in said
    draft.put((), a=["x"])
    assert draft.text == 'a = [\n  "x"  # of x\n]\n'


def test_a_field_that_is_taken_out_leaves_its_comment():
    draft = TextDraft("a = 1  # why\nb = 2\n", "a.toml")
    draft.put((), a=None)
    assert draft.text == "# why\nb = 2\n"


def test_a_new_field_stands_where_the_order_has_it():
    order = {("t",): ("a", "b", "c", "d")}
    draft = TextDraft(
        "[t]\nb = 1  # on b,\n        # over two lines\nd = 2\n", "a.toml", order=order
    )
    draft.put(("t",), c=3, z=9, a=0)
    assert draft.text == (
        "[t]\na = 0\nb = 1  # on b,\n        # over two lines\nc = 3\nd = 2\nz = 9\n"
    )


@pytest.mark.parametrize(
    ("text", "edit", "now"),
    [
        ("# on b\nb = 1\n", lambda d: d.put((), a=0), "a = 0\n# on b\nb = 1\n"),
        ("a = true\n", lambda d: d.put((), a=1), "a = 1\n"),
        ("a = 1", lambda d: d.put((), b=2), "a = 1\nb = 2\n"),
        ("a = 1\n\n# end", lambda d: d.add(("t",), {}), "a = 1\n\n[[t]]\n\n# end\n"),
        ("[[t]]", lambda d: d.put(("t", 0), a=1), "[[t]]\na = 1\n"),
        (
            "[[t]]\na = 1\n\n[[t]]\na = 2",
            lambda d: d.move(("t",), 0, 1),
            "[[t]]\na = 2\n\n[[t]]\na = 1\n",
        ),
        ("[[t]]\na = 1\n\n[[t]]\na = 2\n", lambda d: d.remove(("t",), 0), "[[t]]\na = 2\n"),
        (
            "[[t]]\na = 1\n[[t]]\na = 2\n",
            lambda d: d.add(("t",), {"a": 3}),
            "[[t]]\na = 1\n[[t]]\na = 2\n[[t]]\na = 3\n",
        ),
        (
            "[[t]]\na = 1\n\n# loose\n\n[[t]]\na = 2\n\n[[t]]\na = 3\n",
            lambda d: d.move(("t",), 2, 0),
            "[[t]]\na = 3\n\n[[t]]\na = 1\n\n# loose\n\n[[t]]\na = 2\n",
        ),
    ],
    ids=[
        "above a comment",
        "type",
        "end",
        "loose",
        "bare",
        "turn",
        "first",
        "close",
        "stay",
    ],
)
def test_what_is_new_or_moved_is_laid_out_as_what_stands_there(text, edit, now):
    draft = TextDraft(text, "a.toml", order={(): ("a", "b")})
    edit(draft)
    assert draft.text == now


@pytest.mark.parametrize(
    ("value", "written"),
    [
        ("Ga", '"Ga"'),
        ('say "Ga"', "'say \"Ga\"'"),
        ("it's \\", '"it\'s \\\\"'),
        ("two\nlines", '"""\ntwo\nlines"""'),
        ("सा\u200dरे 🎵", '"सा\u200dरे 🎵"'),
        ("\x07\u2028", '"\\u0007\\u2028"'),
        (["a", "b"], '["a", "b"]'),
        (["w" * 60, "x" * 60], f'[\n    "{"w" * 60}",\n    "{"x" * 60}",\n]'),
        (True, "true"),
        (72, "72"),
    ],
)
def test_values_are_written_as_a_person_would(value, written):
    draft = TextDraft("", "a.toml")
    draft.put((), x=value)
    assert draft.text == f"x = {written}\n"


@given(NASTY, NASTY, st.sampled_from(["'old'", '"old"', "'''\nold\n'''", '"""\nold\n"""']))
@settings(max_examples=150, deadline=None)
def test_every_text_comes_back_whatever_stood_there(value, other, old):
    draft = TextDraft(f"x = {old} # note\ny = [ {old}, # first\n]\nz = {{ k = {old} }}\n", "a.toml")
    draft.put((), x=value, y=[value, other], z={"k": value, other: [other]})
    now = {"x": value, "y": [value, other], "z": {"k": value, other: [other]}}
    assert alike(meaning(draft.text), now)
    assert alike(tomlkit.parse(draft.text).unwrap(), now)
    assert "# note" in draft.text
    assert "# first" in draft.text


@given(st.dictionaries(NASTY, VALUES, max_size=3), st.dictionaries(NASTY, VALUES, max_size=3))
@settings(max_examples=100, deadline=None)
def test_any_values_come_back_and_may_become_any_others(first, second):
    draft = TextDraft("# top\n", "a.toml")
    for values in (first, second, first):
        draft.put((), {**dict.fromkeys(draft.names()), **values})
        assert alike(meaning(draft.text), values), draft.text
        assert alike(draft.value(), values)
        again = TextDraft(draft.text, "a.toml")
        again.put((), values)
        assert again.text == draft.text
    assert draft.text.startswith("# top\n")


def test_half_of_a_surrogate_pair_is_not_written():
    draft = TextDraft("", "a.toml")
    draft.put((), x="a\ud83c")
    assert meaning(draft.text) == {"x": "a\ufffd"}


def test_what_toml_cannot_hold_is_refused():
    with pytest.raises(TypeError, match="cannot stand in a TOML file"):
        TextDraft("", "a.toml").put((), x=object())


@pytest.mark.parametrize(
    ("text", "line"),
    [("a = 1\nb = \n", 2), ("a = [", 1), ("a = " + "[" * 9000, 1), (f"a = {'9' * 5000}", 1)],
    ids=["value", "list", "deep", "digits"],
)
def test_a_text_that_is_no_toml_is_held_told_and_replaced(text, line):
    draft = TextDraft(text, "bad.toml")
    assert (draft.text, draft.line) == (text, line)
    for ask in (draft.value, lambda: draft.put((), a=1), lambda: draft.add(("b",), {})):
        with pytest.raises(DraftError, match=rf"bad.toml, line {line}: .+; mend the text"):
            ask()
    draft.text = "a = 1\n"
    draft.put((), a=2)
    assert draft.undo()
    assert draft.undo()
    assert draft.text == text


def test_quick_changes_of_one_field_are_undone_together():
    now = [0.0]
    draft = TextDraft('a = ""\nb = ""\n', "a.toml", clock=lambda: now[0])
    for field, at, value in [("a", 0.0, "S"), ("a", 0.5, "Sa"), ("a", 1.2, "Sa "), ("b", 1.3, "R"),
                             ("a", 1.4, "Sa R"), ("a", 9.0, "Sa Re")]:  # fmt: skip
        now[0] = at
        draft.put((), {field: value})
    seen = []
    while draft.undo():
        seen.append((draft.value("a"), draft.value("b")))
    assert seen == [("Sa R", "R"), ("Sa ", "R"), ("Sa ", ""), ("", "")]
    while draft.redo():
        pass
    assert draft.value() == {"a": "Sa Re", "b": "R"}


def test_edits_that_share_a_field_and_each_change_another_are_undone_apart():
    draft = TextDraft("a = 1\nb = 1\nc = 1\n", "a.toml", clock=lambda: 0.0)
    draft.put((), a=2, b=2)
    draft.put((), b=3, c=3)
    assert draft.undo()
    assert draft.value() == {"a": 2, "b": 2, "c": 1}
    draft.put((), b=4)  # all that it changes was changed just now, but that was undone
    assert draft.undo()
    assert draft.value() == {"a": 2, "b": 2, "c": 1}


@pytest.mark.parametrize("lately", [0.0, 9.0])
def test_what_is_edited_as_one_is_undone_in_one_step(lately):
    now = [0.0]
    draft = TextDraft("a = 1\nb = 1\n", "a.toml", clock=lambda: now[0])
    draft.put((), a=2)
    now[0] = lately
    with draft.as_one():
        draft.put((), a=3)
        draft.put((), b=4)
        draft.add(("c",), {})
    assert draft.value() == {"a": 3, "b": 4, "c": [{}]}
    assert draft.undo()
    assert draft.value() == {"a": 1 if lately == 0.0 else 2, "b": 1}
    assert draft.undo() == (lately != 0.0)
    while draft.redo():
        pass
    assert draft.value() == {"a": 3, "b": 4, "c": [{}]}
    with draft.as_one():
        pass
    assert (draft.can_undo, draft.can_redo) == (True, False)


def test_an_edit_after_undo_leaves_nothing_to_redo():
    draft = TextDraft("a = 1\n", "a.toml")
    draft.put((), a=2)
    draft.undo()
    draft.put((), a=3)
    assert (draft.can_redo, draft.redo()) == (False, False)
    assert draft.undo()
    assert draft.text == "a = 1\n"


TABLES = st.sampled_from([("item",), ("word", "list"), ("item", 0, "part")])
SMALL = st.dictionaries(
    st.sampled_from(["name", "x", "y z", "part"]),
    st.one_of(
        SCALARS, st.lists(SCALARS, max_size=3), st.dictionaries(st.sampled_from("ab"), SCALARS)
    ),
    max_size=3,
)


OPENED_BY_A_TABLE = "[[item]]\nname = 'a'\n\n[[item]]\nname = 'b'\n[[item.part]]\ntext = 'p'\n"


class Edits(RuleBasedStateMachine):
    """Edits after edits, beside a model of plain dicts and lists."""

    @initialize(text=st.sampled_from([*WAYS.values(), OPENED_BY_A_TABLE]))
    def begin(self, text):
        self.draft = TextDraft(text, "any.toml", clock=iter(range(0, 10**6, 9)).__next__)
        self.models = [meaning(text)]
        self.texts = [text]
        self.at = 0

    def model(self, *path):
        node = self.models[self.at]
        for part in path:
            node = node[part] if part in node or isinstance(part, int) else {}
        return node

    def listed(self, path):
        try:
            found = self.model(*path)
        except (IndexError, KeyError, TypeError):
            return None
        return (
            found if isinstance(found, list) and all(isinstance(x, dict) for x in found) else None
        )

    def took(self):
        if self.draft.text != self.texts[self.at]:
            del self.models[self.at + 1 :], self.texts[self.at + 1 :]
            self.models.append(meaning(self.draft.text))
            self.texts.append(self.draft.text)
            self.at += 1

    @rule(path=TABLES, value=SMALL, at=st.integers(0, 4))
    def add(self, path, value, at):
        old = self.listed(path)
        if old:
            place = self.draft.add(path, value, at)
            self.took()
            expected = [*old]
            expected.insert(place, value)
            assert alike(self.listed(path), expected)

    @rule(path=TABLES, at=st.integers(0, 4), to=st.integers(0, 4))
    def move(self, path, at, to):
        old = self.listed(path)
        if old and max(at, to) < len(old):
            self.draft.move(path, at, to)
            self.took()
            expected = [*old]
            expected.insert(to, expected.pop(at))
            assert alike(self.listed(path), expected)

    @rule(path=TABLES, at=st.integers(0, 4), more=st.booleans())
    def copy_or_remove(self, path, at, more):
        old = self.listed(path)
        if old and at < len(old) and (more or len(old) > 1):
            if more:
                self.draft.duplicate(path, at, name="copy")
                expected = [*old[: at + 1], {**old[at], "name": "copy"}, *old[at + 1 :]]
            else:
                self.draft.remove(path, at)
                expected = old[:at] + old[at + 1 :]
            self.took()
            assert alike(self.listed(path), expected)

    @rule(at=st.integers(0, 3), values=SMALL)
    def put(self, at, values):
        old = self.listed(("item",))
        if old and at < len(old):
            self.draft.put(("item", at), values)
            self.took()
            assert alike(self.model("item", at), {**old[at], **values})

    @rule(data=st.data())
    def rearrange_parts(self, data):
        old = self.listed(("item", 0, "part"))
        if old:
            new = data.draw(st.lists(st.sampled_from(old) | SMALL, min_size=1, max_size=4))
            self.draft.put(("item", 0), part=new)
            self.took()
            assert alike(self.listed(("item", 0, "part")), new)

    @rule()
    def undo(self):
        assert self.draft.undo() == (self.at > 0)
        self.at = max(0, self.at - 1)

    @rule()
    def redo(self):
        assert self.draft.redo() == (self.at < len(self.texts) - 1)
        self.at = min(len(self.texts) - 1, self.at + 1)

    @precondition(lambda self: hasattr(self, "draft"))
    @invariant()
    def the_text_is_what_it_is_taken_for(self):
        assert self.draft.text == self.texts[self.at]
        assert alike(self.draft.value(), self.models[self.at])
        again = TextDraft(self.draft.text, "any.toml")
        assert alike(again.value(), self.models[self.at])
        for comment in ("# of all", "# counted"):
            assert (comment in self.texts[0]) <= (comment in self.draft.text)

    def teardown(self):
        while self.draft.undo():
            pass
        assert self.draft.text == self.texts[0]


TestEdits = Edits.TestCase
TestEdits.settings = settings(max_examples=40, stateful_step_count=12, deadline=None)

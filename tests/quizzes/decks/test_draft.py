"""A deck under edit: what its text means is judged by `tomllib` of the standard library; texts of
decks come from `DECKS.md`, from the decks that are shipped, and from a writer of texts below that
puts comments wherever TOML 1.0.0 (https://toml.io/en/v1.0.0) allows them."""

import re
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quizzes.decks.deck import FORMS
from quizzes.decks.draft import Draft
from quizzes.decks.faults import DeckError

ROOT = Path(__file__).parents[3]
PAGE = (ROOT / "DECKS.md").read_text("utf-8")
EXAMPLES = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)
SHIPPED = [path.read_text("utf-8") for path in sorted((ROOT / "assets" / "decks").glob("*.toml"))]

SIGNS = "'\"\\\n\t\r#=[]{},. \x00\x1b\x85\u2028सागरे🎵éSRGmPDN"
NASTY = st.text(
    st.sampled_from(SIGNS) | st.characters(exclude_categories=["Cs"]),
    max_size=10,
)
TEXTS = st.lists(NASTY, min_size=1, max_size=3)


def tables(**fields):
    return st.lists(st.fixed_dictionaries({}, optional=fields), min_size=1, max_size=4)


CUE = {
    "sargam": NASTY,
    "recording": NASTY,
    "theka": NASTY,
    "cycles": st.integers(1, 16),
    "tempo": st.floats(20, 300) | st.integers(20, 300),
    "tuning": NASTY,
    "voice": NASTY,
    "drone": NASTY,
}
SHARED = {"prompt": NASTY, "name": NASTY, "why": NASTY, **CUE}
CHOICES = tables(text=NASTY, right=st.booleans(), why=NASTY, sargam=NASTY)
HOLD = {
    "choose-one": {"choice": CHOICES},
    "choose-several": {"choice": CHOICES},
    "put-in-order": {"things": TEXTS, "before": tables(first=NASTY, then=NASTY, why=NASTY)},
    "write-swaras": {"right": NASTY | TEXTS},
    "write-phrase": {"counts": NASTY | TEXTS},
    "true-or-false": {
        "holds": st.booleans(),
        "reason": tables(text=NASTY, holds=st.booleans(), right=st.booleans(), why=NASTY),
    },
    "raga-from-phrase": {
        "skills": TEXTS,
        "ask": TEXTS,
        "ragas": TEXTS,
        "talas": TEXTS,
        "among": TEXTS,
        "phrases": st.dictionaries(st.sampled_from(["yaman", "des"]) | NASTY, TEXTS, min_size=1),
    },
}
"""By kind: what its form holds, whether or not a student could be asked so."""


def forms(kind):
    fields = HOLD[kind] if kind not in FORMS else SHARED | HOLD[kind]
    return st.fixed_dictionaries({"kind": st.just(kind)}, optional=fields)


ANY_FORM = st.sampled_from(sorted(HOLD)).flatmap(forms)


def questions(text):
    return tomllib.loads(text).get("question", [])


def test_every_form_of_a_question_is_tried():
    assert set(FORMS) < set(HOLD)


@pytest.mark.parametrize("kind", HOLD)
@given(data=st.data())
def test_form_to_file_to_form_is_the_identity(kind, data):
    first, second = data.draw(forms(kind)), data.draw(forms(kind))
    draft = Draft.new("Any")
    draft.add(first | {"id": "one"})
    draft.add(second | {"id": "two"}, 0)
    expected = [second | {"id": "two"}, first | {"id": "one"}]
    assert draft.entries() == questions(draft.text) == expected
    again = Draft(draft.text, draft.file)
    for at, values in enumerate(again.entries()):
        again.put(at, **values)
    again.set_head(**again.head())
    assert (again.text, again.can_undo) == (draft.text, False)
    # One form becomes another one, and comes back.
    for values in (second, first):
        draft.put(1, **dict.fromkeys(draft.entry(1)) | values | {"id": "one"})
        assert questions(draft.text)[1] == draft.entry(1) == values | {"id": "one"}


@pytest.mark.parametrize("text", [*EXAMPLES, *SHIPPED], ids=lambda text: text.split('"')[1])
def test_a_written_deck_goes_through_the_forms_unchanged(text):
    draft = Draft(text, "deck.toml")
    draft.set_head(**draft.head())
    for at, values in enumerate(draft.entries()):
        draft.put(at, **values)
    assert draft.text == text
    assert draft.entries() == questions(text)


class Written:
    """A deck's text with comments wherever one may stand; each bears a number of its own."""

    def __init__(self, draw):
        self.draw, self.count = draw, 0
        self.blocks, self.entries, self.loose = [], [], []
        self.text = f'# deck\ndeck = "d"{self.behind()}name = "D"\n'
        for number in range(draw(st.integers(1, 4))):
            if draw(st.booleans()):
                self.loose.append(self.comment())
                self.text += f"\n{self.loose[-1]}\n"
            block, entry = self.question(f"q{number}")
            self.text += "\n" + block
            self.blocks.append(block)
            self.entries.append(entry)
        self.text += draw(st.sampled_from(["", "\n# the end\n", "\n# the end"]))

    def comment(self):
        self.count += 1
        return f"# note {self.count}."

    def behind(self):
        return self.draw(st.sampled_from(["\n", f"  {self.comment()}\n"]))

    def above(self, indent=""):
        return self.draw(st.sampled_from(["", f"{indent}{self.comment()}\n"]))

    def quoted(self, value):
        ways = [f'"{value}"', f"'{value}'", f'"""{value}"""', f"'''\n{value}'''"]
        return self.draw(st.sampled_from(ways))

    def question(self, identity):
        block = self.above() + "[[question]]" + self.behind()
        fields = {"id": identity, "kind": "choose-one", "prompt": f"of {identity}"}
        for key in self.draw(st.permutations(sorted(fields))):
            block += self.above() + f"{key} = {self.quoted(fields[key])}{self.behind()}"
        things = self.draw(st.lists(st.sampled_from("SRGmP"), max_size=3, unique=True))
        if things:
            fields["things"] = things
            inside = "".join(f"\n  {self.quoted(each)},{self.behind()}" for each in things)
            block += f"things = [{inside}]{self.behind()}"
        texts = self.draw(st.lists(st.sampled_from("abcd"), max_size=3, unique=True))
        choices = [{"text": text} for text in texts]
        for choice in choices:
            block += self.above("  ") + "  [[question.choice]]" + self.behind()
            block += f"  text = {self.quoted(choice['text'])}{self.behind()}"
        return block, fields | ({"choice": choices} if choices else {})


@given(st.data())
def test_edits_leave_every_other_question_as_it_is_written_to_the_byte(data):
    written = Written(data.draw)
    clock = iter(range(0, 10**6, 9)).__next__
    draft = Draft(written.text, "d.toml", clock=clock)
    entries = [dict(each) for each in written.entries]
    blocks: list[str | None] = list(written.blocks)
    assert draft.entries() == entries
    texts = [draft.text]
    for _ in range(data.draw(st.integers(1, 6))):
        edit = data.draw(st.sampled_from(["put", "choices", "add", "duplicate", "move", "remove"]))
        at = data.draw(st.integers(0, max(0, len(entries) - 1)))
        if not entries or edit == "add":
            values = data.draw(ANY_FORM)
            at = draft.add(values, at)
            blocks.insert(at, None)
            entries.insert(at, values | {"id": draft.entry(at)["id"]})
        elif edit == "put":
            values = data.draw(st.fixed_dictionaries({"prompt": NASTY, "why": NASTY}))
            draft.put(at, **values)
            # The first prompt of a new question gives it its id.
            entries[at] = entries[at] | values | {"id": draft.entry(at)["id"]}
            blocks[at] = None
        elif edit == "choices":
            values = data.draw(CHOICES)
            draft.put(at, choice=values)
            entries[at] = entries[at] | {"choice": values}
            blocks[at] = None
        elif edit == "duplicate":
            assert draft.duplicate(at) == at + 1
            entries.insert(at + 1, entries[at] | {"id": draft.entry(at + 1)["id"]})
            blocks.insert(at + 1, None)
        elif edit == "move":
            to = data.draw(st.integers(0, len(entries) - 1))
            draft.move(at, to)
            entries.insert(to, entries.pop(at))
            blocks.insert(to, blocks.pop(at))
        else:
            draft.remove(at)
            del entries[at], blocks[at]
        assert draft.entries() == questions(draft.text) == entries, draft.text
        ids = [each["id"] for each in entries]
        assert len(set(ids)) == len(ids)
        places = [draft.text.index(block) for block in blocks if block is not None]
        assert places == sorted(places)
        for comment in ("# deck", *written.loose):
            assert comment in draft.text
        assert "# the end" in draft.text or "# the end" not in written.text
        if draft.text != texts[-1]:
            texts.append(draft.text)
    for text in reversed(texts[:-1]):
        assert draft.undo()
        assert draft.text == text
    assert draft.undo() is False
    assert draft.text == written.text
    for text in texts[1:]:
        assert draft.redo()
        assert draft.text == text
    assert draft.redo() is False


CHOICES_TEXT = """\
deck = "d"
name = "D"

[[question]]
id = "q"
kind = "choose-one"
  # the right one
  [[question.choice]]
  text = "Ga"
  right = true  # heard
  # passed
  [[question.choice]]
  text = 'Re'
  # never there
  [[question.choice]]
  text = "Ma"
"""


def test_choices_that_stay_keep_their_comments_whatever_becomes_of_the_others():
    draft = Draft(CHOICES_TEXT, "d.toml")
    ga, re_, ma = draft.entry(0)["choice"]
    draft.put(0, choice=[ma, ga | {"why": "It is held."}, {"text": "Dha"}])
    assert draft.entry(0)["choice"] == [ma, ga | {"why": "It is held."}, {"text": "Dha"}]
    assert draft.text.endswith(
        '  # never there\n  [[question.choice]]\n  text = "Ma"\n'
        '  # the right one\n  [[question.choice]]\n  text = "Ga"\n  right = true  # heard\n'
        '  why = "It is held."\n'
        '  [[question.choice]]\n  text = "Dha"\n'
    )
    draft.undo()
    draft.put(0, choice=[ga, re_ | {"text": "komal Re"}, ma])
    assert draft.text == CHOICES_TEXT.replace("'Re'", "'komal Re'")
    draft.put(0, choice=[])
    assert "choice" not in draft.entry(0)


def test_a_new_question_is_written_in_the_order_of_the_page():
    draft = Draft('deck = "d"\nname = "D"\n', "d.toml")
    draft.add(
        {
            "choice": [{"right": True, "text": "Ga"}, {"text": "Re"}],
            "why": "It is held.\nListen.",
            "sargam": "N, R G",
            "prompt": "Where does it rest?",
            "kind": "choose-one",
        }
    )
    draft.set_head(tempo=72, about="All.")
    assert draft.text == (
        'deck = "d"\nname = "D"\nabout = "All."\ntempo = 72\n'
        '\n[[question]]\nid = "where-does-it-rest"\nkind = "choose-one"\n'
        'prompt = "Where does it rest?"\nsargam = "N, R G"\nwhy = """\nIt is held.\nListen."""\n'
        '  [[question.choice]]\n  text = "Ga"\n  right = true\n'
        '  [[question.choice]]\n  text = "Re"\n'
    )
    assert draft.faults() == ()
    assert draft.deck().entries[0].id == "where-does-it-rest"


def test_a_new_deck_has_an_id_that_nobody_else_has():
    one, other = Draft.new("First gaps"), Draft.new("First gaps")
    assert re.fullmatch(r"first-gaps-[a-z]{5}", one.head()["deck"])
    assert one.head() == {"deck": one.file.removesuffix(".toml"), "name": "First gaps"}
    assert one.head()["deck"] != other.head()["deck"]
    assert re.fullmatch(r"deck-[a-z]{5}", Draft.new("पहला").head()["deck"])
    assert len(Draft.new("a" * 99).head()["deck"]) == 40


def test_a_prompt_gives_the_id_while_it_is_first_written_and_never_again():
    draft = Draft.new("Any")
    at = draft.add({"kind": "choose-one"})
    assert draft.entry(at)["id"] == "choose-one"
    for prompt in ("Wh", "Whích", "Which swara?"):
        draft.put(at, prompt=prompt)
    assert draft.entry(at)["id"] == "which-swara"
    draft.put(at, why="So.")
    draft.put(at, prompt="Which raga?")
    assert draft.entry(at)["id"] == "which-swara"
    assert draft.duplicate(at) == 1
    assert draft.add({"prompt": "Which swara?"}) == 2
    assert draft.add({"id": "which-swara"}, 0) == 0
    named = [each["id"] for each in draft.entries()]
    assert named == ["which-swara-4", "which-swara", "which-swara-2", "which-swara-3"]


@pytest.mark.parametrize(
    "between",
    [
        lambda draft: draft.put(0, why="So."),
        lambda draft: draft.put(1, why="So."),
        lambda draft: draft.set_head(edition=2),
        lambda draft: setattr(draft, "text", draft.text),
    ],
)
def test_an_id_stays_once_anything_else_was_done(between):
    draft = Draft(CHOICES_TEXT, "d.toml")
    draft.put(draft.add({"kind": "choose-one"}), prompt="Which swara?")
    between(draft)
    draft.put(1, prompt="Which raga?")
    assert draft.entry(1)["id"] == "which-swara"


def test_an_id_is_no_longer_than_a_deck_may_have():
    draft = Draft.new("Any")
    draft.add({"prompt": "word " * 20})
    draft.add({"prompt": "x" * 60})
    draft.add({"prompt": "x" * 60})
    assert [each["id"] for each in draft.entries()] == [
        "word-word-word-word-word-word-word-word",
        "x" * 40,
        "x" * 38 + "-2",
    ]


def test_faults_of_a_question_are_those_that_the_whole_deck_has_there():
    broken = SHIPPED[0].replace('kind = "', 'kind = "no-', 2).replace("skills", "skill")
    draft = Draft(broken, "broken.toml")
    whole = draft.faults()
    assert len({fault.entry for fault in whole}) > 1
    for at in range(len(draft.entries())):
        found = draft.faults_in(at)
        assert set(found) == {fault for fault in whole if fault.entry == at}


IN_BRACKETS = """\
deck = "d"
name = "D"
question = [
  # on Pa
  {id = "pa", kind = "true-or-false", prompt = "Pa lies above Ma.", holds = true},
  {id = "ma", kind = "true-or-false", prompt = "Ma lies above Pa.", holds = 3},  # no
]
"""


def test_questions_that_are_written_as_one_list_are_edited_within_it():
    draft = Draft(IN_BRACKETS, "d.toml")
    assert draft.deck_of(0).entries[0].id == "pa"
    assert draft.faults_in(0) == ()
    assert [(fault.entry, fault.field) for fault in draft.faults_in(1)] == [(1, "holds")]
    draft.put(1, holds=False)
    assert draft.duplicate(1) == 2
    draft.move(0, 2)
    draft.remove(0)
    draft.add({"kind": "choose-one", "prompt": "Which?", "choice": [{"text": "Sa"}]}, 0)
    assert [each["id"] for each in draft.entries()] == ["which", "ma-2", "pa"]
    assert draft.entries() == questions(draft.text)
    assert '  # on Pa\n  {id = "pa", kind' in draft.text


def test_one_question_is_read_whatever_is_wrong_with_the_others():
    text = SHIPPED[0] + "\n[[question]]\nid = 3\n"
    draft = Draft(text, "d.toml")
    at = len(draft.entries()) - 1
    assert draft.deck_of(0).entries == Draft(SHIPPED[0], "d.toml").deck().entries[:1]
    with pytest.raises(DeckError) as caught:
        draft.deck_of(at)
    last = text.rstrip().count("\n") + 1
    assert {(fault.entry, fault.line) for fault in caught.value.faults} <= {
        (at, last),
        (at, last - 1),
    }
    with pytest.raises(IndexError):
        draft.deck_of(at + 1)


def test_a_fault_above_the_questions_keeps_its_line_when_one_question_is_read():
    one = '[[question]]\nid = "%s"\nkind = "true-or-false"\nprompt = "?"\n'
    draft = Draft(f'deck = "d"\nname = ""\n{one % "a"}holds = true\n{one % "b"}', "d.toml")
    with pytest.raises(DeckError) as caught:
        draft.deck_of(1)
    told = [(fault.entry, fault.line, fault.field) for fault in caught.value.faults]
    assert told == [(None, 2, "name"), (1, 8, "holds")]


def test_a_deck_that_is_no_toml_is_shown_and_mended():
    text = 'deck = "d"\nname = \n'
    draft = Draft(text, "d.toml")
    assert draft.text == text
    (fault,) = draft.faults()
    assert (fault.file, fault.line) == ("d.toml", 2)
    edits = (
        draft.deck, draft.head, draft.entries, lambda: draft.put(0, why=""),
        lambda: draft.set_head(name="D"), lambda: draft.add({}), lambda: draft.faults_in(0),
    )  # fmt: skip
    for edit in edits:
        with pytest.raises(DeckError, match=r"d.toml, line 2"):
            edit()
    draft.text = 'deck = "d"\nname = "D"\n'
    assert draft.head() == {"deck": "d", "name": "D"}
    assert draft.undo()
    assert draft.text == text


@pytest.mark.parametrize("at", [-1, 3])
def test_a_question_that_is_not_there_is_not_edited(at):
    draft = Draft(CHOICES_TEXT, "d.toml")
    edits = (draft.put, draft.remove, draft.duplicate, draft.entry, lambda at: draft.move(0, at))
    for edit in edits:
        with pytest.raises(IndexError):
            edit(at)
    assert draft.text == CHOICES_TEXT


def test_several_questions_are_added_and_undone_in_one_step():
    draft = Draft(CHOICES_TEXT, "d.toml")
    assert draft.add_all([{"prompt": "Which?"}, {"prompt": "Which?"}]) == 1
    assert [each["id"] for each in draft.entries()] == ["q", "which", "which-2"]
    assert draft.undo()
    assert draft.text == CHOICES_TEXT


def test_the_last_question_may_go_and_another_come():
    draft = Draft(CHOICES_TEXT, "d.toml")
    draft.remove(0)
    assert draft.text == 'deck = "d"\nname = "D"\n'
    draft.add({"prompt": "Which?"})
    assert draft.entries() == [{"id": "which", "prompt": "Which?"}]


def test_questions_are_not_set_with_the_head():
    with pytest.raises(TypeError, match="changed by put, add"):
        Draft(CHOICES_TEXT, "d.toml").set_head(question=[])

"""What is kept of the skills of ragas is what would be worked out, and is not trusted otherwise."""

import json

from quizzes import kept
from quizzes.ragas.reading import RAGAS
from quizzes.ragas.shipped import read_skills


def test_the_kept_skills_are_those_that_are_worked_out():
    assert kept.KEPT.read_text("utf-8") == kept.worked_out(), (
        'write them anew: .venv/bin/python -c "from quizzes.kept import keep; keep()"'
    )


def test_what_was_kept_of_other_ragas_is_not_taken(tmp_path):
    data = json.loads(kept.KEPT.read_text("utf-8"))
    others = {**data, "made_of": "of others"}
    for text in (json.dumps(others), "{", "[]", json.dumps({"made_of": kept.digest()})):
        (tmp_path / "skills.json").write_text(text, encoding="utf-8")
        assert read_skills(tmp_path / "skills.json", kept.digest()) == {}


def test_the_digest_changes_with_any_raga(tmp_path):
    for path in RAGAS.glob("*.toml"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    assert kept.digest(tmp_path) == kept.digest()
    (tmp_path / "newcomer.toml").write_text("name = 'N'", encoding="utf-8")
    assert kept.digest(tmp_path) != kept.digest()

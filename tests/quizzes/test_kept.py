"""What is kept of skills is what would be worked out, and is not trusted otherwise."""

import json

from quizzes import kept
from quizzes.ragas.reading import RAGAS
from quizzes.ragas.shipped import read_skills


def test_the_kept_skills_are_those_that_are_worked_out():
    assert kept.KEPT.read_text("utf-8") == kept.worked_out(), (
        'write them anew: .venv/bin/python -c "from quizzes.kept import keep; keep()"'
    )


def test_so_are_those_of_all_other_kinds_in_the_same_order():
    assert kept.KEPT_OTHERS.read_text("utf-8") == kept.others_worked_out(), (
        'write them anew: .venv/bin/python -c "from quizzes.kept import keep; keep()"'
    )


def test_the_digest_of_all_else_changes_with_any_of_its_files(tmp_path):
    for path in (
        p for part in ("", "talas/", "stages/") for p in kept.ASSETS.glob(f"{part}*.toml")
    ):
        copy = tmp_path / path.relative_to(kept.ASSETS)
        copy.parent.mkdir(exist_ok=True)
        copy.write_bytes(path.read_bytes())
    assert kept.others_digest(tmp_path) == kept.others_digest()
    for name in ("laya.toml", "talas/rupak.toml", "stages/order.toml"):
        text = (tmp_path / name).read_bytes()
        (tmp_path / name).write_bytes(text + b"# changed\n")
        assert kept.others_digest(tmp_path) != kept.others_digest()
        (tmp_path / name).write_bytes(text)


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

"""Whatever a teacher says of a raga, all that is asked of it can still be asked and explained."""

import pytest

from quizzes import Setting, kind_of, make_question
from quizzes.kept import skills_of

# Invented, to take away what questions stand on: rests, gaps, weights, single forms.
TAUGHT = {
    "bihag": 'nyas = "S"\nvadi = "S P"',
    "patdeep": 'aroha = "S R g m P D N S\'"',
    "jaijaiwanti": 'nyas = "S"',
    "khamaj": 'vadi = "P S"',
    "bhupali": 'nyas = "S"',
    "multani": 'aroha = "S r g M P d N S\'"\nvadi = "S P"',
    "malgunji": 'confirmed = ["notes", "nyas", "scale", "vadi"]',
    "marwa": 'nyas = "S"',
    "ahir_bhairav": 'notes = "S r G m P D n N"',
    "yaman": 'notes = "S R G m M P D N"',
}
TRADITION = "\n".join(f"[{raga}]\n{said}" for raga, said in TAUGHT.items())


@pytest.mark.parametrize(
    "kind",
    ["raga-finish", "raga-rest", "raga-weight", "raga-jati", "raga-that", "raga-bridge"],
)
def test_a_teachers_word_leaves_nothing_that_cannot_be_asked(kind):
    setting = Setting(sa_hz=138.59, tradition=TRADITION)
    for skill in skills_of(kind):
        if skill.id.rpartition(":")[2] in TAUGHT:
            for seed in range(1, 3):
                question = make_question(skill.id, seed=seed, setting=setting)
                for choice in question.choices[:2]:
                    assert kind_of(skill.id).explain(question, choice.id).why.endswith(".")

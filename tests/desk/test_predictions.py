"""The report on predictions, on real logs, as a teacher or a student asks for it."""

import csv
import io
import random
from datetime import UTC, datetime, timedelta

import pytest
from scipy.stats import binomtest

from main import main
from scheduler import Answer, Log


@pytest.fixture
def report(capsys):
    def run(*arguments):
        code = main(list(map(str, arguments)))
        out, err = capsys.readouterr()
        return code, out, err

    return run


def answer(number, **changes):
    values = {
        "student": "mira-1",
        "skill": "swara:R",
        "kind": "swara",
        "seed": number,
        "setting": {},
        "choices": ("R", "G"),
        "right": ("R",),
        "given": "R",
        "credit": 1.0,
        "heard": None,
        "chance": 0.5,
        "predicted": 0.85,
        "reason": "gain",
        "response_ms": 900,
        "utc": datetime.now(UTC) - timedelta(days=60) + timedelta(minutes=number),
        "offset_min": 330,
        "monotonic_s": 60.0 * number,
        "device": "tablet",
        "session": "one",
    }
    return Answer(**{**values, **changes})


@pytest.fixture
def filled(tmp_path):
    """Three hundred answers, of which 252 of those foretold at 85 % are right."""
    path = tmp_path / "log.sqlite"
    order = random.Random(5).sample(range(300), 300)
    with Log(path) as log:
        log.append_all(answer(n, credit=float(order[n] < 252)) for n in range(300))
        log.append_all(answer(n, chance=1.0, predicted=1.0) for n in range(300, 304))
        log.append_all(
            answer(n, kind="order", predicted=0.3, chance=0.1, credit=0.5) for n in range(304, 310)
        )
        log.append(answer(310, student="ravi-2", kind="gap", utc=datetime.now(UTC)))
    return path


def test_the_report_says_in_one_line_how_what_was_foretold_came_true(filled, report):
    code, out, err = report("predictions", "--folder", filled.parent)
    flat = " ".join(out.split())
    assert (code, err) == (0, "")
    assert max(map(len, out.splitlines()[1:])) <= 80
    assert "What was foretold at 80 to 90 % was right 84 % of the time (301 answers)" in flat
    assert "307 answers were foretold. Four answers were left out: what was right had just" in flat
    assert "Six answers were right in part, which counts as not right" in flat
    low, high = binomtest(253, 301).proportion_ci(method="wilson")
    row = next(line for line in out.splitlines() if line.startswith("80 to 90 %"))
    assert row.split()[4:] == ["301", "85", "%", "84", "%", f"{100 * low:.0f}", "to",
                               f"{100 * high:.0f}", "%"]  # fmt: skip
    assert any(
        line.startswith("30 to 40 %") and "fewer than 20" in line for line in out.split("\n")
    )
    assert [line.split()[0] for line in out.split("log loss (constant)")[1].split("\n")[1:4]] == [
        "swara", "order", "gap",
    ]  # fmt: skip


def test_the_folder_may_stand_before_the_command_and_a_student_be_named_by_a_beginning(
    filled, report
):
    code, out, _ = report("--folder", filled.parent, "predictions", "--student", "rav")
    assert code == 0
    assert out.startswith(f"Answers of ravi-2 in {filled}.\nOne answer was foretold.\n")
    assert "So few answers say more about luck" in " ".join(out.split())


def test_only_the_last_days_are_counted_where_these_are_given(filled, report):
    code, out, _ = report("predictions", "--log", filled, "--days", 7)
    assert code == 0
    assert out.startswith(f"Answers of 2 students in {filled}, of the last 7 days.\nOne answer was")


def test_what_is_left_out_as_somebody_elses_is_counted_apart(filled, report):
    with Log(filled) as log:
        log.append_all(answer(n, session="two", credit=0.0) for n in range(400, 405))
        log.leave_out("two", student="mira-1", device="", utc=datetime.now(UTC))
        log.leave_out("one", student="ravi-2", device="", utc=datetime.now(UTC))
    _, out, _ = report("predictions", "--log", filled, "--student", "mira")
    flat = " ".join(out.split())
    assert "306 answers were foretold. Four answers were left out: what was right had just" in flat
    assert "was possible. Five answers were left out as somebody else's. Six answers were" in flat
    code, _, err = report("predictions", "--log", filled, "--student", "ravi")
    assert code == 1
    assert "One answer was left out as somebody else's. Nothing else was asked yet" in err


def test_the_bands_can_be_had_as_csv(filled, report):
    code, out, _ = report("predictions", "--log", filled, "--csv")
    rows = list(csv.DictReader(io.StringIO(out)))
    assert code == 0
    assert {row["of"] for row in rows} == {"all", "swara", "order", "gap"}
    (band,) = (row for row in rows if (row["of"], row["from_percent"]) == ("all", "80"))
    assert (band["answers"], band["right"], float(band["mean_foretold"])) == ("301", "253", 0.85)
    assert float(band["share_right"]) == pytest.approx(253 / 301, abs=1e-6)


def test_a_log_that_cannot_be_told_of_is_refused_with_the_remedy(tmp_path, filled, report, capsys):
    empty, torn, shown = (tmp_path / f"{name}.sqlite" for name in ("empty", "torn", "shown"))
    Log(empty).close()
    with Log(shown) as log:
        log.append(answer(1, chance=1.0, predicted=1.0))
    torn.write_bytes(filled.read_bytes()[:5000])
    asked = {
        ("--log", tmp_path / "none.sqlite"): "there is no such file. Check its name",
        ("--folder", tmp_path / "nowhere"): "there is no such file. Check its name",
        ("--log", torn): "damaged",
        ("--log", empty): "holds no answers yet. Practise first",
        (
            "--log",
            shown,
        ): "One answer was left out: what was right had just",
        ("--log", filled, "--student", "Zoe"): "has no answers there; give one of mira-1 or ravi-2",
        ("--log", filled, "--student", "mira", "--days", 3): "no answers of the last 3 days",
    }
    for arguments, said in asked.items():
        code, out, err = report("predictions", *arguments)
        assert (code, out) == (1, ""), arguments
        assert said in err
        assert str(tmp_path) in err
    with pytest.raises(SystemExit):
        main(["predictions", "--days", "0"])
    assert "give days, a whole number from 1 to 36500" in capsys.readouterr().err

"""`diagnose find` and `diagnose case` from the outside."""

from __future__ import annotations

import json
import multiprocessing
import os
import sys
import time
from pathlib import Path

import pexpect
import pytest

from diagnose.commands.case_figures import Figures
from diagnose.commands.case_runs import stream
from diagnose.commands.main import main

ROOT = Path(__file__).parents[2]

CASE = """
case: white-oil
title: Oil turned white
machine: BFP-2
phase: loaded
reported: {{bearing-oil-look: milky}}
answers: {{leak-off-plume: heavy, gland-steam-on-bearing: plays-on-housing, gland-leak: blowing-one-end}}
true-causes: [gland-steam-in-oil]
must-caution: [{caution}]
expect: {{rank: 2}}
source: common practice
"""


def test_find_gives_the_finding_and_its_value_first(capsys):
    """Words with a slip lead to the finding and the value they mean."""
    assert main(["find", "oil", "in", "the", "bearing", "is", "milkey", "--json"]) == 0
    first = json.loads(capsys.readouterr().out)[0]
    assert (first["finding"], first["value"]) == ("bearing-oil-look", "milky")


def test_find_says_when_nothing_fits(capsys):
    """Nonsense is bad news, not a guess."""
    assert main(["find", "xyzzy"]) == 1
    assert "Nothing in the rules fits" in capsys.readouterr().out


def test_a_case_passes_and_its_row_is_complete(tmp_path, capsys):
    """The JSON row holds id, rank, posterior, ranking, questions, cautions and passed."""
    (tmp_path / "one.yaml").write_text(CASE.format(caution="water-in-oil"), encoding="utf-8")
    assert main(["case", str(tmp_path), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    row = told["cases"][0]
    assert row["id"] == "white-oil"
    assert row["passed"] is True
    assert 0 < row["posterior"] <= 1
    assert abs(sum(one["probability"] for one in row["ranking"] if one["cause"] == "not-listed")) < 1
    assert len(row["questions"]) <= 8
    assert told["summary"]["cautions_missed"] == 0


def test_a_missed_caution_fails_the_case_and_the_command(tmp_path, capsys):
    """A case that expects a caution the rules do not raise fails, says which, and the status is 1."""
    (tmp_path / "one.yaml").write_text(CASE.format(caution="overspeed"), encoding="utf-8")
    assert main(["case", str(tmp_path)]) == 1
    said = capsys.readouterr().out
    assert "FAILED  white-oil" in said
    assert "caution missed: overspeed" in said


def test_fewer_questions_can_be_allowed(tmp_path, capsys):
    """--max-questions bounds what a case may ask."""
    (tmp_path / "one.yaml").write_text(CASE.format(caution="water-in-oil"), encoding="utf-8")
    main(["case", str(tmp_path), "--json", "--max-questions", "1"])
    assert len(json.loads(capsys.readouterr().out)["cases"][0]["questions"]) == 1


def test_a_faulty_case_is_named_with_its_place(tmp_path, capsys):
    """An unknown cause in a case gives file, line and the nearest right name."""
    text = CASE.format(caution="water-in-oil").replace("gland-steam-in-oil", "gland-steam-in-oyl")
    (tmp_path / "one.yaml").write_text(text, encoding="utf-8")
    assert main(["case", str(tmp_path)]) == 2
    error = capsys.readouterr().err
    assert "one.yaml:8" in error
    assert "gland-steam-in-oil" in error


def test_the_summary_is_arithmetic():
    """Shares, mean and percentile of two known outcomes."""
    from types import SimpleNamespace as Some

    case = Some(must_caution=frozenset({"a"}))
    good = Some(passed=True, rank=1, questions=("x",), cautions=("a",))
    bad = Some(passed=False, rank=4, questions=("x", "y", "z"), cautions=())
    figures, other = Figures(), Figures()
    figures.add(case, good)
    other.add(case, bad)
    figures.join(other)
    assert figures.summary() == {
        "cases": 2,
        "passed": 1,
        "rank_1_share": 0.5,
        "top_3_share": 0.5,
        "questions_mean": 2.0,
        "questions_90th_percentile": 3,
        "cautions_missed": 1,
    }


def test_drawn_cases_are_the_same_for_a_seed_and_on_any_number_of_processors(monkeypatch, capsys):
    """Figures over drawn cases depend on the seed alone; a machine can be chosen."""
    told = []
    for processors, seed in ((1, 3), (2, 3), (2, 4)):
        monkeypatch.setattr("os.cpu_count", lambda processors=processors: processors)
        assert main(["case", "--simulate", "45", "--seed", str(seed), "--machine", "bfp-2", "--json"]) == 0
        told.append(json.loads(capsys.readouterr().out)["summary"])
    assert told[0]["cases"] == 45
    assert told[0] == told[1]
    assert told[0] != told[2]


def test_results_come_in_order_and_few_are_held(monkeypatch):
    """However many jobs there are, no more are handed out than a few for each processor ahead of what was taken."""
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    ahead = multiprocessing.get_context("fork").Value("i", 0)

    def work(at):
        with ahead:
            ahead.value = max(ahead.value, at)
        return at * at

    results = stream("numbers", 1000, work)
    for at, result in enumerate(results):
        assert result == at * at
        if at == 100:
            time.sleep(0.2)
            assert ahead.value < 120
        if at == 200:
            results.close()
            break
    assert ahead.value < 220


def test_an_interrupt_gives_what_is_known_by_then(tmp_path):
    """Ctrl-C while the bar moves ends it with the figures so far and status 130, and no process is left behind."""
    child = pexpect.spawn(
        sys.executable, ["-m", "diagnose", "case", "--simulate", "1000000", "--json"], cwd=str(ROOT),
        env={**os.environ, "DIAGNOSE_CACHE": str(tmp_path)}, encoding="utf-8", timeout=300,
    )  # fmt: skip
    child.expect(r"\[\.{30}\] 20 of 1000000")
    child.sendcontrol("c")
    child.expect(r"interrupted after (\d+) of 1000000 cases\.")
    done = int(child.match[1])
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 130
    assert json.loads(child.before)["summary"]["cases"] == done
    assert 0 < done < 1000
    with pytest.raises(ProcessLookupError):
        os.killpg(child.pid, 0)

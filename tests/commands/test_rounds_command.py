"""`diagnose rounds` from the outside."""

from __future__ import annotations

import json
from xml.etree.ElementTree import fromstring

import pytest

from diagnose.commands.main import main
from diagnose.knowledge import library

PUMPS = str(library.demo_site() / "rounds" / "feed-pumps.csv")


def test_the_demo_rounds_name_both_feed_pumps(capsys):
    """Both pumps drift up on one exhaust header, one bearing warms up, four faults of the file are told by line."""
    assert main(["rounds", PUMPS]) == 1
    told = capsys.readouterr().out
    assert "feed-pumps.csv:104: BFP-1 bearing temperature drive end (C): 'hot!' is not a number" in told
    assert told.count("Machines on one exhaust header drift up together") == 2
    assert "bearing temperature drive end is" in told
    assert "2 need a consultation" in told


def test_json_holds_reasons_facts_and_complaints(capsys):
    """A program gets the same as a person."""
    assert main(["rounds", PUMPS, "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["complaint_counts"]["twice"] == 1
    pump = next(one for one in told["machines"] if one["machine"] == "BFP-2")
    assert pump["facts"]["exhaust-pressure-trend"] == "rising"
    assert {reason["kind"] for reason in pump["reasons"]} == {"shared", "drift"}


def test_what_a_round_came_to_is_kept_for_each_machine(capsys):
    """Each machine of the sheet has its run in the journal; with --no-journal nothing is added."""
    assert main(["rounds", PUMPS]) == 1
    assert "(BFP-1)" in capsys.readouterr().out.split("Kept as ")[1]
    assert main(["rounds", PUMPS, "--no-journal"]) == 1
    capsys.readouterr()
    assert main(["journal", "list", "--kind", "round", "--json"]) == 0
    runs = json.loads(capsys.readouterr().out)["runs"]
    assert {run["machine"] for run in runs} == {"BFP-1", "BFP-2"}
    assert len(runs) == 2
    assert main(["journal", "list", "--kind", "round", "--machine", "BFP-2"]) == 0
    assert capsys.readouterr().out.count("round, 1 events") == 1


def test_a_round_that_cannot_be_kept_is_still_judged(tmp_path, monkeypatch, capsys):
    """Where there is no place for a journal the round is shown, and one line says that it is not kept."""
    (tmp_path / "file").write_text("", encoding="utf-8")
    monkeypatch.setenv("DIAGNOSE_DATA", str(tmp_path / "file"))
    assert main(["rounds", PUMPS]) == 1
    told = capsys.readouterr()
    assert told.err.rstrip().endswith("This round is not kept.")
    assert "2 need a consultation" in told.out


def test_the_page_draws_each_change(tmp_path):
    """One drawing for each changed reading, each with a title and a description, well formed."""
    page = tmp_path / "rounds.html"
    assert main(["rounds", PUMPS, "--html", str(page)]) == 1
    text = page.read_text(encoding="utf-8")
    drawings = text.split("<svg")[1:]
    assert len(drawings) == 3
    for drawing in drawings:
        root = fromstring("<svg" + drawing.partition("</svg>")[0] + "</svg>")
        assert root.tag.endswith("svg")
        assert "its normal" in drawing
    assert "://" not in text.replace("http://www.w3.org/2000/svg", "")


def test_a_consultation_opens_with_the_facts_in(capsys):
    """What the file says of the machine and its neighbour is answered before the first question."""
    assert main(["rounds", PUMPS, "--consult", "bfp-2", "--json", "--no-journal"]) == 0
    view = json.loads(capsys.readouterr().out)
    answered = {(row["machine"], row["finding"]): row["said"] for row in view["answered"]}
    assert answered["", "exhaust-pressure-trend"] == "rising"
    assert answered["BFP-1", "exhaust-pressure-trend"] == "rising"
    assert {"exhaust-header-pressure-high", "cooling-jacket-scaled"} <= {row["cause"] for row in view["ranking"]}


def test_an_oil_report_is_judged(tmp_path, capsys):
    """Water past its limit is bad news; the demo's report is not."""
    demo = library.demo_site() / "rounds" / "oil-report-BFP-2.csv"
    assert main(["rounds", "--oil-report", str(demo)]) == 0
    wet = tmp_path / "wet.csv"
    wet.write_text("property,value,unit\nwater,2000,ppm\n", encoding="utf-8")
    assert main(["rounds", "--oil-report", str(wet)]) == 1
    assert "oil-lab-report: water" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("given", "complaint"),
    [
        (["rounds", "missing.csv"], "missing.csv: The file cannot be read"),
        (["rounds"], "Which file?"),
        (["rounds", PUMPS, "--machine", "BFP-7"], "no machine 'BFP-7'"),
        (["rounds", PUMPS, "--consult", "AC-1"], "holds nothing of AC-1"),
        (["rounds", PUMPS, "--false-alarms", "0"], "more than 0"),
    ],
)
def test_wrong_use_is_one_line(given, complaint, capsys):
    """Each mistake is named in one line without a traceback."""
    assert main(given) == 2
    told = capsys.readouterr().err.strip()
    assert complaint in told
    assert "\n" not in told

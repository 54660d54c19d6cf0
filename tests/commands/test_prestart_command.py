"""`diagnose prestart` from the outside."""

from __future__ import annotations

import io
import json

import pytest

from diagnose.commands.main import main


def typed(monkeypatch, *lines):
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))


def test_not_ready_is_exit_status_1_with_the_reason(capsys):
    """Milky oil given as a flag: not ready, the reason, the caution and who decides."""
    assert (
        main(["prestart", "--machine", "BFP-2", "--no-input", "--no-journal", "--check", "bearing-oil-good=milky"]) == 1
    )
    told = capsys.readouterr().out
    assert "[FAILED]   What does the bearing oil look like? (milky)" in told
    assert "DO NOT START" in told
    assert "BFP-2: NOT READY, before steam is let in." in told
    assert "Who decides: supervisor." in told


def test_a_start_is_kept_over_a_shift_change(monkeypatch, capsys):
    """What one shift saw stands when the next resumes, and what it takes up goes on from there."""
    typed(monkeypatch, "clear", "nonsense", "all fitted", "back", "leave")
    assert main(["prestart", "--machine", "BFP-2"]) == 1
    told = capsys.readouterr().out
    assert "'nonsense' is not one of the answers" in told
    assert main(["prestart", "--resume", "--machine", "BFP-2", "--json", "--no-input"]) == 1
    stage = json.loads(capsys.readouterr().out)["stages"][0]
    outcomes = {row["check"]: row["outcome"] for row in stage["checks"]}
    assert (outcomes["tags-clear"], outcomes["guards-on"]) == ("done", "not-seen")


def test_the_handover_counts_starts(monkeypatch, capsys):
    """A start that was kept stands in the numbers of the shift."""
    typed(monkeypatch, "clear", "leave")
    main(["prestart", "--machine", "BFP-2"])
    assert main(["journal", "handover", "--markdown", "--out", "-"]) == 0
    assert "Start-ups" in capsys.readouterr().out


def test_all_good_is_ready_for_steam(monkeypatch, capsys):
    """Every first choice typed, and the exhaust pressure as normal: ready up to the stage asked for, exit status 0."""
    from diagnose.commands import prestart

    asked = []

    def line_for(start, row):
        finding = start.knowledge.findings[start.checks[row.check].ask]
        judged = start.knowledge.findings[finding.judged_as] if finding.reading and finding.judged_as else finding
        asked.append(judged.normal)

    monkeypatch.setattr(prestart, "_put", line_for)
    monkeypatch.setattr("sys.stdin", _Answers(asked))
    assert main(["prestart", "--machine", "BFP-2", "--until", "pre-start", "--no-journal"]) == 0
    assert "BFP-2: READY. All checks up to 'before steam is let in' are done" in capsys.readouterr().out


class _Answers:
    """Standard input that types the normal answer of whatever was asked last."""

    def __init__(self, asked):
        self._asked = asked

    def __iter__(self):
        while True:
            yield self._asked[-1] + "\n"

    def isatty(self):
        return False


@pytest.mark.parametrize(
    ("given", "complaint"),
    [
        (["prestart", "--no-journal"], "Which machine"),
        (["prestart", "--resume", "20200101-aaaa"], "no start '20200101-aaaa'"),
        (
            ["prestart", "--machine", "BFP-2", "--no-journal", "--no-input", "--check", "tags-clear=purple"],
            "not one of the answers",
        ),
        (
            ["prestart", "--machine", "BFP-2", "--no-journal", "--no-input", "--check", "tagsclear=clear"],
            "no check 'tagsclear'",
        ),
    ],
)
def test_wrong_use_is_one_line(given, complaint, capsys):
    """Each mistake is named in one line without a traceback."""
    assert main(given) == 2
    told = capsys.readouterr().err.strip()
    assert complaint in told
    assert "\n" not in told

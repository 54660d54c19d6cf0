"""`diagnose consult` from the outside: flags, files, pipes, resuming, bad input."""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
import subprocess
import sys
import time
from pathlib import Path

import pexpect
import pyte
import pytest

from diagnose.commands.main import main

ROOT = Path(__file__).parents[2]
ON = ["--machine", "BFP-2", "--phase", "loaded"]


def typed(monkeypatch, *lines):
    """Give the command these lines as its input."""
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))


def test_a_symptom_in_own_words_leads_to_causes_and_a_caution(monkeypatch, capsys):
    """Milky oil, misspelt, through a pipe: the caution stands before the causes, and the ending names both."""
    typed(monkeypatch, "oil has gone milkey", "1", "e")
    assert main(["consult", "--plain", *ON]) == 0
    said = capsys.readouterr().out
    assert said.index("CALL THE SUPERVISOR: Water in the bearing oil") < said.index("Cause 1 of")
    assert "Gland steam blowing into the bearing housing" in said
    assert "Something these rules do not cover" in said
    assert "Order of authority" in said


def test_diagnose_alone_opens_a_consultation_on_the_demo_site(monkeypatch, capsys):
    """Without a word, the demo site's machines are offered, and end of input leaves without a loop."""
    typed(monkeypatch)
    assert main([]) == 0
    assert "BFP-2" in capsys.readouterr().out


def test_flags_alone_run_a_whole_consultation(capsys):
    """With --no-input and --json nothing is asked, and the ending is data."""
    status = main(
        ["consult", *ON, "--reading", "exhaust-pressure=42 psig", "--reading", "sentinel-valve=sounding", "--json"]
    )
    view = json.loads(capsys.readouterr().out)
    assert status == 0
    assert view["ranking"][0]["cause"] in ("exhaust-header-pressure-high", "exhaust-block-valve-not-open")
    assert "casing-pressure-high" in [row["caution"] for row in view["cautions"]]
    assert view["answered"][0]["judged"] == "high"
    assert len(view["supervisor"]) == 3


def test_an_answers_file_answers_as_questions_come(tmp_path, capsys):
    """Machine, phase, complaint and answers may all stand in a file."""
    file = tmp_path / "answers.yaml"
    file.write_text(
        "machine: BFP-2\nphase: loaded\nreported: {bearing-oil-look: milky}\nanswers: {leak-off-plume: heavy}\n",
        encoding="utf-8",
    )
    assert main(["consult", "--answers", str(file), "--json"]) == 0
    view = json.loads(capsys.readouterr().out)
    assert [row["finding"] for row in view["answered"]][:2] == ["bearing-oil-look", "leak-off-plume"]


def test_another_machines_reading_becomes_a_shared_cause(capsys):
    """High exhaust pressure on two machines of one header is concluded as shared."""
    readings = ["--reading", "exhaust-pressure=2.9", "--reading", "BFP-1:exhaust-pressure=2.9"]
    assert main(["consult", *ON, *readings, "--json"]) == 0
    view = json.loads(capsys.readouterr().out)
    assert view["ranking"][0]["cause"] == "exhaust-header-pressure-high"
    assert "shared-exhaust-header-problem" in [weight["finding"] for weight in view["ranking"][0]["weights"]]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["frobnicate"], "There is no command 'frobnicate'"),
        (["consult", "--machine", "BFP2", "--phase", "loaded", "--no-input"], "Did you mean 'BFP-2'?"),
        (["consult", "--machine", "BFP-2", "--phase", "loadd", "--no-input"], "Did you mean 'loaded'?"),
        (["consult", "--no-input"], "Add --machine"),
        (["consult", *ON, "--no-input", "--reading", "oil-rng=stopped"], "Did you mean 'oil-ring'?"),
        (["consult", *ON, "--no-input", "--reading", "oil-ring"], "is not NAME=VALUE"),
        (["consult", *ON, "--no-input", "--reading", "exhaust-pressure=180F"], "'F' is a unit of temperature"),
        (["consult", *ON, "--no-input", "--reading", "exhaust-pressure=38"], "Did you mean psi"),
        (["consult", *ON, "--no-input", "--symptom", "xyzzy plugh"], "does not say clearly"),
        (["consult", "--answers", "/nowhere/answers.yaml", "--no-input"], "There is no such file"),
        (["consult", "--site", "/nowhere", "--no-input"], "There is no such site"),
        (["consult", "--resume", "20200101-none"], "There is no consultation '20200101-none'"),
    ],
)
def test_wrong_use_is_one_clear_line(arguments, said, capsys):
    """Each mistake ends with status 2 and one line that says how to mend it, never a traceback."""
    assert main(arguments) == 2
    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1
    assert "Traceback" not in error


def test_faulty_rules_are_named_line_by_line(tmp_path, capsys):
    """A site with a fault in its rules is refused, with the file, line and mend of each fault."""
    (tmp_path / "machines").mkdir()
    (tmp_path / "rules").mkdir()
    (tmp_path / "site.yaml").write_text("site: Test works\n", encoding="utf-8")
    (tmp_path / "rules" / "own.yaml").write_text(
        "rules:\n  - rule: x\n    symptom: {oil-rng: stopped}\n", encoding="utf-8"
    )
    assert main(["consult", "--site", str(tmp_path), "--no-input"]) == 2
    error = capsys.readouterr().err
    assert re.search(r"own\.yaml:3:\d+", error)
    assert "Did you mean 'oil-ring'?" in error


def test_a_consultation_that_was_left_is_resumed_at_its_open_question(monkeypatch, capsys):
    """Leaving in the middle and resuming stands at the very question that was open, with every answer kept."""
    typed(monkeypatch, "milky oil in the bearing", "1", "q")
    main(["consult", "--plain", *ON])
    left = capsys.readouterr().out
    asked = re.findall(r"^Question: (.*)$", left, re.MULTILINE)[-1]
    typed(monkeypatch, "q")
    assert main(["consult", "--plain", "--resume"]) == 0
    resumed = capsys.readouterr().out
    assert re.findall(r"^Question: (.*)$", resumed, re.MULTILINE)[0] == asked
    assert "Water in the bearing oil" in resumed


def test_a_journal_that_cannot_be_written_does_not_refuse_help(monkeypatch, capsys, tmp_path):
    """Without a journal the operator is still served, and told that nothing is kept."""
    blocked = tmp_path / "file"
    blocked.write_text("", encoding="utf-8")
    monkeypatch.setenv("DIAGNOSE_DATA", str(blocked))
    assert main(["consult", *ON, "--reading", "bearing-oil-look=milky", "--no-input"]) == 0
    caught = capsys.readouterr()
    assert "not kept" in caught.err
    assert "Water in the bearing oil" in caught.out


def wait_for(child, screen, text):
    """Read the pseudo-terminal until the screen shows the text."""
    stream = pyte.Stream(screen)
    until = time.monotonic() + 30
    while not any(text in line for line in screen.display):
        assert time.monotonic() < until, "\n".join(screen.display)
        with contextlib.suppress(pexpect.TIMEOUT):
            stream.feed(child.read_nonblocking(4096, timeout=0.2))


def test_a_real_terminal_shows_the_screen_and_leaves_clean():
    """On a pseudo-terminal of 80 by 24 the full screen opens, takes words and a number, and Ctrl-C leaves saved."""
    env = {**os.environ, "TERM": "xterm", "PROMPT_TOOLKIT_NO_CPR": "1"}
    child = pexpect.spawn(
        sys.executable, ["-m", "diagnose", *ON], cwd=str(ROOT), env=env, dimensions=(24, 80), encoding="utf-8"
    )
    screen = pyte.Screen(80, 24)
    wait_for(child, screen, "What is not normal")
    child.send("milky oil\r")
    wait_for(child, screen, "Which of these")
    child.send("1\r")
    wait_for(child, screen, "CALL THE SUPERVISOR")
    child.sendcontrol("c")
    wait_for(child, screen, "aved")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0


def test_end_of_input_in_a_pipe_ends_with_what_is_known():
    """A closed input never loops: the ending is printed and the process ends."""
    ran = subprocess.run(
        [sys.executable, "-m", "diagnose", "consult", *ON, "--reading", "sentinel-valve=sounding"],
        cwd=ROOT, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=60, check=True,
    )  # fmt: skip
    assert "Read this to your supervisor" in ran.stdout


def test_a_reader_that_goes_away_is_no_fault():
    """Output into a closed pipe ends quietly."""
    command = f"{sys.executable} -m diagnose consult --machine BFP-2 --phase loaded --no-input | true"
    ran = subprocess.run(["bash", "-c", command], cwd=ROOT, capture_output=True, text=True, timeout=60, check=False)
    assert "Traceback" not in ran.stderr
    assert "fault of this program" not in ran.stderr


@pytest.mark.parametrize(
    "variable", [{"NO_COLOR": "1"}, {"TERM": "dumb"}, {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONIOENCODING": "ascii"}]
)
def test_poor_terminals_get_complete_plain_text(variable):
    """Without colour, with a dumb terminal or an ASCII locale, the ending is whole and free of escapes."""
    ran = subprocess.run(
        [sys.executable, "-m", "diagnose", "consult", *ON, "--reading", "sentinel-valve=sounding", "--plain"],
        cwd=ROOT, stdin=subprocess.DEVNULL, capture_output=True, timeout=60, check=True, env={**os.environ, **variable},
    )  # fmt: skip
    assert b"\x1b" not in ran.stdout
    assert b"Read this to your supervisor" in ran.stdout

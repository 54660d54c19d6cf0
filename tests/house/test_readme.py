"""What the README shows works: every command of its shell blocks, and its YAML."""

from __future__ import annotations

import io
import re
import shlex
import sys
from pathlib import Path

import pytest

from diagnose.commands.main import COMMANDS, main
from diagnose.knowledge import library

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```(\w+)\n(.*?)^```", README, re.MULTILINE | re.DOTALL)
SHELL = [line for kind, text in BLOCKS if kind == "sh" for line in text.splitlines() if line.strip()]
OURS = [line for line in SHELL if line.startswith("diagnose")]
SET_UP = [line for line in SHELL if not line.startswith("diagnose")]


@pytest.fixture(autouse=True)
def own_folders(tmp_path, monkeypatch):
    """Keep journal, cache and what is written apart, beside the cases, and have nobody at the keyboard."""
    monkeypatch.setenv("DIAGNOSE_CACHE", str(tmp_path / "cache"))
    monkeypatch.setenv("DIAGNOSE_DATA", str(tmp_path / "data"))
    (tmp_path / "cases").symlink_to(ROOT / "cases")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "stdin", io.StringIO("q\n"))


@pytest.mark.parametrize("line", OURS)
def test_every_command_shown_works(line, monkeypatch, capsys):
    """Each command of the README is right use; what it takes up was begun before. A failed case is bad news (1)."""
    if "--resume" in line:
        main(["--machine", "BFP-2", "--phase", "loaded"])
        monkeypatch.setattr(sys, "stdin", io.StringIO("q\n"))
    if line.startswith(("diagnose quiz results", "diagnose quiz debrief")):
        monkeypatch.setattr(sys, "stdin", io.StringIO("3\n\n"))
        main(["quiz", "run", "--plain", "--course", "--format", "first-action", "--trainee", "Nora Example"])
    status = main(shlex.split(line)[1:])
    assert status in ((0, 1) if "case" in line.split() else (0,)), capsys.readouterr().err


def test_there_is_something_to_run():
    """The README shows commands of every family it tells of, so the test above proves something."""
    assert len(OURS) >= 6
    named = {word for line in OURS for word in line.split()[1:2]}
    assert {"find", "case", "consult"} <= named
    assert {name for name in named if not name.startswith("-")} <= set(COMMANDS)


def test_the_set_up_commands_are_the_two_that_ci_runs():
    """Outside our own commands the README shows the demo and the test command; .ci/run takes both from here."""
    assert [line.split("&&")[-1].strip() for line in SET_UP] == [".venv/bin/diagnose", ".venv/bin/pytest"]
    assert "README.md" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_the_yaml_shown_loads():
    """The example rule is right against the shipped rules."""
    texts = {f"rules/{path.name}": path.read_text(encoding="utf-8") for path in library.shipped_rules().glob("*.yaml")}
    shown = "".join(text for kind, text in BLOCKS if kind == "yaml")
    _, problems = library.load_texts(texts, {"site.yaml": "site: Test works\n", "rules/own.yaml": shown})
    assert not problems, "\n".join(problem.line() for problem in problems)

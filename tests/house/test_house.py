"""What the house promises: floors, doors, words and tests that can fail."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "diagnose"
TESTS = sorted((ROOT / "tests").rglob("test_*.py"))
TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "CHANGELOG.md",
    "diagnose", "rules", "cases", "tests", ".ci", ".gitignore", "constraints.txt",
}  # fmt: skip


def test_the_top_level_holds_nothing_beyond_the_design():
    """A newcomer finds only what the design lists at the top."""
    files = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False).stdout.split(
        "\n"
    )
    tops = {name.split("/")[0] for name in files if name}
    assert tops <= TOP_LEVEL


def test_nothing_heavy_at_the_door():
    """Importing the package loads neither YAML, SQLite, the terminal library nor any other slow one."""
    loaded = _modules_after("import diagnose")
    assert not {"yaml", "sqlite3", "prompt_toolkit", "pint", "rapidfuzz", "argparse"} & loaded


def test_a_plain_consultation_needs_no_slow_library():
    """Opening a session and its plain face loads neither the terminal library, pint, rapidfuzz nor YAML."""
    loaded = _modules_after("import diagnose.consultation.session, diagnose.terminal.plain, diagnose.knowledge.library")
    assert not {"yaml", "prompt_toolkit", "pint", "rapidfuzz", "asyncio", "statistics", "jinja2"} & loaded


def test_the_engine_stands_alone():
    """The engine loads nothing of ours besides itself."""
    ours = {name for name in _modules_after("import diagnose.engine") if name.startswith("diagnose.")}
    assert all(name.startswith("diagnose.engine") for name in ours)


def _modules_after(statement: str) -> set[str]:
    code = f"import sys; {statement}; print(*sys.modules)"
    ran = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    return set(ran.stdout.split())


@pytest.mark.parametrize("path", TESTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_test_says_what_holds_and_asserts_do_not_hide(path):
    """Each test has a sentence, and no assertion hides its comparison in the message."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            assert ast.get_docstring(node), f"{node.name} has no sentence"
        if isinstance(node, ast.Assert) and node.msg is not None:
            hidden = isinstance(node.msg, ast.Compare | ast.BoolOp | ast.Tuple)
            assert not hidden, f"line {node.lineno}: the message of an assert must be text"


def test_only_the_library_reads_files_below_the_edge():
    """Below the edge nothing but the library opens files, reads the clock, the environment or the terminal."""
    forbidden = re.compile(
        r"\bopen\(|\bprint\(|datetime\.now|time\.time\(|os\.environ|^import random|\binput\(|read_text\("
    )
    allowed = {"library.py", "__main__.py", "compiled.py"}
    rooms = (
        "values",
        "engine",
        "belief",
        "calculations",
        "knowledge",
        "reasoning",
        "consultation",
        "training",
        "planning",
    )
    found = [
        f"{path.relative_to(ROOT)}:{number}"
        for room in rooms
        for path in sorted((PACKAGE / room).rglob("*.py"))
        if path.name not in allowed
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if forbidden.search(line.split("#")[0]) and not line.strip().startswith((">>>", "..."))
    ]
    assert not found, "\n".join(found)


def test_the_journal_only_grows():
    """No statement in the journal changes or erases what was kept."""
    text = "\n".join(path.read_text(encoding="utf-8") for path in (PACKAGE / "journal").rglob("*.py"))
    assert not re.search(r"\b(UPDATE|DELETE FROM|DROP TABLE|REPLACE INTO)\b", text)


def test_no_room_is_called_after_nothing():
    """No module or folder is called utils, helpers, common, core, base or manager."""
    names = {path.stem for path in PACKAGE.rglob("*") if path.suffix in ("", ".py")}
    assert not names & {"utils", "util", "helpers", "helper", "common", "core", "base", "manager", "misc"}


def test_cautions_never_come_from_belief():
    """What raises cautions is compiled without belief: the module that compiles rules does not import it."""
    assert "belief" not in (PACKAGE / "reasoning" / "compile.py").read_text(encoding="utf-8")


def test_every_threat_names_tests_that_stand():
    """Each test that DEVELOPERS.md calls as a witness is one of the suite, and each row of threats calls one."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    standing = {name for path in TESTS for name in re.findall(r"def (test_\w+)", path.read_text(encoding="utf-8"))}
    assert set(re.findall(r"`(test_\w+)`", text)) <= standing
    rows = [row for row in text.split("## Threats")[1].split("## ")[0].splitlines() if row.startswith("| ")][1:]
    assert len(rows) > 10
    assert all("`test_" in row for row in rows)

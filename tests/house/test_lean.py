"""Each command loads what its work needs and nothing slow besides: this is what a start costs."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SLOW = {
    "prompt_toolkit", "asyncio", "jinja2", "pint", "openpyxl", "rapidfuzz", "sqlite3", "multiprocessing", "concurrent",
    "subprocess", "logging", "email", "ssl", "socket", "random", "inspect", "dataclasses", "shutil", "tempfile",
    "seuif97", "yaml",
}  # fmt: skip
CONSULT = ["consult", "--plain", "--machine", "BFP-2", "--phase", "loaded", "--no-journal"]
# Command: what it may load of these all the same, and at most how many modules of ours.
LEAN = {
    "find": (["find", "milky oil in the bearing"], set(), 25),
    "consult": ([*CONSULT, "--reading", "sentinel-valve=sounding"], {"dataclasses", "inspect", "seuif97"}, 85),
    "case": (["case", "one.yaml"], {"dataclasses", "inspect", "seuif97", "yaml"}, 95),
    "journal": (["journal", "list"], {"dataclasses", "inspect", "shutil", "sqlite3"}, 80),
}
CASE = """
case: white-oil
title: Oil turned white
machine: BFP-2
phase: loaded
reported: {bearing-oil-look: milky}
true-causes: [gland-steam-in-oil]
expect: {rank: 9}
source: common practice
"""
CODE = """
import sys
bare = set(sys.modules)
from diagnose.commands.main import main
try:
    main(sys.argv[1:])
finally:
    print(*sorted(set(sys.modules) - bare), file=sys.stderr)
"""


@pytest.mark.parametrize("command", LEAN)
def test_a_command_loads_only_what_its_work_needs(command, tmp_path):
    """With the rules in the cache, no slow library is loaded that the work does not need, and few modules of ours."""
    arguments, needed, most = LEAN[command]
    (tmp_path / "one.yaml").write_text(CASE, encoding="utf-8")
    env = {**os.environ, "PYTHONPATH": str(ROOT), "DIAGNOSE_DATA": str(tmp_path), "DIAGNOSE_CACHE": str(tmp_path)}
    for _ in range(2):  # the first fills the cache
        ran = subprocess.run(
            [sys.executable, "-c", CODE, *arguments], cwd=tmp_path, env=env, stdin=subprocess.DEVNULL,
            capture_output=True, text=True, timeout=300, check=True,
        )  # fmt: skip
    loaded = ran.stderr.splitlines()[-1].split()
    assert {name.split(".")[0] for name in loaded} & SLOW <= needed
    assert sum(name.startswith("diagnose") for name in loaded) <= most

"""``rules check`` with a warm cache beside a bare load of the same files, both as whole processes; and how it grows.

python tests/benchmarks/planning_check.py [ROUNDS]
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from diagnose.knowledge.library import load, load_texts, shipped_rules  # noqa: E402
from diagnose.planning.lint import lint  # noqa: E402
from diagnose.planning.rule_base import RuleBase  # noqa: E402

BARE = (
    "import yaml, glob, sys\nfor f in glob.glob(sys.argv[1] + '/*.yaml'): yaml.load(open(f, encoding='utf-8'), yaml.{})"
)
_IN_A_FILE = 1_250
GROWTH = (1_250, 2_500, 5_000, 10_000, 20_000)


def median(command: list[str], rounds: int, **environment: str) -> float:
    """Give the median time of a process in seconds."""
    taken = []
    for _ in range(rounds):
        start = time.perf_counter()
        subprocess.run(command, cwd=ROOT, env={**os.environ, **environment}, stdout=subprocess.DEVNULL, check=False)
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def grown(number: int) -> dict[str, str]:
    """Give files with so many rules in all, each about its own finding, five of them to a cause."""
    return {f"rules/part-{first}.yaml": _part(first, first + _IN_A_FILE) for first in range(0, number, _IN_A_FILE)}


def _part(first: int, last: int) -> str:
    put, numbers = "put-right: [{who: maintenance, do: Look.}]", range(first, last)
    values = "values: {no: normal, yes: abnormal}, source: from memory"
    findings = [f"  f{at}: {{ask: Is it {at}?, how: Look., {values}}}" for at in numbers]
    causes = [
        f"  c{at}: {{title: Cause {at}, how-common: rare, if-left: Worse., {put}, source: from memory}}"
        for at in range(first // 5, last // 5)
    ]
    rules = [
        f"  - {{rule: r{at}, symptom: {{f{at}: 'yes'}}, causes: {{c{at // 5}: usually}}, source: from memory}}"
        for at in numbers
    ]
    return "\n".join(["findings:", *findings, "causes:", *causes, "rules:", *rules])


def main(rounds: int = 9) -> None:
    """Measure and print."""
    rules = str(shipped_rules())
    with tempfile.TemporaryDirectory() as cache:
        check = [sys.executable, "-m", "diagnose", "rules", "check"]
        median(check, 1, DIAGNOSE_CACHE=cache)
        warm = median(check, rounds, DIAGNOSE_CACHE=cache)
    for name, loader in (("in C", "CSafeLoader"), ("in Python", "SafeLoader")):
        bare = median([sys.executable, "-c", BARE.format(loader), rules], rounds if loader[0] == "C" else 3)
        print(f"bare yaml.load {name:10} {bare * 1e3:7.0f} ms; rules check is {warm / bare:.2f} x")
    print(f"rules check, warm         {warm * 1e3:7.0f} ms")
    base = RuleBase(load().knowledge)
    start = time.perf_counter()
    found = lint(base)
    print(f"the checks alone          {(time.perf_counter() - start) * 1e3:7.0f} ms, {len(found)} problems")
    for number in GROWTH:
        texts = grown(number)
        start = time.process_time()
        knowledge, problems = load_texts(texts)
        loaded = time.process_time()
        lint(RuleBase(knowledge))
        end = time.process_time()
        each = (end - loaded) / number * 1e6
        print(
            f"{number:6} rules: load {loaded - start:5.2f} s, checks {end - loaded:5.2f} s, {each:4.0f} us a rule, {len(problems)} faults"
        )


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))

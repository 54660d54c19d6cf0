"""Reading 2,000 rules: our checked load beside the YAML library's own bare composition in C, turn by turn.

    python tests/benchmarks/loading_yaml.py [RULES]

Times are medians of interleaved rounds; the ratio to bare composition is what holds from one computer to another.
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import yaml

from diagnose.knowledge.library import load_texts
from diagnose.knowledge.nodes import read

ROUNDS = 5
PER_FILE = 100


def made_up(rules: int) -> dict[str, str]:
    """Give files of as many rules, about 650 bytes each, that load without a problem."""
    files = {"rules/names.yaml": "features: {fitted: {title: Fitted}}\n"}
    for start in range(0, rules, PER_FILE):
        numbers = range(start, min(start + PER_FILE, rules))
        findings = "".join(
            f"  f{n}:\n    ask: What does part {n} look like from a safe distance?\n    how: Look at it from the walkway.\n"
            f"    values: {{plain: normal, odd: abnormal}}\n    source: common practice\n"
            for n in numbers
        )
        causes = "".join(
            f"  c{n}:\n    title: Part {n} is worn\n    how-common: sometimes\n    if-left: It wears further.\n"
            f"    put-right: [{{who: maintenance, do: Renew part {n}.}}]\n    source: common practice\n"
            for n in numbers
        )
        bodies = "".join(
            f"  - rule: r{n}\n    phases: [run-up, loaded]\n    needs: [fitted]\n    symptom: {{f{n}: odd}}\n"
            f"    causes: {{c{n}: usually, c{start}: rarely}}\n"
            f"    actions: [{{who: operator, do: Tell the supervisor what part {n} looks like.}}]\n    source: from memory\n"
            for n in numbers[1:]
        )
        files[f"rules/part{start}.yaml"] = f"findings:\n{findings}causes:\n{causes}rules:\n{bodies}"
    return files


def main(rules: int = 2000) -> None:
    """Measure and print."""
    files = made_up(rules)
    whole = sum(map(len, files.values()))
    ways = {
        "bare composition in C": lambda: [yaml.compose(text, Loader=yaml.CSafeLoader) for text in files.values()],
        "our nodes, parser in C": lambda: [read(text, file, []) for file, text in files.items()],
        "our nodes, parser in Python": lambda: [read(text, file, [], pure=True) for file, text in files.items()],
        "checked knowledge, parser in C": lambda: load_texts(files),
    }
    _, problems = load_texts(files)
    if problems:
        raise SystemExit(problems[0].line())
    times: dict[str, list[float]] = {name: [] for name in ways}
    for _ in range(ROUNDS):
        for name, way in ways.items():
            start = time.perf_counter()
            way()
            times[name].append(time.perf_counter() - start)
    bare = statistics.median(times["bare composition in C"])
    print(f"{rules} rules, {whole / 1e6:.1f} MB, {len(files)} files")
    for name, taken in times.items():
        median = statistics.median(taken)
        print(f"{name:32} {median * 1e3:8.0f} ms   {median / bare:5.2f} x bare composition")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))

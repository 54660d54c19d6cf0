"""From process start to the first question, against importing the terminal library; and memory. Run it by itself.

    python tests/benchmarks/start_up.py

Whole processes, interleaved A B A B, warm cache; the figure is the ratio of medians within this run.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time

ROUNDS = 15
CONSULT = [
    sys.executable,
    "-m",
    "diagnose",
    "consult",
    "--plain",
    "--machine",
    "BFP-2",
    "--phase",
    "loaded",
    "--no-journal",
]
ASKED = (b"Question:", b"What is not normal?")
TERMINAL = [sys.executable, "-c", "from prompt_toolkit import PromptSession"]


def first_question(symptom: list[str], env: dict[str, str]) -> float:
    """Return the seconds from start to the line that asks."""
    begun = time.perf_counter()
    process = subprocess.Popen(
        [*CONSULT, *symptom], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env=env
    )
    assert process.stdout
    for line in process.stdout:
        if line.startswith(ASKED):
            break
    took = time.perf_counter() - begun
    process.communicate(b"")
    return took


def first_line(arguments: list[str], env: dict[str, str]) -> float:
    """Return the seconds from start to the first line printed."""
    begun = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, "-m", "diagnose", *arguments], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env=env
    )
    assert process.stdout
    process.stdout.readline()
    took = time.perf_counter() - begun
    process.communicate()
    return took


def whole(command: list[str], env: dict[str, str]) -> float:
    begun = time.perf_counter()
    subprocess.run(command, check=True, env=env, stdout=subprocess.DEVNULL)
    return time.perf_counter() - begun


def main() -> None:
    with tempfile.TemporaryDirectory() as cache:
        env = {**os.environ, "DIAGNOSE_CACHE": cache, "PYTHONUNBUFFERED": "1"}
        reading = ["--reading", "sentinel-valve=sounding"]
        first_question([], env)  # fills the cache
        asked, with_symptom, terminal, bare, found, cased = [], [], [], [], [], []
        for _ in range(ROUNDS):
            asked.append(first_question([], env))
            terminal.append(whole(TERMINAL, env))
            with_symptom.append(first_question(reading, env))
            bare.append(whole([sys.executable, "-I", "-c", "pass"], env))
            found.append(whole([sys.executable, "-m", "diagnose", "find", "milky oil"], env))
            cased.append(first_line(["case", "cases/lubrication.yaml"], env))
    base = statistics.median(terminal)
    for name, times in (
        ("bare Python", bare),
        ("terminal library imported", terminal),
        ("find, whole", found),
        ("case to the first line", cased),
        ("consult --plain to the first prompt", asked),
        ("consult --plain with a symptom to the first question", with_symptom),
    ):
        median = statistics.median(times)
        print(
            f"{name:55} {median * 1000:7.1f} ms   {median / base:5.2f} x terminal library   "
            f"{median / statistics.median(bare):5.2f} x bare Python"
        )
    print(f"largest process of all: {resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024:.1f} MiB (limit 80)")


if __name__ == "__main__":
    main()

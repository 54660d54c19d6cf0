"""Figures of the trainer, by seeded runs: training_figures.py [CASES] [CLASSES] [STEM] [DIFFICULTY ...].

Makes so many cases of each difficulty and replays each through the consultation; puts some to simulated trainees;
correlates the measured difficulty with the mark of a case (Spearman), which is the mean over the honest kinds of
trainee (expert, novice, fixed order) of the mean over many of each kind; says how reliable that mark is (split half,
Spearman-Brown); draws classes of 30 cases and checks the order of the trainees' mean marks. STEM-DIFFICULTY.json
keeps the marks so far, to go on later or beside another process.
"""

import json
import sys
import time
from itertools import pairwise
from pathlib import Path
from random import Random

from training_trainees import TRAINEES, panel

from diagnose.consultation.replay import replay
from diagnose.knowledge import library
from diagnose.training import generate
from diagnose.training.open_case import walk
from diagnose.training.standing import correlation, ranks, standing

SEED = 3105
CLASS = 30
BANK = 60  # cases of each difficulty that the trainees try; the rest are only solved


def main(cases, classes, stem, difficulties):
    """Make what is missing of these difficulties, then print the figures over all that is kept."""
    knowledge = library.load(site=library.demo_site()).knowledge
    for difficulty in difficulties:
        file, begun = Path(f"{stem}-{difficulty}.json"), time.perf_counter()
        rows = json.loads(file.read_text()) if file.exists() else []
        for made in generate.make(knowledge, generate.Wish(difficulty), SEED, cases, after=len(rows)):
            rows.append(row_of(made, difficulty, knowledge, tried=len(rows) < BANK))
            file.write_text(json.dumps(rows))
        solved = sum(row["solved"] for row in rows)
        print(f"{difficulty}: {solved} of {len(rows)} solved within the budget, {time.perf_counter() - begun:.0f} s")
    files = [Path(f"{stem}-{difficulty}.json") for difficulty in generate.BUDGET]
    figures([row for file in files if file.exists() for row in json.loads(file.read_text())], classes)


def row_of(made, difficulty, knowledge, *, tried):
    """Return what a case is and, when it is tried, what each trainee made of it."""
    case = made.case
    outcome = replay(case, knowledge, case.expect.within_questions)
    looks = walk(case, knowledge, case.expect.within_questions).looks if tried else ()
    minutes = sum(look.choice.minutes for look in looks)
    marks = {}
    for name, trainee in TRAINEES.items() if tried else ():
        marked = trainee(case, knowledge, Random(f"{SEED} {case.id} {difficulty} {name}"), minutes)
        parts = (marked.safety.mark, marked.accuracy.mark, marked.economy.mark, marked.handling.mark)
        marks[name] = [marked.total, bool(marked.unsafe), *parts]
    return {
        "difficulty": difficulty,
        "hidden": made.difficulty.hidden,
        "parts": list(made.difficulty),
        "solved": outcome.rank == 1 and len(outcome.questions) <= case.expect.within_questions,
        "marks": marks,
        "panel": panel(case, knowledge, f"{SEED} {case.id} {difficulty}", minutes) if tried else {},
    }


def mark_of(marks, half=None):
    """Return the mark of a case: the mean over kinds of trainee of the mean of each; of one half of them, if wished."""
    kinds = [many if half is None or len(many) < 2 else many[half::2] for many in marks.values()]
    return sum(sum(many) / len(many) for many in kinds) / len(kinds)


def figures(rows, classes):
    """Print the correlation, the order of the trainees and who passes."""
    rows = [row for row in rows if row["marks"]]
    measured = ranks([row["hidden"] for row in rows])
    whole = [mark_of(row["panel"]) for row in rows]
    halves = [[mark_of(row["panel"], half) for row in rows] for half in (0, 1)]
    half = correlation(*halves)
    told = correlation(measured, ranks(whole))
    print(f"Spearman, difficulty and mark of a case, over {len(rows)} cases: {told:.3f}")
    print(f"reliability of the mark of a case (split half, Spearman-Brown): {2 * half / (1 + half):.3f}")
    for kind in rows[0]["panel"]:
        marks = [sum(row["panel"][kind]) / len(row["panel"][kind]) for row in rows]
        print(f"... {kind} alone, {len(rows[0]['panel'][kind])} of them: {correlation(measured, ranks(marks)):.3f}")
    random, right, passed = Random(SEED), 0, dict.fromkeys(TRAINEES, 0)
    for _ in range(classes):
        chosen = random.sample(rows, CLASS)
        mean = {name: sum(row["marks"][name][0] for row in chosen) / CLASS for name in TRAINEES}
        order = [mean[name] for name in ("expert", "novice", "fixed order", "random", "reckless")]
        right += all(one > other for one, other in pairwise(order))
        for name in TRAINEES:
            marks = [(row["marks"][name][0], row["marks"][name][1]) for row in chosen]
            passed[name] += standing(marks).level == "passed"
    for name in TRAINEES:
        columns = list(zip(*(row["marks"][name] for row in rows), strict=True))
        print(f"{name:12} mean {sum(columns[0]) / len(rows):5.1f}, unsafe {sum(columns[1]) / len(rows):.2f}", end=", ")
        parts = ", ".join(f"{sum(column) / len(rows):.2f}" for column in columns[2:])
        print(f"safety, accuracy, economy, order: {parts}; passes {passed[name]} of {classes} classes")
    print(f"right order expert > novice > fixed order > random > reckless in {right} of {classes} classes of {CLASS}")


if __name__ == "__main__":
    main(
        int(sys.argv[1]) if len(sys.argv) > 1 else 500,
        int(sys.argv[2]) if len(sys.argv) > 2 else 1000,
        sys.argv[3] if len(sys.argv) > 3 else "training",
        sys.argv[4:] or list(generate.BUDGET),
    )

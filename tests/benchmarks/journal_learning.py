"""Does learning from closed jobs help? Simulated plants whose true frequencies differ from the shipped ones.

    python -m tests.benchmarks.journal_learning --plants 3 --seed 1 [--svg FILE]

Each plant draws its own frequencies around the shipped ones (how common: a factor exp(``--spread`` z), so that
half the causes are wrong by a factor of 2.7 or more; how often shown: the log-odds moved by z). Its machines fail, an operator notices an abnormal finding and is led through at most eight
questions under the shipped rules, answers err and fail as the rules say, and maintenance records what was wrong. After
0, 10, 25, 50, 100 and 200 outcomes the same fresh cases are consulted with the learnt overlay. Shown: the share of
cases with a true cause first and in the first three, the mean surprise (-log of the true cause's share, in nats) and
the expected calibration error of the first row.

Exit status 1 unless 200 outcomes rank better, surprise less and calibrate no worse, and 10 are within the bound.
"""

from __future__ import annotations

import argparse
import tempfile
from math import log
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, NamedTuple

from diagnose.journal.closed_jobs import closed_jobs, counted
from diagnose.journal.learning import proposals
from diagnose.journal.learnt_rules import FILE, overlay
from diagnose.journal.store import open_journal
from diagnose.knowledge import library
from tests.journal.plants import a_case, close_a_job, consulted, true_plant

if TYPE_CHECKING:
    from diagnose.knowledge.model import Knowledge

STEPS = (0, 10, 25, 50, 100, 200)
BOUND = 0.05  # nats of mean surprise that ten outcomes may cost at most
AT = "2026-03-02T08:00:00.000+00:00"


class Score(NamedTuple):
    """How well fresh cases were judged."""

    first: float
    three: float
    surprise: float
    calibration: float


def scored(knowledge: Knowledge, cases) -> Score:
    """Consult on every case and score the rankings."""
    first = three = surprise = 0.0
    told: list[tuple[float, bool]] = []
    for machine, case in cases:
        ranking = consulted(knowledge, machine, case).ranking
        names, shares, causes = [name for name, _ in ranking], dict(ranking), case[0].causes
        first += names[0] in causes
        three += bool(causes & set(names[:3]))
        surprise += -sum(log(max(shares.get(cause, 0.0), 1e-6)) for cause in causes) / len(causes)
        told.append((ranking[0][1], names[0] in causes))
    count = len(cases)
    return Score(first / count, three / count, surprise / count, calibration_error(told))


def calibration_error(told: list[tuple[float, bool]], bins: int = 10) -> float:
    """Return the mean distance between what was said and how often it was so, over bins of equal number."""
    told = sorted(told)
    groups = [told[len(told) * at // bins : len(told) * (at + 1) // bins] for at in range(bins)]
    return sum(abs(sum(said for said, _ in group) - sum(right for _, right in group)) for group in groups) / len(told)


def learnt(base: Knowledge, texts, journal) -> Knowledge:
    """Return the rules with everything accepted that the journal's closed jobs propose now."""
    proposed = proposals(counted(closed_jobs(journal), base), base)
    text = overlay(proposed, base, texts["rules"], "simulated planner", AT)
    loaded = library.load_kept({"rules": texts["rules"], "site": {**texts["site"], f"/rules/{FILE}": text}})
    if loaded.problems:
        raise SystemExit(loaded.problems[0].line())
    return loaded.knowledge


def plant(base: Knowledge, texts, seed: int, cases: int, spread: float) -> list[Score]:
    """Return the scores of one plant at every step."""
    random = Random(seed)
    truth = true_plant(base, random, spread=spread)
    machines = list(base.site.machines.values())

    def fresh():
        machine = random.choice(machines)
        return machine, a_case(truth, machine, random)

    test = [fresh() for _ in range(cases)]
    scores = []
    with tempfile.TemporaryDirectory() as folder:
        journal = open_journal(Path(folder, "journal.sqlite3"))
        list(journal.rows("PRAGMA synchronous = OFF"))  # what is measured here is not the disk
        for done, wanted in zip((0, *STEPS), STEPS, strict=False):
            for number in range(done, wanted):
                close_a_job(journal, f"r{number}", base, *fresh())
            scores.append(scored(learnt(base, texts, journal) if wanted else base, test))
            print(f"plant {seed}, {wanted} outcomes: " + _line(scores[-1]), flush=True)
    return scores


def _line(score: Score) -> str:
    return (
        f"first {score.first:.1%}, in three {score.three:.1%}, surprise {score.surprise:.3f}, "
        f"calibration error {score.calibration:.3f}"
    )


def drawn(means: list[Score]) -> str:
    """Return the curve of the mean surprise as SVG."""
    low, high = min(one.surprise for one in means), max(one.surprise for one in means)
    room = (high - low) or 1.0
    points = [
        (60 + 500 * at / STEPS[-1], 30 + 200 * (high - one.surprise) / room)
        for at, one in zip(STEPS, means, strict=True)
    ]
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    marks = "".join(
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4"/><text x="{x:.1f}" y="{y - 10:.1f}">{one.surprise:.2f}</text>'
        f'<text x="{x:.1f}" y="255">{at}</text>'
        for (x, y), at, one in zip(points, STEPS, means, strict=True)
    )
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 290" role="img" font-family="sans-serif" font-size="12">'
        f"<title>Mean surprise at the true cause against closed jobs</title><rect width='640' height='290' fill='white'/>"
        f'<polyline points="{path}" fill="none" stroke="#0d5f6e" stroke-width="2"/>{marks}'
        '<text x="250" y="280">closed jobs with an outcome</text></svg>\n'
    )


def main() -> int:
    """Run and print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--plants", type=int, default=3)
    parser.add_argument("--cases", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--spread", type=float, default=1.5, help="how far the plants' causes are from the shipped ones"
    )
    parser.add_argument("--svg", type=Path, help="write the curve to this file")
    given = parser.parse_args()
    texts = library.texts_to_keep(site=library.demo_site())
    base = library.load_kept(texts).knowledge
    runs = [plant(base, texts, given.seed + number, given.cases, given.spread) for number in range(given.plants)]
    means = [Score(*(sum(column) / len(runs) for column in zip(*at, strict=True))) for at in zip(*runs, strict=True)]
    for wanted, score in zip(STEPS, means, strict=True):
        print(f"mean of {len(runs)} plants, {wanted:3} outcomes: {_line(score)}")
    if given.svg:
        given.svg.write_text(drawn(means), encoding="utf-8")
    before, ten, after = means[0], means[1], means[-1]
    worst = max(run[1].surprise - run[0].surprise for run in runs)
    print(f"10 outcomes cost at worst {worst:+.3f} nats on one plant (bound {BOUND}).")
    better = after.first > before.first and after.surprise < before.surprise
    calm = after.calibration <= before.calibration + 0.01 and worst <= BOUND and ten.surprise <= before.surprise + BOUND
    return int(not (better and calm))


if __name__ == "__main__":
    raise SystemExit(main())

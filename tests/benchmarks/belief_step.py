"""Time from an answer to the next question: `python tests/benchmarks/belief_step.py [--quick] [--json]`.

Random networks, eight causes a finding, three findings in ten with two abnormal values, error rates and a not-listed
share. Whole consultations of twelve answers, each the most informative question, answered as the network expects. Exit
status 1 when a goal is missed.
"""

import argparse
import json
import sys
from itertools import combinations
from math import log, prod
from pathlib import Path
from random import Random
from statistics import median
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from diagnose.belief import Belief, Network, Table, firm, scaled_odds
from diagnose.belief.noisy_or import entropy

ANSWERS = 12
SIZES = {(60, 120): (5.0, 20.0), (150, 250): (5.0, 20.0), (300, 600): (None, None), (1000, 2000): (50.0, None)}
WORDS = (0.985, 0.80, 0.50, 0.20, 0.025)


def network(causes, findings, random, parents=8):
    """Draw a network of this size."""
    names = [f"c{i}" for i in range(causes)]
    tables = {}
    for k in range(findings):
        values = ("normal", "low", "high") if random.random() < 0.3 else ("normal", "yes")
        links = {(c, random.choice(values[1:])): random.choice(WORDS) for c in random.sample(names, parents)}
        tables[f"f{k}"] = Table(values, dict.fromkeys(values[1:], 0.004), links, 0.02)
    return Network(scaled_odds({c: 10 ** random.uniform(-3, -1) for c in names}, 0.1), tables)


def consultation(belief, random):
    """Time in ms the first question, each step from an answer to the next question, and each ranking."""
    first, question = timed(lambda: best(belief))
    steps, rankings = [], []
    for _ in range(ANSWERS):
        chances = belief.predict(question)
        said = firm(belief.network.findings[question], random.choices(list(chances), list(chances.values()))[0])

        def step(question=question, said=said):
            belief.answer(question, said)
            return best(belief)

        taken, question = timed(step)
        steps.append(taken)
        rankings.append(timed(lambda: (belief.marginals(), belief.sets(5)))[0])
    return first, steps, rankings


def best(belief):
    """Choose the question of the greatest gain."""
    gains = belief.gains()
    return max(gains, key=gains.__getitem__)


def timed(do):
    """Run it; give milliseconds and the result."""
    start = perf_counter()
    result = do()
    return 1000 * (perf_counter() - start), result


class Listing:
    """The same step with every hypothesis listed and every one visited for every question, as the yardstick."""

    def __init__(self, net):
        self.net, self.open = net, list(net.findings)
        sets = [frozenset(s) for n in (1, 2) for s in combinations(net.causes, n)]
        self.rows = {
            f: [t.said(t.given(s)) for s in sets] + [t.said(net.elsewhere(f))] for f, t in net.findings.items()
        }
        self.left = {f: [entropy(row) for row in rows] for f, rows in self.rows.items()}
        self.weights = [prod(net.causes[c] for c in s) for s in sets] + [net.not_listed_odds]

    def answer(self, finding, value):
        """Take a firm answer and choose the next question."""
        at = self.net.findings[finding].values.index(value)
        self.open.remove(finding)
        self.weights = [w * row[at] for w, row in zip(self.weights, self.rows[finding], strict=True)]
        total = sum(self.weights)
        chances = [w / total for w in self.weights]
        return max(self.open, key=lambda f: self._gain(f, chances))

    def _gain(self, finding, chances):
        said = [
            sum(p * q for p, q in zip(chances, column, strict=True)) for column in zip(*self.rows[finding], strict=True)
        ]
        return entropy(said) - sum(p * h for p, h in zip(chances, self.left[finding], strict=True))


def against_listing(seed):
    """Ratio of the yardstick's median step to ours at 60 causes, taken in turn, with the same questions chosen."""
    random = Random(seed)
    net = network(60, 120, random)
    belief, listing = Belief(net), Listing(net)
    question, ours, theirs, agreed = best(belief), [], [], 0
    for _ in range(ANSWERS):
        chances = belief.predict(question)
        value = random.choices(list(chances), list(chances.values()))[0]
        belief.answer(question, firm(net.findings[question], value))
        mine, chosen = timed(lambda: best(belief))
        yardstick, other = timed(lambda question=question, value=value: listing.answer(question, value))
        ours.append(mine)
        theirs.append(yardstick)
        agreed += chosen == other
        question = chosen
    return {
        "listing_ms": median(theirs),
        "ours_ms": median(ours),
        "ratio": median(theirs) / median(ours),
        "agreed": agreed,
    }


def measure(causes, findings, runs):
    """Figures for one size over some consultations; the first question of the first builds the tables' constants."""
    random = Random(1)
    built, net = timed(lambda: network(causes, findings, random))
    results = [consultation(Belief(net), random) for _ in range(runs)]
    steps = [ms for _, each, _ in results for ms in each]
    rankings = [ms for _, _, each in results for ms in each]
    return {
        "causes": causes,
        "findings": findings,
        "build_ms": built,
        "first_cold_ms": results[0][0],
        "first_ms": median(first for first, _, _ in results[1:]),
        "step_median_ms": median(steps),
        "step_worst_ms": max(steps),
        "ranking_median_ms": median(rankings),
    }


def missed(row):
    """Say which goals this size misses."""
    most, worst = SIZES[row["causes"], row["findings"]]
    if most is not None and row["step_median_ms"] >= most:
        yield f"{row['causes']} causes: median {row['step_median_ms']:.1f} ms, goal {most}"
    if worst is not None and row["step_worst_ms"] >= worst:
        yield f"{row['causes']} causes: worst {row['step_worst_ms']:.1f} ms, goal {worst}"


def main():
    """Measure, print, and give the exit status."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--quick", action="store_true", help="two consultations a size instead of ten")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    rows = [measure(*size, runs=2 if options.quick else 10) for size in SIZES]
    small, large = rows[0], rows[-1]
    growth = log(large["step_median_ms"] / small["step_median_ms"]) / log(large["findings"] / small["findings"])
    compared = against_listing(1)
    failures = [line for row in rows for line in missed(row)]
    if options.json:
        print(json.dumps({"sizes": rows, "growth": growth, "listing": compared, "missed": failures}, indent=1))
    else:
        print("causes findings  build  first (cold)  step median / worst  ranking   ms")
        for r in rows:
            print(
                f"{r['causes']:6} {r['findings']:8} {r['build_ms']:6.1f} {r['first_ms']:6.1f} ({r['first_cold_ms']:5.1f})"
                f" {r['step_median_ms']:12.2f} / {r['step_worst_ms']:5.2f} {r['ranking_median_ms']:8.2f}"
            )
        print(f"growth of the median with findings: exponent {growth:.2f}")
        print(
            f"listing every hypothesis at 60: {compared['listing_ms']:.1f} ms against {compared['ours_ms']:.2f},"
            f" ratio {compared['ratio']:.0f}; same question in {compared['agreed']} of {ANSWERS}"
        )
        print("\n".join(f"missed: {line}" for line in failures) or "every goal met")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())

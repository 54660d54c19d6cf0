"""How much of what could be known do few questions find? Cases simulated from the shipped rules.

    python tests/benchmarks/recognition.py --cases 2000

Five answers in a hundred are wrong and ten questions cannot be answered, whatever the rules believe. Each case is
asked by the consultation's own questions until it ends by itself, and looked at after eight as well; then everything
is asked that an operator can be asked, which is the ceiling that no choice of questions can pass but by luck. Right is
a first row (or one of the first three) that is a true cause, or what is not covered where nothing listed is wrong.
Causes not listed are few, so as many cases again of that kind alone are drawn with --unlisted.
"""

from __future__ import annotations

import argparse
import sys
from itertools import islice
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from simulated import WORLDS, Case, Context, Operator, ask_everything, consult, run

from diagnose.belief.scoring import wilson
from diagnose.consultation.replay import MOST_QUESTIONS

SEED, UNLISTED_SEED = 2_000, 2_001
WAYS = ("eight questions", "own end", "everything")


class Outcome(NamedTuple):
    """What one case came to in each of the three ways: the best rank of a true row, of each true row, and questions."""

    causes: frozenset[str]
    first: tuple[int, ...]
    all_of: tuple[int, ...]
    asked: tuple[int, ...]


def main() -> None:
    """Simulate and tell."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cases", type=int, default=2_000)
    parser.add_argument("--unlisted", type=int, default=500, help="further cases of something not listed")
    parser.add_argument("--world", choices=WORLDS, default="more wrong")
    parser.add_argument("--processes", type=int, default=2)
    options = parser.parse_args()
    done = run(outcome_of, SEED, range(options.cases), options.world, options.processes)
    print(f"{len(done):,} cases, world: {options.world}\n")
    print(f"{'':34}{'':9}" + "".join(f"{way:>18}" for way in WAYS))
    tell("right cause first", done, lambda one, way: one.first[way] == 1)
    tell("right cause in the first three", done, lambda one, way: one.first[way] <= 3)
    pairs = [one for one in done if len(one.causes) == 2]
    tell("both of two in the first four", pairs, lambda one, way: one.all_of[way] <= 4)
    tell("not listed, and recognised", [one for one in done if not one.causes], lambda one, way: one.first[way] == 1)
    if options.unlisted:
        more = run(
            outcome_of, UNLISTED_SEED, range(options.unlisted), f"{options.world}, not listed", options.processes
        )
        tell("the same, drawn for it", more, lambda one, way: one.first[way] == 1)
    if done:
        means = (sum(one.asked[way] for one in done) / len(done) for way in range(3))
        print(f"{'questions, mean':43}" + "".join(f"{mean:18.1f}" for mean in means))


def outcome_of(context: Context, case: Case, operator: Operator) -> Outcome:
    """Ask in the three ways and note the ranks."""
    ranks, asked = [], [0]
    steps = consult(context, operator)
    asked[0] = sum(1 for _ in islice(steps, MOST_QUESTIONS))
    ranks.append(_ranks(context, case))
    asked.append(asked[0] + sum(1 for _ in steps))
    ranks.append(_ranks(context, case))
    context.desk.begin_again([case.said])
    asked.append(ask_everything(context, operator))
    ranks.append(_ranks(context, case))
    return Outcome(case.causes, tuple(map(min, ranks)), tuple(map(max, ranks)), tuple(asked))


def _ranks(context: Context, case: Case) -> list[int]:
    names = [name for name, _ in context.desk.ranking()]
    return [names.index(name) + 1 for name in case.truths]


def tell(what: str, outcomes: list[Outcome], right) -> None:
    """Print how many come out right in each way, and which part of the ceiling that is."""
    if not outcomes:
        return
    hits = [sum(right(one, way) for one in outcomes) for way in range(3)]
    print(f"{what:34}{len(outcomes):9,}" + "".join(f"{hit / len(outcomes):18.1%}" for hit in hits))
    spans = [wilson(hit, len(outcomes)) for hit in hits]
    print(f"{'  95 % interval':43}" + "".join(f"{f'{low:.1%} to {high:.1%}':>18}" for low, high in spans))
    if hits[2]:
        print(f"{'  part of the ceiling':43}" + "".join(f"{hit / hits[2]:18.1%}" for hit in hits))


if __name__ == "__main__":
    main()

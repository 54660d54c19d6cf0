"""How many questions, and minutes, until the matter is settled? Against other orders, and against the exact optimum.

    python tests/benchmarks/economy.py --cases 200 --networks 40

First, cases simulated from the shipped rules (`simulated.py`) are asked in the consultation's own order, in the order
of the rule files, and in random order, to the same end: settled, or no question left that is worth asking.

Then, small networks are cut out of the shipped rules: a machine and a phase, a complaint, up to twelve likeliest
causes after it and the questions that tell most of them, as many as can be solved. Their optimum is found by dynamic programming over all that
can be answered (`tests/belief/optimum.py`), with wrong answers, questions that cannot be answered, pairs of causes and
something not listed; the consultation's own choice goes down the same tree. The end is: settled, or out of questions.
As few of these can be settled by their few questions, networks made up of the same words, in which most can, follow.
"""

from __future__ import annotations

import argparse
import sys
from functools import partial
from multiprocessing import Pool
from pathlib import Path
from random import Random
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "belief"))

from optimum import Questioning
from simulated import PHASE_WEIGHTS, WORLDS, Case, Context, Operator, consult, own_question, run, shipped

from diagnose.belief import Belief, Network, Table, scaled_odds
from diagnose.consultation.next_question import (
    ROUND_TRIP,
    WORTH_ASKING,
    Candidate,
    best,
    candidates,
    decided,
    ends,
    first_of,
)
from diagnose.knowledge.model import PHASES

SEED = 300
CAUSES, MOST_STATES = 12, 50_000
LEAST_CAUSES = 4


def main() -> None:
    """Simulate, solve, and tell."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cases", type=int, default=200)
    parser.add_argument("--networks", type=int, default=40)
    parser.add_argument("--processes", type=int, default=2)
    options = parser.parse_args()
    if options.cases:
        against_other_orders(options.cases, options.processes)
    if options.networks:
        against_the_optimum(options.networks, options.processes)


# ---- against other orders, on the whole network


class Asked(NamedTuple):
    """Questions put, minutes spent on them, and whether the matter was settled."""

    questions: int
    minutes: float
    settled: bool


def against_other_orders(cases: int, processes: int) -> None:
    """Print the means of the three orders over simulated cases."""
    done = run(in_each_order, SEED, range(cases), "as believed", processes)
    print(f"{cases} cases simulated from the shipped rules\n{'order':20} questions   minutes   settled")
    own = [case[0] for case in done]
    for name, each in zip(("own", "of the rule files", "random"), zip(*done, strict=True), strict=True):
        questions, minutes = _mean(one.questions for one in each), _mean(one.minutes for one in each)
        print(f"{name:20} {questions:9.1f} {minutes:9.1f} {_mean(one.settled for one in each):9.1%}", end="")
        print(f"   {questions / _mean(one.questions for one in own):.2f} times the questions of its own order")
    print()


def in_each_order(context: Context, case: Case, operator: Operator) -> tuple[Asked, ...]:
    """Ask the same case in its own, in the files' and in random order."""
    shuffled = partial(_at_random, Random(case.number))
    return tuple(_ask(context, case, operator, policy) for policy in (own_question, _as_filed, shuffled))


def _ask(context: Context, case: Case, operator: Operator, policy) -> Asked:
    context.desk.begin_again([case.said])
    put = [ROUND_TRIP + context.findings[one.finding].effort for one in consult(context, operator, policy)]
    return Asked(len(put), sum(put), bool(decided(context.desk.belief, None)))


def _as_filed(context: Context, closed: frozenset[str]) -> Candidate | None:
    return _any(
        context, closed, lambda open_now: min(open_now, key=lambda one: list(context.findings).index(one.finding))
    )


def _at_random(random: Random, context: Context, closed: frozenset[str]) -> Candidate | None:
    return _any(context, closed, random.choice)


def _any(context: Context, closed: frozenset[str], choose) -> Candidate | None:
    """Choose among all that could be put, as long as one of them is worth asking."""
    if best(context.desk, context.signs, closed) is None:
        return None
    return choose(list(candidates(context.desk, (), closed)))


# ---- against the optimum, on networks cut out of it


class Costs(NamedTuple):
    """Expected questions or minutes of the optimum, of the consultation's own choice, and of the order as cut."""

    optimum: float
    own: float
    by_gain: float
    in_order: float


def against_the_optimum(networks: int, processes: int) -> None:
    """Print what own choice costs on small networks, beside the least that any choice can cost."""
    kinds = (("cut out of the shipped rules", cut), ("made up of yes-or-no questions", made_up))
    with Pool(processes) as pool:
        for kind, make in kinds:
            done = pool.map(partial(solve, make), range(networks), chunksize=1)
            causes, questions = _mean(one.causes for one in done), _mean(one.questions for one in done)
            print(f"{networks} networks {kind}: {causes:.1f} causes and {questions:.1f} questions in the mean")
            for what, each in (("questions", [one.asked for one in done]), ("minutes", [one.minutes for one in done])):
                _tell_costs(what, each)


def _tell_costs(what: str, each: list[Costs]) -> None:
    costs = Costs(*(_mean(column) for column in zip(*each, strict=True)))
    print(
        f"  {what:10} optimum {costs.optimum:6.3f}   own {costs.own:6.3f}   by gain alone {costs.by_gain:6.3f}", end=""
    )
    print(f"   as filed {costs.in_order:6.3f}   own / optimum {costs.own / costs.optimum:.3f}", end="")
    worst, saved = max(one.own / one.optimum for one in each), costs.in_order - costs.own
    print(f" (worst {worst:.3f})   {saved / (costs.in_order - costs.optimum):.0%} of what can be saved")


class Solved(NamedTuple):
    """A small network's size, and its costs in questions and in minutes."""

    causes: int
    questions: int
    asked: Costs
    minutes: Costs


def solve(make, number: int) -> Solved:
    """Make a network and cost it: in questions (each alike), and in minutes."""
    network, given, minutes, can_tell = make(number)
    asked, spent = (_costs(network, given, cost, can_tell) for cost in (dict.fromkeys(minutes, 1.0), minutes))
    return Solved(len(network.causes), len(minutes), asked, spent)


def _costs(network: Network, given, cost: dict[str, float], can_tell: dict[str, float]) -> Costs:
    questioning = Questioning(network, cost, ends, given=given, can_tell=can_tell)
    own, by_gain = (partial(choose, cost, can_tell) for choose in (_own, _by_gain))
    return Costs(
        questioning.cheapest(),
        questioning.of(own),
        questioning.of(by_gain),
        questioning.of(lambda _, still_open: next(iter(still_open), None)),
    )


def _own(cost, can_tell, belief: Belief, still_open) -> str | None:
    first = first_of(belief, _candidates(cost, can_tell, belief, still_open))
    return first.finding if first else None


def _by_gain(cost, can_tell, belief: Belief, still_open) -> str | None:
    first = max(_candidates(cost, can_tell, belief, still_open), key=lambda one: one.worth, default=None)
    return first.finding if first else None


def _candidates(cost, can_tell, belief: Belief, still_open) -> list[Candidate]:
    gains = {name: belief.gain(name) for name in still_open}
    return [Candidate(name, name, bits, 0.0, 0.0, can_tell[name] * bits / cost[name]) for name, bits in gains.items()]


def cut(number: int):
    """Cut a small network out of the shipped rules, by the number alone; all it needs is in the answer.

    Returns the network, the complaint's likelihood, and minutes and chance to be answered of each question.
    """
    random = Random(f"{SEED} {number}")
    while True:
        machine = random.choice(sorted(shipped().site.machines))
        context = Context.of(machine, random.choices(PHASES, PHASE_WEIGHTS)[0])
        case = context.case(number, random, WORLDS["as believed"])
        belief = context.desk.belief
        likely = sorted(belief.marginals().items(), key=lambda row: -row[1])[:CAUSES]
        causes = [name for name, share in likely if share >= 0.005]
        if len(causes) < LEAST_CAUSES or case.node not in belief.answers or decided(belief, None):
            continue
        made = belief.network
        questions = {one.node: one for one in candidates(context.desk, (), frozenset(context.desk.said))}
        tables = {node: without(made.findings[node], causes) for node in (case.node, *questions)}
        odds = {name: made.causes[name] for name in causes}
        lifts = {pair: lift for pair, lift in made.lifts.items() if pair <= odds.keys()}
        given = {case.node: belief.answers[case.node]}
        whole = Belief(Network(odds, tables, made.not_listed, lifts))
        whole.answer(case.node, given[case.node])
        telling = _few(sorted(questions, key=lambda node: -whole.gain(node)), whole)
        kept = [node for node in tables if node in telling or node == case.node]  # as filed
        findings = {node: context.findings[questions[node].finding] for node in telling}
        minutes = {node: ROUND_TRIP + findings[node].effort for node in telling}
        network = Network(odds, {node: tables[node] for node in kept}, made.not_listed, lifts)
        if len(telling) >= LEAST_CAUSES and not decided(whole, None):
            return network, given, minutes, {node: findings[node].can_tell for node in telling}


def made_up(number: int):
    """Make up a network of the shipped words where most cases can be settled; returns the same as `cut`."""
    random = Random(f"{SEED} made up {number}")
    scales = shipped().scales
    words, common = sorted(scales.frequency.values()), sorted(scales.how_common.values())
    causes = [f"cause {at}" for at in range(random.choice((5, 8, CAUSES)))]
    odds = scaled_odds({cause: random.choice(common[1:]) for cause in causes}, scales.two_at_once)
    tables = {}
    for at in range(9):
        links = {(cause, "yes"): random.choice(words[2:]) for cause in random.sample(causes, random.randint(2, 5))}
        tables[f"question {at}"] = Table(
            ("no", "yes"), {"yes": random.choice(words[:2])}, links, random.choice((0.02, 0.03))
        )
    minutes = {name: ROUND_TRIP + random.choice((1, 1, 2, 3, 5, 8)) for name in tables}
    return Network(odds, tables, scales.not_listed), {}, minutes, dict.fromkeys(tables, 1.0)


def _few(questions: list[str], belief: Belief) -> list[str]:
    """Take as many questions worth asking as can be solved."""
    taken, states = [], 1
    for node in questions:
        states *= len(belief.network.findings[node].values) + 2
        if states > MOST_STATES or belief.gain(node) < WORTH_ASKING:
            break
        taken.append(node)
    return taken


def without(table: Table, causes: list[str]) -> Table:
    """Return a table with links of these causes alone."""
    links = {(cause, value): p for (cause, value), p in table.links.items() if cause in causes}
    return Table(table.values, table.leak, links, table.error, table.unlisted)


def _mean(numbers) -> float:
    numbers = list(numbers)
    return sum(numbers) / len(numbers)


if __name__ == "__main__":
    main()

"""What a question is worth, and in which order to repair.

Hazard is not a price: what an operator may not do is never scored here (see the consultation).
"""

from collections.abc import Callable, Iterable, Mapping, Sequence

from diagnose.belief.belief import Belief
from diagnose.belief.errors import BeliefError
from diagnose.belief.evidence import firm

__all__ = [
    "best_decision",
    "expected_repair_cost",
    "perfect_information_value",
    "question_score",
    "repair_order",
    "same_decision_probability",
    "sample_information_value",
    "settling_gain",
]

Costs = Mapping[str, Mapping[str, float]]  # decision -> state -> what it costs there
Answers = Mapping[str, Mapping[str, float]]  # answer -> state -> P(answer | state)


def question_score(gain: float, can_tell: float, minutes: float) -> float:
    """Score = rho * gain / c: bits a minute, `can_tell` being the chance that the operator can answer at all.

    >>> round(question_score(0.18460502, 0.7, 1.0), 8)
    0.12922351
    """
    if not minutes > 0.0:
        raise BeliefError("minutes", f"are {minutes}; a question needs some time")
    return can_tell * gain / minutes


def settling_gain(belief: Belief, finding: str, settled: Callable[[Belief], bool], bonus: float = 1.0) -> float:
    """Gain plus `bonus` bits times the chance that a firm answer settles the matter, as the caller judges it.

    A gain alone does not look ahead to where questioning stops. Measured against the exact optimum on small networks
    with wrong answers and a threshold to stop at, the bonus halves what greedy questioning loses. It costs a posterior
    for each value, so work it out for the few findings with the greatest plain score.
    """
    table = belief.network.findings[finding]
    chance = sum(
        p for value, p in belief.predict(finding).items() if settled(belief.supposing(finding, firm(table, value)))
    )
    return belief.gain(finding) + bonus * chance


def best_decision(beliefs: Mapping[str, float], costs: Costs) -> tuple[str, float]:
    """Minimise sum over S of P(S) C(d, S) over d: the decision and its expected cost; the first of equals."""
    expected = {d: sum(p * of[state] for state, p in beliefs.items()) for d, of in costs.items()}
    best = min(expected, key=expected.__getitem__)
    return best, expected[best]


def sample_information_value(beliefs: Mapping[str, float], costs: Costs, answers: Answers, price: float = 0.0) -> float:
    """EVSI = L*(e) - sum over a of P(a|e) L*(e, a) - price, in the unit of the costs."""
    after = sum(chance * best_decision(then, costs)[1] for chance, then in _outcomes(beliefs, answers))
    return best_decision(beliefs, costs)[1] - after - price


def perfect_information_value(beliefs: Mapping[str, float], costs: Costs) -> float:
    """EVPI = L*(e) - sum over S of P(S) min over d of C(d, S): the most that any question could be worth."""
    known = sum(p * min(of[state] for of in costs.values()) for state, p in beliefs.items())
    return best_decision(beliefs, costs)[1] - known


def same_decision_probability(beliefs: Mapping[str, float], costs: Costs, answers: Answers) -> float:
    """P(the answer leaves the decision as it is) (Chen, Choi, Darwiche 2014), one question ahead."""
    now = best_decision(beliefs, costs)[0]
    return sum(chance for chance, then in _outcomes(beliefs, answers) if best_decision(then, costs)[0] == now)


def _outcomes(beliefs: Mapping[str, float], answers: Answers) -> Iterable[tuple[float, dict[str, float]]]:
    """P(a|e) and P(S|e, a) for each answer that can come."""
    for likelihood in answers.values():
        joint = {state: p * likelihood[state] for state, p in beliefs.items()}
        chance = sum(joint.values())
        if chance > 0.0:
            yield chance, {state: p / chance for state, p in joint.items()}


def expected_repair_cost(order: Sequence[str], beliefs: Mapping[str, float], costs: Mapping[str, float]) -> float:
    """ECR = sum over k of C_k * (1 - sum over j before k of p_j), for one fault and repairs tried in this order."""
    left, total = 1.0, 0.0
    for cause in order:
        total += costs[cause] * left
        left -= beliefs[cause]
    return total


def repair_order(beliefs: Mapping[str, float], costs: Mapping[str, float]) -> list[str]:
    """Causes by p / C, greatest first: the cheapest order for one fault (Kadane and Simon 1977); equals as given."""
    return sorted(beliefs, key=lambda cause: -beliefs[cause] / costs[cause])

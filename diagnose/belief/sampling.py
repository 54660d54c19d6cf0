"""Cases drawn from a network: which causes, what each finding truly is, and what the operator says of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import accumulate
from math import prod
from random import Random

from diagnose.belief.network import Network

__all__ = ["Drawn", "draw", "draw_causes"]


@dataclass(frozen=True, slots=True)
class Drawn:
    """One case. No causes means something not listed; a finding said to be None is one the operator cannot tell."""

    causes: frozenset[str]
    truth: dict[str, str]
    said: dict[str, str | None]


def draw(
    network: Network,
    random: Random,
    *,
    errors: Mapping[str, float] | None = None,
    cannot_tell: Mapping[str, float] | float = 0.0,
) -> Drawn:
    """Draw a case as the network believes cases come, from the generator handed in.

    `errors` gives the rate of wrong answers of a finding where it shall differ from its table's; `cannot_tell` the
    rate of no answer, for all findings or for each.
    """
    causes = draw_causes(network, random)
    truth, said = {}, {}
    for finding, table in network.findings.items():
        chances = table.given(causes) if causes else network.elsewhere(finding)
        truth[finding] = random.choices(table.values, chances)[0]
        silent = cannot_tell if isinstance(cannot_tell, float) else cannot_tell.get(finding, 0.0)
        error = (errors or {}).get(finding, table.error)
        said[finding] = None if random.random() < silent else _said(truth[finding], table.values, error, random)
    return Drawn(causes, truth, said)


def _said(truth: str, values: tuple[str, ...], error: float, random: Random) -> str:
    """Tell the truth, or one of the other values as often as the operator errs."""
    if random.random() >= error:
        return truth
    return random.choice([value for value in values if value != truth])


def draw_causes(network: Network, random: Random) -> frozenset[str]:
    """Choose a single cause, a pair, or none for not listed, each as often as its prior says."""
    if not network.causes or random.random() < network.not_listed:
        return frozenset()
    names, odds = list(network.causes), list(network.causes.values())
    with_earlier = [o * before for o, before in zip(odds, accumulate(odds, initial=0.0), strict=False)]
    together = list(network.lifts)
    beyond = [(lift - 1.0) * prod(network.causes[one] for one in pair) for pair, lift in network.lifts.items()]
    kinds = sum(odds), sum(with_earlier), sum(beyond)
    kind = random.choices(("one", "pair", "related pair"), kinds)[0]
    if kind == "one":
        return frozenset(random.choices(names, odds))
    if kind == "related pair":
        return random.choices(together, beyond)[0]
    later = random.choices(range(len(odds)), with_earlier)[0]
    return frozenset({names[later], *random.choices(names[:later], odds[:later])})

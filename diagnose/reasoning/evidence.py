"""What was said, made into likelihoods: words firm or unsure, numbers by the instrument's accuracy."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from diagnose import belief
from diagnose.reasoning.grading import graded
from diagnose.reasoning.instruments import accuracy

if TYPE_CHECKING:
    from collections.abc import Mapping

    from diagnose.knowledge.model import Finding, Knowledge, Machine
    from diagnose.reasoning.grading import Known

__all__ = ["Said", "bearing_on", "likelihood", "subject", "surely"]

SURE_ENOUGH = 0.8  # what "not sure" is worth: the value said is right this often (diagnosis literature: 0.8)


@dataclass(frozen=True, slots=True)
class Said:
    """An answer as reasoning needs it: a value or a number (canonical unit), and whether it was sure.

    ``volunteered``: said unasked, as the complaint that a consultation begins with.
    """

    finding: str
    value: str = ""
    number: float | None = None
    sure: bool = True
    volunteered: bool = False


def subject(finding: Finding) -> str:
    """Return what a word said of a finding is about: the condition that a reading is judged as, or the finding."""
    return finding.judged_as if finding.reading and finding.judged_as else finding.id


def bearing_on(node: str, said: Mapping[str, Said], findings: Mapping[str, Finding]) -> list[Said]:
    """Return the answers that were given on a node or on what it is judged from."""
    sources = {node, *findings[node].judged_from}
    return [one for name, one in said.items() if name in sources or findings[name].judged_as == node]


def surely(node: str, said: Mapping[str, Said], findings: Mapping[str, Finding]) -> bool:
    """Tell whether nobody was unsure of what is known of a node."""
    return all(one.sure for one in bearing_on(node, said, findings))


def likelihood(
    node: str, table: belief.Table, said: Mapping[str, Said], knowledge: Knowledge, machine: Machine, known: Known
) -> dict[str, float]:
    """Return P(what was said | value) for each value of the node. Answers that contradict each other weigh alike."""
    weights: dict[str, float] = {}
    for name, one in said.items():
        for value, weight in _spoken(node, knowledge.findings[name], one, knowledge, machine, known).items():
            weights[value] = weights.get(value, 0.0) + weight
    weights = weights or {str(value): 1.0 for value in sorted(known(node), key=str)}
    sure = surely(node, said, knowledge.findings)
    shares = [belief.firm(table, one) if sure else belief.unsure(table, one, SURE_ENOUGH) for one in weights]
    total = sum(weights.values())
    return {
        value: sum(weight * share[value] for weight, share in zip(weights.values(), shares, strict=True)) / total
        for value in table.values
    }


def _spoken(
    node: str, finding: Finding, said: Said, knowledge: Knowledge, machine: Machine, known: Known
) -> dict[str, float]:
    """Return what one answer says of a node by itself: a word of its values, or a number by its accuracy."""
    if said.number is None:
        return {said.value: 1.0} if node == subject(finding) else {}
    if finding.judged_as != node or finding.reading is None:
        return {}
    rules = knowledge.rules.values()
    return graded(node, finding.id, said.number, accuracy(finding, machine), rules, machine, known)

"""What was said to be abnormal unasked: the reason why there is a consultation at all."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping

    from diagnose.knowledge.model import Finding
    from diagnose.reasoning.evidence import Said
    from diagnose.reasoning.grading import Known

__all__ = ["complaints"]


def complaints(
    findings: Mapping[str, Finding],
    tied: Collection[str],
    said: Mapping[str, Said],
    known: Known,
    rests_on: Callable[[str, str], list[str]],
) -> frozenset[str]:
    """Return the findings complained of that are ``tied`` to causes, and the conditions that follow from them.

    A finding that nothing ties to causes, and from which no such condition follows, stands for itself. ``rests_on``
    gives the findings on which a value that is known rests.
    """

    def abnormal(name: str) -> list[str]:
        values = findings[name].values
        return [str(value) for value in known(name) if not values.get(str(value), True)]

    def grounds(name: str) -> set[str]:
        """Return the findings on which an abnormal value of a condition rests."""
        return {told for value in abnormal(name) for told in rests_on(name, value)} | ({name} & said.keys())

    unasked = {
        name
        for name, one in said.items()
        if one.volunteered and (one.number is not None or abnormal(name)) and not _asked_about(name, findings, said)
    }
    if not unasked:
        return frozenset()
    conditions = {
        name: shown
        for name, finding in findings.items()
        if finding.concluded and name in tied and (shown := unasked & grounds(name))
    }
    explained = frozenset().union(*conditions.values())
    alone = {name for name in unasked if name in tied or (name not in explained and abnormal(name))}
    return frozenset(conditions) | alone


def _asked_about(name: str, findings: Mapping[str, Finding], said: Mapping[str, Said]) -> bool:
    """Tell whether the finding was said beside an answer to a question about the same condition."""
    return any(
        not said[other].volunteered
        for condition in findings.values()
        if name in condition.judged_from
        for other in (condition.id, *condition.judged_from)
        if other in said
    )

"""Consultations drawn from the rules themselves, by a seed, as cases: to compare rules where no case was written."""

from __future__ import annotations

from random import Random
from types import MappingProxyType
from typing import TYPE_CHECKING

from diagnose.belief.sampling import draw
from diagnose.knowledge.model import Case, Expectation
from diagnose.reasoning.situation import Situation
from diagnose.values.problem import Place

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.belief.sampling import Drawn
    from diagnose.knowledge.model import Finding, Knowledge, Machine

__all__ = ["simulated"]


def simulated(knowledge: Knowledge, machine: Machine, phase: str, number: int, seed: int) -> Iterator[Case]:
    """Yield so many cases of one machine in one phase: causes drawn by how common they are, answers by the rules.

    The operator reports one abnormal thing that can be seen; a draw in which nothing can be seen is drawn again.
    """
    situation = Situation(knowledge, machine, phase)
    random = Random(f"{seed} {machine.id} {phase}")  # noqa: S311  the seed makes it the same every time
    made = 0
    for _ in range(number * 50):
        if made == number:
            return
        drawn = draw(situation.belief.network, random)
        seen = [name for name in drawn.said if _abnormal(knowledge.findings[name], drawn, situation)]
        if seen:
            made += 1
            yield _case(made, drawn, random.choice(seen), machine, phase)


def _abnormal(finding: Finding, drawn: Drawn, situation: Situation) -> bool:
    said = drawn.said[finding.id]
    return (
        not finding.concluded and situation.askable(finding) and said is not None and not finding.values.get(said, True)
    )


def _case(at: int, drawn: Drawn, first: str, machine: Machine, phase: str) -> Case:
    answers = {name: said for name, said in drawn.said.items() if said is not None and name != first}
    name = f"drawn-{machine.id.lower()}-{phase}-{at}"
    return Case(
        id=name,
        title=name,
        machine=machine.id,
        profile=machine,
        phase=phase,
        reported=MappingProxyType({first: drawn.said[first] or ""}),
        answers=MappingProxyType(answers),
        others=MappingProxyType({}),
        unlisted="unknown",
        true_causes=drawn.causes,
        accept=(),
        must_caution=frozenset(),
        must_not_caution=frozenset(),
        expect=Expectation(),
        teaches="",
        source="drawn from the rules",
        place=Place("drawn", 1, 1),
    )

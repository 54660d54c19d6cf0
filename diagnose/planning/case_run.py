"""One case put through one set of rules: what people would have seen of it, and which rules held at its end."""

from __future__ import annotations

from itertools import chain
from typing import TYPE_CHECKING, NamedTuple

from diagnose.consultation.replay import machine_of, replay
from diagnose.consultation.state import fold
from diagnose.knowledge.model import MachineHolds
from diagnose.reasoning.compile import fits
from diagnose.reasoning.grading import holds
from diagnose.reasoning.situation import Said, Situation
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from diagnose.consultation.events import Answer, Event
    from diagnose.knowledge.model import Case, Knowledge, Machine, Rule

__all__ = ["Run", "run_case"]


class Run(NamedTuple):
    """What came of a case. ``failed`` tells why it could not be run at all; then the rest is empty."""

    case: str
    passed: bool = False
    rank: int = 0
    posterior: float = 0.0
    ranking: tuple[tuple[str, float], ...] = ()
    questions: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    refer: tuple[str, ...] = ()
    actions: tuple[str, ...] = ()
    held: frozenset[str] = frozenset()
    complaints: tuple[str, ...] = ()
    failed: str = ""

    def seen(self) -> tuple[object, ...]:
        """Give what somebody would notice: verdict, rank, the leading cause, cautions, questions and actions."""
        leading = self.ranking[0][0] if self.ranking else ""
        return self.failed, self.passed, self.rank, leading, self.cautions, self.questions, self.actions


def run_case(case: Case, knowledge: Knowledge, *, rules: bool = False) -> Run:
    """Replay the case and look at where it ended; with ``rules`` also at which rules held there."""
    unknown = {*case.reported, *case.answers, *chain(*case.others.values())} - knowledge.findings.keys()
    if unknown:  # rules of another day, or of another plant
        return Run(case.id, failed=f"These rules do not know {', '.join(sorted(unknown))}.")
    try:
        outcome = replay(case, knowledge)
        machine = machine_of(case, knowledge)
    except DiagnoseError as error:
        return Run(case.id, failed=str(error))
    return Run(
        case=case.id,
        passed=outcome.passed,
        rank=outcome.rank,
        posterior=outcome.posterior,
        ranking=outcome.ranking,
        questions=outcome.questions,
        cautions=outcome.cautions,
        refer=outcome.refer,
        actions=tuple(f"{row.who}: {row.do}" for row in outcome.actions),
        held=frozenset(_held(knowledge, machine, outcome.events)) if rules else frozenset(),
        complaints=outcome.complaints,
    )


def _held(knowledge: Knowledge, machine: Machine, happened: tuple[Event, ...]) -> Iterator[str]:
    """Give the rules whose conditions, and symptom, hold at the end; of joins over machines those that acted."""
    state = fold(happened)
    others = {name: tuple(_said(known)) for name, known in state.others.items()}
    situation = Situation(knowledge, machine, state.phase, tuple(_said(state.said)), others)
    raised, acting = set(situation.cautions()), {rule.id for rule in situation.applying()}
    for rule in knowledge.rules.values():
        if not fits(rule.needs, rule.lacks, machine.features) or state.phase not in rule.phases:
            continue
        if any(isinstance(one, MachineHolds) for one in rule.when):
            if rule.id in acting or raised.intersection(rule.cautions) or _concluded(rule, situation):
                yield rule.id
        elif all(holds(one, machine, situation.values) for one in rule.when) and _shows(rule, situation):
            yield rule.id


def _concluded(rule: Rule, situation: Situation) -> bool:
    return bool(rule.conclude) and all(value in situation.values(name) for name, value in rule.conclude.items())


def _shows(rule: Rule, situation: Situation) -> bool:
    return rule.symptom is None or rule.symptom[1] in situation.values(rule.symptom[0])


def _said(answers: Mapping[str, Answer]) -> Iterator[Said]:
    for name, answer in answers.items():
        if not answer.cannot_tell:
            yield Said(name, answer.value, answer.number, answer.sure)

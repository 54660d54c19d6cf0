"""Simulated plants: their true frequencies differ from the rules', and their closed jobs fill a journal."""

from __future__ import annotations

from math import exp, log
from types import MappingProxyType
from typing import TYPE_CHECKING

from diagnose.belief.sampling import Drawn, draw
from diagnose.consultation import events
from diagnose.consultation.events import Answer, event_record
from diagnose.consultation.session import Session
from diagnose.journal.conclusions import keep_conclusion
from diagnose.journal.outcomes import Outcome, record
from diagnose.reasoning.situation import Situation

if TYPE_CHECKING:
    from random import Random

    from diagnose.journal.store import Journal
    from diagnose.knowledge.model import Knowledge, Machine

__all__ = ["a_case", "close_a_job", "consulted", "true_plant"]

AT = "2026-03-02T08:00:00.000+00:00"


def true_plant(knowledge: Knowledge, random: Random, spread: float = 0.9, tilt: float = 1.0) -> Knowledge:
    """Return the rules as they would stand if they held this plant's true frequencies.

    How common each cause is is multiplied by exp(``spread`` times a normal deviate); the log-odds of each frequency
    are moved by ``tilt`` times one.
    """
    weights = {
        name: knowledge.scales.how_common[cause.how_common] * exp(random.gauss(0.0, spread))
        for name, cause in knowledge.causes.items()
    }
    causes = {name: _changed(cause, how_common=name) for name, cause in knowledge.causes.items()}
    rules = {
        name: _changed(
            rule, links=tuple(_changed(link, probability=_moved(link.probability, random, tilt)) for link in rule.links)
        )
        for name, rule in knowledge.rules.items()
    }
    scales = _changed(knowledge.scales, how_common=MappingProxyType(weights))
    return _changed(knowledge, scales=scales, causes=causes, rules=rules)


def _changed(item, **parts):
    if hasattr(item, "_replace"):
        return item._replace(**parts)
    from dataclasses import replace

    return replace(item, **parts)


def _moved(frequency: float, random: Random, tilt: float) -> float:
    odds = log(frequency / (1 - frequency)) + random.gauss(0.0, tilt)
    return min(0.985, max(0.004, 1 / (1 + exp(-odds))))


def a_case(truth: Knowledge, machine: Machine, random: Random) -> tuple[Drawn, str]:
    """Draw what is wrong and what would be seen, and the sign of it that the operator notices first."""
    network = Situation(truth, machine, "loaded").belief.network
    while True:
        drawn = draw(network, random, cannot_tell=0.05)
        noticed = [
            name
            for name, said in drawn.said.items()
            if said == drawn.truth[name]
            and truth.findings[name].who == "operator"
            and any((cause, said) in network.findings[name].links for cause in drawn.causes)
        ]
        if noticed:
            return drawn, random.choice(noticed)


def consulted(
    knowledge: Knowledge, machine: Machine, case: tuple[Drawn, str], keep=lambda _: None, most: int = 8
) -> Session:
    """Hold a consultation on a case under these rules: its complaint is reported, then questions are answered."""
    drawn, complaint = case
    session = Session(knowledge, knowledge.site.machines[machine.id], keep=keep)
    session.do(events.Report(complaint, Answer(value=drawn.said[complaint])))
    for _ in range(most):
        question = session.open_question
        if not question and session.standing == "stop-caution":
            session.do(events.GoOn())
            question = session.open_question
        if not question or session.decided:
            break
        node = knowledge.findings[question].judged_as or question
        said = drawn.said.get(node)
        answer = Answer(value=said) if said is not None else Answer(cannot_tell=True)
        session.do(events.Report(question, answer))
    return session


def close_a_job(journal: Journal, run: str, knowledge: Knowledge, machine: Machine, case: tuple[Drawn, str]) -> None:
    """Keep a consultation on a case, and the outcome that maintenance found: the truth."""

    def keep(event: events.Event) -> None:
        journal.append(run, "consultation", AT, machine.id, knowledge.revision, event_record(event))

    session = consulted(knowledge, machine, case, keep)
    keep_conclusion(journal, run, AT, machine.id, session.view())
    record(journal, run, AT, Outcome(causes=tuple(sorted(case[0].causes))))

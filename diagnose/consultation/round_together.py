"""What the rules make of the rounds of a whole site: limits, cautions, and what machines on one header share."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from diagnose.consultation.saying import number_words
from diagnose.knowledge import model
from diagnose.reasoning.compile import fits
from diagnose.reasoning.grading import holds
from diagnose.reasoning.situation import Said, Situation

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from diagnose.consultation.events import Answer
    from diagnose.knowledge.model import Knowledge, Machine

__all__ = ["Facts", "Found", "Together"]


_SUSPECTS, _OTHERS = 3, 1  # neighbours that show what is shared and what is not; each adds its rules


class Facts(NamedTuple):
    """What is known of one machine, and whether its own history already names it."""

    answers: Mapping[str, Answer]
    suspect: bool


class Found(NamedTuple):
    """Something the rules make of the facts. ``kind``: limit, word, caution or shared."""

    finding: str
    kind: str
    says: str


class Together:
    """The machines of one file, each judged by the rules with what is known of those it shares a header with."""

    def __init__(self, knowledge: Knowledge, facts: Mapping[str, Facts]) -> None:
        self._knowledge, self._facts = knowledge, facts
        self._suspects: dict[str, bool] = {}
        self._pointing = [rule for rule in knowledge.rules.values() if _points(rule, knowledge)]
        self._shared = {
            condition
            for rule in knowledge.rules.values()
            if any(isinstance(one, model.MachineHolds) for one in rule.when)
            for condition in rule.conclude
        }

    def found(self, name: str) -> Iterator[Found]:
        """Yield what the rules conclude of a machine that is not normal; nothing for one that nothing points at."""
        machine = self._knowledge.site.machines[name]
        facts = self._facts[name]
        if not self._is_suspect(name):
            return
        situation = Situation(self._knowledge, machine, "loaded", _said(facts.answers), self._neighbours(machine))
        findings = self._knowledge.findings
        for finding, answer in facts.answers.items():
            known = findings[finding]
            judged = findings[known.judged_as] if known.judged_as else known
            words = situation.values(judged.id) - {judged.normal}
            for word in sorted(str(one) for one in words if one in judged.values):
                said = ""
                if known.reading and answer.number is not None:
                    said = f"{number_words(answer.number, known.reading.unit, self._knowledge)}: "
                kind = "limit" if known.reading else "word"
                if not finding.endswith("-trend"):
                    yield Found(finding, kind, f"{finding.replace('-', ' ')} {said}{word.replace('-', ' ')}")
        for condition in sorted(self._shared):
            known = findings[condition]
            for word in sorted(str(one) for one in situation.values(condition) - {known.normal}):
                yield Found(condition, "shared", _title(condition, word, self._knowledge))
        for caution in situation.cautions():
            known_caution = self._knowledge.cautions[caution]
            yield Found(caution, "caution", f"{known_caution.rank.replace('-', ' ').upper()}: {known_caution.say}")

    def neighbours(self, name: str) -> dict[str, Mapping[str, Answer]]:
        """Return what is known of machines that share a header, water or oil with one, the suspicious ones first."""
        machines = self._knowledge.site.machines
        shares = set(machines[name].shares.items())
        beside = [other for other in self._facts if other != name and shares & set(machines[other].shares.items())]
        suspects = [other for other in beside if self._is_suspect(other)]
        others: list[str] = []
        if self._points_at(machines[name], self._facts[name].answers):  # only then does a normal neighbour tell much
            others = [other for other in beside if not self._is_suspect(other)]
        return {other: self._facts[other].answers for other in (*suspects[:_SUSPECTS], *others[:_OTHERS])}

    def _is_suspect(self, name: str) -> bool:
        if name not in self._suspects:
            facts = self._facts[name]
            machine = self._knowledge.site.machines[name]
            self._suspects[name] = facts.suspect or self._points_at(machine, facts.answers)
        return self._suspects[name]

    def _neighbours(self, machine: Machine) -> dict[str, list[Said]]:
        return {other: _said(answers) for other, answers in self.neighbours(machine.id).items()}

    def _points_at(self, machine: Machine, answers: Mapping[str, Answer]) -> bool:
        """Tell, cheaply, whether any answer is abnormal: a word that is, or numbers that a rule makes something of."""
        findings = self._knowledge.findings
        if any(answer.value and answer.value != findings[name].normal for name, answer in answers.items()):
            return True

        def known(attribute: str) -> frozenset[object]:
            if attribute == "phase":
                return frozenset(["loaded"])
            answer = answers.get(attribute)
            return (
                frozenset() if answer is None else frozenset([answer.value if answer.number is None else answer.number])
            )

        return any(
            fits(rule.needs, rule.lacks, machine.features) and all(holds(one, machine, known) for one in rule.when)
            for rule in self._pointing
        )


def _points(rule: model.Rule, knowledge: Knowledge) -> bool:
    """Tell whether a rule makes something abnormal of numbers."""
    numbers = any(isinstance(one, model.Compare) for one in rule.when)
    judged = {name: knowledge.findings[name] for name in rule.conclude if knowledge.findings[name].judged_from}
    concluded = any(rule.conclude[name] != finding.normal for name, finding in judged.items())
    return numbers and rule.symptom is None and (concluded or bool(rule.cautions))


def _said(answers: Mapping[str, Answer]) -> list[Said]:
    return [Said(finding, answer.value, answer.number, answer.sure) for finding, answer in answers.items()]


def _title(condition: str, word: str, knowledge: Knowledge) -> str:
    known = knowledge.findings[condition]
    named = known.ask.rstrip("?") or condition.replace("-", " ")
    return named if word == "true" else f"{named}: {word.replace('-', ' ')}"

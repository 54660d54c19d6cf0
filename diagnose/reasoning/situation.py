"""One machine in one phase with what has been said of it: facts, conclusions and beliefs kept in step."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import log
from typing import TYPE_CHECKING

from diagnose import belief, engine
from diagnose.reasoning.calculated import RESTS_ON, calculated
from diagnose.reasoning.compile import (
    APPLIES,
    CAUTION,
    IN_FORCE,
    PHASE,
    always_in_force,
    engine_rules,
    fits,
)
from diagnose.reasoning.complaints import complaints
from diagnose.reasoning.evidence import Said, likelihood, subject, surely
from diagnose.reasoning.network import Tables, active_causes, network

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from diagnose.knowledge.model import Cause, Finding, Knowledge, Machine, Rule

__all__ = ["Said", "Situation", "Step"]


@dataclass(frozen=True, slots=True)
class Step:
    """One piece of evidence in the order it came: the node it bears on and each cause's log-odds after it."""

    node: str
    finding: str
    odds: Mapping[str, float]


class Situation:
    """What holds, what may hold, and how likely, for one machine; changed by ``say``, ``unsay`` and the like.

    The outcome depends on what stands said and on its order (weights of evidence only), never on what was once
    said and taken back.
    """

    def __init__(
        self,
        knowledge: Knowledge,
        machine: Machine,
        phase: str,
        said: Iterable[Said] = (),
        others: Mapping[str, Iterable[Said]] | None = None,
        put_right: Iterable[str] = (),
    ) -> None:
        self.knowledge, self.machine, self.phase = knowledge, machine, phase
        self.put_right = tuple(put_right)
        self._said = {one.finding: one for one in said}
        self._others = {name: tuple(what) for name, what in (others or {}).items()}
        self.causes: dict[str, Cause] = active_causes(knowledge, machine, phase)
        self._follow: dict[str, Said] = {}  # readings that follow by calculation
        self._engine = self._fresh_engine()
        self._rules_in_force, self._complained = self._find_in_force(), self._complaints()
        self._tables: Tables = {}
        self._network = network(knowledge, self.causes.values(), self.in_force(), self._complained, self._tables)
        self._belief = belief.Belief(self._network)
        self._evidence: dict[str, dict[str, float]] = {}
        self._steps: list[Step] = []
        self._gains: Mapping[str, float] | None = None
        self._keep_up()

    # ---- what is said

    def say(self, said: Said) -> None:
        """Add an answer, or change the earlier one of the same finding."""
        before = self._said.pop(said.finding, None)
        self._said[said.finding] = said
        out = self._facts(before) if before else []
        self._engine.revise(out + self._followed(), self._facts(said) + self._follow_up())
        self._keep_up()

    def unsay(self, finding: str) -> None:
        """Take an answer back as if it had never been given."""
        before = self._said.pop(finding, None)
        if before:
            self._engine.revise(self._facts(before) + self._followed(), self._follow_up())
            self._keep_up()

    def begin_again(self, said: Iterable[Said] = ()) -> None:
        """Take back all that was said of this machine and say these; cheaper than a new one of the same machine."""
        out = [fact for one in self._said.values() for fact in self._facts(one)]
        self._said = {one.finding: one for one in said}
        told = [fact for one in self._said.values() for fact in self._facts(one)]
        self._engine.revise(out + self._followed(), told + self._follow_up())
        self._keep_up()

    @property
    def said(self) -> Mapping[str, Said]:
        """What stands said of this machine, by finding, in order."""
        return self._said

    # ---- what follows

    def values(self, attribute: str) -> frozenset[object]:
        """Return what is told or concluded of an attribute of this machine."""
        return frozenset(self._engine.values(self.machine.id, attribute))

    def cautions(self) -> list[str]:
        """Return the cautions in force, in the order of their definition."""
        return [name for name in self.knowledge.cautions if name in self.values(CAUTION)]

    def applying(self) -> list[Rule]:
        """Return the rules whose symptom or conditions hold and that list actions, in file order."""
        names = self.values(APPLIES)
        return [rule for name, rule in self.knowledge.rules.items() if name in names]

    def in_force(self) -> list[Rule]:
        """Return the symptom rules whose links count now."""
        return [self.knowledge.rules[name] for name in self._rules_in_force]

    def rests_on(self, attribute: str, value: str) -> list[str]:
        """Return the findings (or readings) said of any machine on which a conclusion rests."""
        told = self._engine.rests_on(engine.Fact(self.machine.id, attribute, value))
        return [str(fact.attribute) for fact in told if fact.attribute in self.knowledge.findings]

    # ---- how likely

    @property
    def belief(self) -> belief.Belief:
        """The beliefs as they stand."""
        return self._belief

    @property
    def gains(self) -> Mapping[str, float]:
        """The expected gain in bits of every finding that nothing is known of and that somebody can find out now.

        Worked out once after each change.
        """
        if self._gains is None:
            self._gains = self._belief.gains(self._can_be_found)
        return self._gains

    @cached_property
    def _can_be_found(self) -> frozenset[str]:
        """The findings that can be asked of somebody here and now, and the conditions judged from them."""
        findings = self.knowledge.findings
        asked = {
            name
            for name, one in findings.items()
            if one.ask
            and self.phase in (one.asked_in or one.phases)
            and fits(one.needs, one.lacks, self.machine.features)
        }
        return frozenset(
            name for name, one in findings.items() if name in asked or not asked.isdisjoint(one.judged_from)
        )

    @property
    def steps(self) -> tuple[Step, ...]:
        """The evidence in its order, each with the log-odds of every cause after it; the first is before any."""
        return tuple(self._steps)

    def ranking(self) -> list[tuple[str, float]]:
        """Return (cause, probability), best first; the empty cause is what these rules do not cover."""
        rows = [*self._belief.marginals().items(), ("", self._belief.not_listed)]
        return sorted(rows, key=lambda row: -row[1])

    def askable(self, finding: Finding) -> bool:
        """Tell whether the question fits machine and phase and is the operator's to answer."""
        return (
            finding.who == "operator"
            and bool(finding.ask)
            and self.phase in (finding.asked_in or finding.phases)
            and fits(finding.needs, finding.lacks, self.machine.features)
        )

    def contradictions(self) -> dict[str, frozenset[object]]:
        """Return the conditions to which the answers give more than one value."""
        return {
            finding.id: values
            for finding in self.knowledge.findings.values()
            if finding.concluded and finding.judged_from and len(values := self.values(finding.id)) > 1
        }

    # ---- the machinery

    def _fresh_engine(self) -> engine.Engine:
        machines = [self.machine]
        sites = self.knowledge.site.machines
        machines += [sites[name] for name in self._others if name in sites and name != self.machine.id]
        made = engine.Engine(engine_rules(self.knowledge.rules.values(), dict(self.knowledge.cautions), machines))
        facts = [engine.Fact(self.machine.id, PHASE, self.phase)]
        for machine in {**sites, self.machine.id: self.machine}.values():
            facts += [engine.Fact(machine.id, shared, name) for shared, name in machine.shares.items()]
        for one in self._said.values():
            facts += self._facts(one)
        facts += self._follow_up()
        for name, what in self._others.items():
            for one in what:
                facts += self._facts(one, name)
        made.tell(*facts)
        return made

    def _follow_up(self) -> list[engine.Fact]:
        """Work out anew what follows from the numbers said of this machine, and return it as facts."""
        numbers = {name: one.number for name, one in self._said.items() if one.number is not None}
        worked = calculated(self.machine, numbers)
        self._follow = {
            name: Said(name, number=value, sure=all(self._said[one].sure for one in RESTS_ON[name]))
            for name, value in worked.items()
            if name in self.knowledge.findings
        }
        return self._followed()

    def _followed(self) -> list[engine.Fact]:
        return [fact for one in self._follow.values() for fact in self._facts(one)]

    def _facts(self, said: Said, machine: str = "") -> list[engine.Fact]:
        finding = self.knowledge.findings[said.finding]
        entity = machine or self.machine.id
        if said.number is not None:
            return [engine.Fact(entity, finding.id, float(said.number))]
        return [engine.Fact(entity, subject(finding), said.value)]

    def _keep_up(self) -> None:
        """Bring network and beliefs up to what holds now; what it does not touch stays as it was weighed."""
        in_force, complaints = self._find_in_force(), self._complaints()
        if (in_force, complaints) != (self._rules_in_force, self._complained):
            self._rules_in_force, self._complained = in_force, complaints
            self._network = network(self.knowledge, self.causes.values(), self.in_force(), complaints, self._tables)
            fallen = self._belief.adopt(self._network)
            self._evidence = {node: weighed for node, weighed in self._evidence.items() if node not in fallen}
        self._gains = None
        self._rule_out(self._impossible())
        told = [(node, finding, self._likelihood(node)) for node, finding in self._told_nodes()]
        self._weigh_from(self._weighed_alike(told), told)

    def _rule_out(self, impossible: frozenset[str]) -> None:
        if impossible != self._belief.excluded:
            for cause in self._belief.excluded - impossible:
                self._belief.readmit(cause)
            for cause in impossible - self._belief.excluded:
                self._belief.exclude(cause)
            self._steps.clear()

    def _weighed_alike(self, told: list[tuple[str, str, dict[str, float]]]) -> int:
        """Return for how many pieces of evidence, from the first on, the steps stand as they are."""
        alike = 0
        for (node, finding, says), step in zip(told, self._steps[1:], strict=False):
            if (node, finding) != (step.node, step.finding) or self._evidence.get(node) != says:
                break
            alike += 1
        return alike

    def _weigh_from(self, first: int, told: list[tuple[str, str, dict[str, float]]]) -> None:
        """Weigh the evidence again from a place in its order on, keeping each cause's log-odds after every piece."""
        kept = {node for node, _, _ in told[:first]}
        for node in self._belief.answers.keys() - kept:
            self._belief.withdraw(node)
        self._evidence = {node: says for node, _, says in told}
        del self._steps[first + 1 :]
        if not self._steps:
            self._steps.append(Step("", "", self._log_odds()))
        for node, finding, says in told[first:]:
            self._belief.answer(node, says)
            self._steps.append(Step(node, finding, self._log_odds()))

    def _find_in_force(self) -> tuple[str, ...]:
        opened = self.values(IN_FORCE)
        return tuple(name for name, always in self._linking.items() if always or name in opened)

    @cached_property
    def _linking(self) -> dict[str, bool]:
        """The rules that tie a symptom to causes, and whether they always count on this machine."""
        rules = self.knowledge.rules.values()
        return {rule.id: always_in_force(rule, self.machine) for rule in rules if rule.links}

    def _complaints(self) -> frozenset[str]:
        return complaints(self.knowledge.findings, self._tied, self._said, self.values, self.rests_on)

    @cached_property
    def _tied(self) -> frozenset[str]:
        """The findings and conditions that some rule ties to causes, in whatever situation."""
        rules = self.knowledge.rules.values()
        return frozenset(rule.symptom[0] for rule in rules if rule.symptom and rule.links)

    def _told_nodes(self) -> list[tuple[str, str]]:
        """Return (node, finding said) for every node of the network that something is known of, in order said."""
        nodes = self._network.findings
        found: dict[str, str] = {}
        for finding in self._said:
            for node in (finding, self.knowledge.findings[finding].judged_as):
                if node in nodes and node not in found and self.values(node):
                    found[node] = finding
        for node in nodes:  # concluded from more than one thing said
            if node not in found and self.knowledge.findings[node].concluded and self.values(node):
                rests = [name for value in self.values(node) for name in self.rests_on(node, str(value))]
                found[node] = next((name for name in reversed(self._said) if name in rests), node)
        order = {finding: at for at, finding in enumerate(self._said)}
        return sorted(found.items(), key=lambda pair: order.get(pair[1], len(order)))

    def _likelihood(self, node: str) -> dict[str, float]:
        """Return P(said | value) for each value of the node."""
        table = self._network.findings[node]
        said = {**self._said, **self._follow}
        return likelihood(node, table, said, self.knowledge, self.machine, self.values)

    def _impossible(self) -> frozenset[str]:
        """Return the causes that hard logic or a repair rules out."""
        return frozenset(
            cause.id
            for cause in self.causes.values()
            if cause.id in self.put_right
            or any(self._surely(name) and not self._surely(name) & may for name, may in cause.requires.items())
            or any(self._surely(name) & may_not for name, may_not in cause.excludes.items())
        )

    def _surely(self, name: str) -> frozenset[object]:
        return self.values(name) if surely(name, self._said, self.knowledge.findings) else frozenset()

    def _log_odds(self) -> dict[str, float]:
        return {cause: _logit(share) for cause, share in self._belief.marginals().items()}


def _logit(share: float) -> float:
    bounded = min(max(share, 1e-12), 1 - 1e-12)
    return log(bounded / (1 - bounded))

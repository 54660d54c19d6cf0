"""Which probes of a rule are worth keeping: enough that each thing it does is seen in one of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.knowledge.model import MachineHolds
from diagnose.planning.probes import HOLDS, NOT_SEEN, Probe, machine_called, probes
from diagnose.planning.snapshot import Ready, Row, look
from diagnose.reasoning.compile import fits
from diagnose.reasoning.grading import holds

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from diagnose.knowledge.model import Knowledge, Rule
    from diagnose.reasoning.situation import Situation

__all__ = ["chosen"]


def chosen(rules: Sequence[Rule], knowledge: Knowledge) -> Iterator[list[Row]]:
    """Give for each rule the probes worth keeping, with what is seen in them now.

    One of each kind; of those in which the rule holds as many as it takes to have every link count in one of them.
    """
    ready = Ready(knowledge)
    for rule in rules:
        yield list(_chosen(rule, ready))


def _chosen(rule: Rule, ready: Ready) -> Iterator[Row]:
    named = [link.cause for link in rule.links]
    unseen = {*_links(rule), *rule.cautions, *rule.conclude.items()}
    kept: set[str] = set()
    for probe in probes(rule, ready.knowledge):
        if probe.why in kept and (probe.why != HOLDS or not _may_show(unseen, probe, ready.knowledge)):
            continue
        situation = ready.of(probe)
        if situation is None or not _as_wanted(rule, probe, situation):
            continue
        shown = unseen & _shown(rule, situation) if probe.why == HOLDS else set()
        if probe.why == HOLDS and probe.why in kept and not shown:
            continue
        if _stops_short(probe.why) and not _would_show(rule, situation):
            continue
        kept.add(probe.why)
        unseen -= shown
        yield Row(probe, look(situation, probe, named))
        if probe.why == HOLDS and rule.links and rule.symptom:
            normal = (rule.symptom[0], ready.knowledge.findings[rule.symptom[0]].normal)
            said = tuple(normal if one == rule.symptom else one for one in probe.said)
            unseen_symptom = probe._replace(why=NOT_SEEN, said=said)
            if said != probe.said and (found := ready.of(unseen_symptom)):
                yield Row(unseen_symptom, look(found, unseen_symptom, named))


def _stops_short(why: str) -> bool:
    return not why.startswith((HOLDS, "by "))


def _links(rule: Rule) -> set[tuple[str, float]]:
    return {(link.cause, link.probability) for link in rule.links}


def _may_show(unseen: Iterable[object], probe: Probe, knowledge: Knowledge) -> bool:
    """Tell whether something that no row shows yet might be seen here: a link only where its cause can be."""
    machine = machine_called(probe.machine, knowledge)
    for one in unseen:
        cause = knowledge.causes.get(str(one[0])) if isinstance(one, tuple) else None
        if cause is None:
            return True
        if machine and probe.phase in cause.phases and fits(cause.needs, cause.lacks, machine.features):
            return True
    return False


def _shown(rule: Rule, situation: Situation) -> set[object]:
    """Return what is there by this rule alone: cautions, conclusions, and links that no other rule replaces."""
    others = [one for one in _holding(situation) if one.id != rule.id]
    raised = {caution for one in others for caution in one.cautions}
    concluded = {pair for one in others for pair in one.conclude.items()}
    return {*(set(rule.cautions) - raised), *(set(rule.conclude.items()) - concluded), *_counting(rule, situation)}


def _would_show(rule: Rule, situation: Situation) -> bool:
    """Tell whether something would be different here if the rule did hold."""
    return (
        bool(rule.actions)
        or any(caution not in situation.cautions() for caution in rule.cautions)
        or any(value not in situation.values(name) for name, value in rule.conclude.items())
        or bool(_links(rule) - _counting(rule, situation))
    )


def _holding(situation: Situation) -> Iterator[Rule]:
    for rule in situation.knowledge.rules.values():
        if (
            (rule.cautions or rule.conclude)
            and situation.phase in rule.phases
            and fits(rule.needs, rule.lacks, situation.machine.features)
            and (rule.symptom is None or rule.symptom[1] in situation.values(rule.symptom[0]))
            and all(holds(one, situation.machine, situation.values) for one in rule.when)
        ):
            yield rule


def _counting(rule: Rule, situation: Situation) -> set[tuple[str, float]]:
    """Return the links of the rule that count in this situation: no more particular rule takes their place."""
    if rule.symptom is None or rule.symptom[0] not in situation.belief.network.findings:
        return set()
    links = situation.belief.network.findings[rule.symptom[0]].links
    return {
        (link.cause, link.probability)
        for link in rule.links
        if links.get((link.cause, rule.symptom[1])) == link.probability
    }


def _as_wanted(rule: Rule, probe: Probe, situation: Situation) -> bool:
    """Tell whether what the probe is about is so in fact: what was said may have consequences of its own."""
    shows = rule.symptom is None or rule.symptom[1] in situation.values(rule.symptom[0])
    joined = any(isinstance(one, MachineHolds) for one in rule.when)
    if joined:
        return shows
    missing = (
        int(probe.why.removeprefix("without condition ")) - 1 if probe.why.startswith("without condition ") else -1
    )
    return shows and all(
        holds(one, situation.machine, situation.values) == (at != missing) for at, one in enumerate(rule.when)
    )

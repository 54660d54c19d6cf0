"""Everything about one finding, cause, rule, caution or feature, as sections of lines; the faces only print them."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from diagnose.knowledge.model import PHASES
from diagnose.planning.conditions import worded
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from diagnose.knowledge.model import Action, Cause, Caution, Feature, Finding, Rule
    from diagnose.planning.rule_base import RuleBase
    from diagnose.values.problem import Place

__all__ = ["Described", "described"]


_KINDS = ("finding", "condition", "cause", "rule", "caution", "feature")


class Described(NamedTuple):
    """One thing: what it is, its id and title, where it stands, and its sections of (heading, lines)."""

    kind: str
    id: str
    title: str
    place: Place
    sections: tuple[tuple[str, tuple[str, ...]], ...]


def described(base: RuleBase, name: str) -> tuple[Described, ...]:
    """Describe all things with this id; ``kind id`` asks for one kind. Raises DiagnoseError, with the nearest id."""
    first, _, rest = name.partition(" ")
    kind, wanted = (first, rest) if rest and first in _KINDS else ("", name)
    knowledge = base.knowledge
    found = []
    if wanted in knowledge.findings:
        found.append(_finding(base, knowledge.findings[wanted]))
    if wanted in knowledge.causes:
        found.append(_cause(base, knowledge.causes[wanted]))
    if wanted in knowledge.rules:
        found.append(_rule(base, knowledge.rules[wanted]))
    if wanted in knowledge.cautions:
        found.append(_caution(base, knowledge.cautions[wanted]))
    if wanted in knowledge.features:
        found.append(_feature(base, knowledge.features[wanted]))
    found = [one for one in found if kind in ("", one.kind, "finding" if one.kind == "condition" else one.kind)]
    if not found:
        known = [*knowledge.findings, *knowledge.causes, *knowledge.rules, *knowledge.cautions, *knowledge.features]
        raise DiagnoseError(f"Nothing in the rules is called '{name}'.", mend=did_you_mean(wanted, known))
    return tuple(found)


def _finding(base: RuleBase, finding: Finding) -> Described:
    kind = "condition" if finding.concluded else "finding"
    about = [*_values(finding), *_reading(finding), *_context(finding)]
    if not finding.concluded:
        about += [f"who finds it out: {finding.who}", f"effort: {finding.effort:g} min", f"hazard: {finding.hazard}"]
        about += [f"can be answered: {finding.can_tell:.0%}", f"answered wrongly: {finding.misread:.1%}"]
    judged = [f"judged from: {', '.join(finding.judged_from)}"] if finding.judged_from else []
    judged += [f"judges: {', '.join(base.judging[finding.id])}"] if finding.id in base.judging else []
    return Described(
        kind,
        finding.id,
        finding.ask,
        finding.place,
        _sections(
            ("How to find out", [finding.how] if finding.how else []),
            ("About", [*about, *judged]),
            ("Also called", [", ".join(finding.also_called)] if finding.also_called else []),
            ("Concluded by", _concluded_by(base, finding)),
            ("Points to", _points_to(base, finding)),
            ("Used by", _used_by(base, finding.id)),
            ("Source", _source(base, kind, finding.id, finding.source)),
        ),
    )


def _cause(base: RuleBase, cause: Cause) -> Described:
    odds = base.knowledge.scales.how_common[cause.how_common]
    about = [f"how common: {cause.how_common} (relative odds {odds:g})", f"severity: {cause.severity}"]
    shows = [
        f"{sign.finding}: {sign.value}  {sign.link.word} ({sign.link.probability:.1%}), "
        f"otherwise {sign.rule.otherwise_word} ({sign.rule.otherwise:.1%})  [rule {sign.rule.id}]"
        for sign in base.signs.get(cause.id, ())
    ]
    logic = [f"requires {name}: {' or '.join(sorted(values))}" for name, values in cause.requires.items()]
    logic += [f"excluded by {name}: {' or '.join(sorted(values))}" for name, values in cause.excludes.items()]
    return Described(
        "cause",
        cause.id,
        cause.title,
        cause.place,
        _sections(
            ("About", [*about, *_context(cause)]),
            ("If left", [cause.if_left]),
            ("Shows", shows),
            (
                "Leads to",
                [f"{link.cause}  {link.word} ({link.probability:.1%}), {link.source}" for link in cause.leads_to],
            ),
            ("Follows from", _follows_from(base, cause)),
            ("Logic", logic),
            ("Put right", _actions(cause.put_right)),
            ("Settled by", [cause.settled_by] if cause.settled_by else []),
            ("Source", _source(base, "cause", cause.id, cause.source)),
        ),
    )


def _follows_from(base: RuleBase, cause: Cause) -> list[str]:
    links = ((one.id, link) for one in base.knowledge.causes.values() for link in one.leads_to)
    return [f"{name}  {link.word} ({link.probability:.1%})" for name, link in links if link.cause == cause.id]


def _rule(base: RuleBase, rule: Rule) -> Described:
    when = [worded(condition) for condition in rule.when]
    when += [f"{rule.symptom[0]} is {rule.symptom[1]}"] if rule.symptom else []
    links = [f"{link.cause}  {link.word} ({link.probability:.1%}), {link.source}" for link in rule.links]
    links += [f"none of these  {rule.otherwise_word} ({rule.otherwise:.1%})"] if links else []
    review = rule.review._asdict().items() if rule.review else ()
    state = ["draft: not reviewed yet"] if rule.draft else []
    return Described(
        "rule",
        rule.id,
        "a draft" if rule.draft else "",
        rule.place,
        _sections(
            ("Holds when", [*when, *_context(rule)]),
            ("Causes", links),
            ("Concludes", [f"{name}: {value}" for name, value in rule.conclude.items()]),
            ("Raises", [f"{name}: {base.knowledge.cautions[name].say}" for name in rule.cautions]),
            ("Actions", _actions(rule.actions)),
            ("Review", [*state, *(f"{key}: {said}" for key, said in review if said)]),
            ("Source", _source(base, "rule", rule.id, rule.source)),
        ),
    )


def _caution(base: RuleBase, caution: Caution) -> Described:
    raised = [f"rule {rule.id}" for rule in base.raised.get(caution.id, ())]
    raised += [f"check {check.id}" for check in base.knowledge.checks.values() if caution.id in check.cautions]
    return Described(
        "caution",
        caution.id,
        caution.say,
        caution.place,
        _sections(
            ("About", [f"rank: {caution.rank}", *([f"procedure: {caution.procedure}"] if caution.procedure else [])]),
            ("What to do", [caution.do]),
            ("Raised by", raised),
            ("Source", _source(base, "caution", caution.id, caution.source)),
        ),
    )


def _feature(base: RuleBase, feature: Feature) -> Described:
    knowledge = base.knowledge
    groups = (("finding", knowledge.findings), ("cause", knowledge.causes), ("rule", knowledge.rules))
    uses = [
        f"{kind} {item.id} {'needs' if feature.id in item.needs else 'lacks'} it"
        for kind, items in groups
        for item in items.values()
        if feature.id in item.needs | item.lacks
    ]
    fitted = [machine.id for machine in knowledge.site.machines.values() if feature.id in machine.features]
    return Described(
        "feature",
        feature.id,
        feature.title,
        feature.place,
        _sections(("Machines", [", ".join(fitted)] if fitted else []), ("Used by", uses)),
    )


def _sections(*sections: tuple[str, list[str]]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    return tuple((heading, tuple(lines)) for heading, lines in sections if lines)


def _values(finding: Finding) -> Iterator[str]:
    for value, normal in finding.values.items():
        yield f"value: {value}{' (normal)' if normal else ''}"


def _reading(finding: Finding) -> Iterator[str]:
    if finding.reading:
        unit, (low, high), accuracy = finding.reading
        yield f"reading in {unit}, from {low:g} to {high:g}, accurate to {accuracy:g}"


def _context(item: Finding | Cause | Rule) -> Iterator[str]:
    if not item.phases.issuperset(PHASES):
        yield f"phases: {', '.join(phase for phase in PHASES if phase in item.phases)}"
    for word, features in (("needs", item.needs), ("lacks", item.lacks)):
        if features:
            yield f"{word}: {', '.join(sorted(features))}"


def _actions(actions: Iterable[Action]) -> list[str]:
    return [f"{one.who}: {one.do}{f' ({one.procedure})' if one.procedure else ''}" for one in actions]


def _concluded_by(base: RuleBase, finding: Finding) -> list[str]:
    return [
        f"{value}: rule {rule.id}" for value in finding.values for rule in base.concluded.get((finding.id, value), ())
    ]


def _points_to(base: RuleBase, finding: Finding) -> list[str]:
    return [
        f"{rule.symptom[1]}: {link.cause}  {link.word} ({link.probability:.1%})"
        for rule in base.knowledge.rules.values()
        if rule.symptom and rule.symptom[0] == finding.id
        for link in rule.links
    ]


def _used_by(base: RuleBase, name: str) -> list[str]:
    return [
        f"{use.kind} {use.id} ({use.how}{': ' + ', '.join(use.values) if use.values else ''})"
        for use in base.uses.get(name, ())
    ]


def _source(base: RuleBase, kind: str, name: str, source: str) -> list[str]:
    """Give the source with its full title, and which rule of the shipped ones a site replaced."""
    short, _, clause = source.partition(",")
    title = base.knowledge.sources.get(short.strip())
    replaced = base.knowledge.overrides.get(f"{'finding' if kind == 'condition' else kind} {name}")
    shown = f"{title}{',' + clause if clause else ''}" if title else source
    return [shown, *([f"replaces the one at {replaced}"] if replaced else [])]

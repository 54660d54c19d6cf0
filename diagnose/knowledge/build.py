"""Texts of rules and of a site -> checked knowledge and every fault found; pure."""

from __future__ import annotations

from pathlib import PurePath
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from diagnose.knowledge.cases import ANSWERS, read_cases
from diagnose.knowledge.causes import read_cause, read_caution, read_feature
from diagnose.knowledge.checks import read_check
from diagnose.knowledge.collecting import without_collecting
from diagnose.knowledge.drafts import marked
from diagnose.knowledge.fields import Prose, Row
from diagnose.knowledge.findings import read_findings
from diagnose.knowledge.limits import limit_units
from diagnose.knowledge.link import Names
from diagnose.knowledge.model import Knowledge
from diagnose.knowledge.nodes import Mapping, Text
from diagnose.knowledge.nodes import read as read_nodes
from diagnose.knowledge.overlay import lay
from diagnose.knowledge.plant import read_machine, read_site
from diagnose.knowledge.rules import read_rule
from diagnose.knowledge.scale import standard, with_words
from diagnose.knowledge.structure import KINDS, part
from diagnose.knowledge.twice import counted_twice
from diagnose.values.problem import Place

if TYPE_CHECKING:
    from collections.abc import Callable
    from collections.abc import Mapping as ReadOnly

    from diagnose.knowledge.model import Case, Check, Rule, Site
    from diagnose.knowledge.nodes import Node
    from diagnose.knowledge.overlay import Laid
    from diagnose.knowledge.structure import Entry, Part
    from diagnose.values.problem import Problem

__all__ = ["Texts", "answers_from", "cases_from", "knowledge_from", "site_texts"]

T = TypeVar("T")


class Texts(NamedTuple):
    """The texts of one site by kind of file, each from file name to text; None where a file could not be decoded."""

    rules: ReadOnly[str, str | None]
    machines: ReadOnly[str, str | None]
    site: ReadOnly[str, str | None]


def site_texts(files: ReadOnly[str, str | None], folder: str = "") -> Texts:
    """Sort a site's files by where they lie in its folder: ``rules/``, ``machines/``, ``site.yaml``."""

    def lying_in(first: str) -> dict[str, str | None]:
        return {file: text for file, text in files.items() if PurePath(file).relative_to(folder).parts[0] == first}

    return Texts(lying_in("rules"), lying_in("machines"), lying_in("site.yaml"))


@without_collecting()
def knowledge_from(
    shipped: ReadOnly[str, str | None], site: Texts, revision: str, *, pure: bool = False
) -> tuple[Knowledge, tuple[Problem, ...]]:
    """Read, overlay, link and check; the knowledge is as good as could be made of it, the problems are sorted."""
    problems: list[Problem] = []
    below = _parts(shipped, problems, pure=pure)
    above = _parts(site.rules, problems, pure=pure)
    laid = lay(below, above, problems)
    complete = len(below) + len(above) == len(shipped) + len(site.rules)
    names = _names(laid, problems, complete=complete)
    names.findings = read_findings(_of(laid, "finding"), names)
    rules = _rules(laid, names)
    problems.extend(counted_twice(rules.values(), names.findings))
    _check_doubles(laid, names)
    rules_in_force, cautions = marked(rules, _each(laid, "caution", lambda entry: read_caution(entry, names)))
    knowledge = Knowledge(
        features=_each(laid, "feature", lambda entry: read_feature(entry, names)),
        findings=MappingProxyType(names.findings),
        causes=_each(laid, "cause", lambda entry: read_cause(entry, names)),
        rules=rules_in_force,
        cautions=cautions,
        scales=names.scales,
        sources=_each(laid, "source", lambda entry: Prose().read(entry.node, names) or ""),
        site=_site(site, names, pure=pure),
        revision=revision,
        overrides=_by_words(laid.replaced),
        switched_off=_by_words(laid.off | _fallen(laid, rules)),
        checks=_checks(laid, names),
        source_places=MappingProxyType({entry.id: entry.place for entry in _of(laid, "source")}),
    )
    return knowledge, tuple(sorted(set(problems)))


@without_collecting()
def cases_from(
    files: ReadOnly[str, str | None], knowledge: Knowledge, *, pure: bool = False
) -> tuple[tuple[Case, ...], tuple[Problem, ...]]:
    """Read cases against knowledge, which must know every name in them; they keep the order of the files."""
    problems: list[Problem] = []
    names = Names(problems, _known(knowledge), knowledge.scales)
    names.findings = dict(knowledge.findings)
    names.limit_units = limit_units(knowledge.rules.values(), knowledge.findings)
    by_id: dict[str, Case] = {}
    for _, tree in _trees(files, problems, pure=pure):
        for case in read_cases(tree, names):
            first = by_id.setdefault(case.id, case)
            if first is not case:
                says = f"The case '{case.id}' is defined twice; the first is at {first.place}."
                names.report(case.place, "duplicate-id", says, "Rename one of them.")
    return tuple(by_id.values()), tuple(sorted(set(problems)))


def answers_from(text: str, file: str) -> tuple[Row, tuple[Problem, ...]]:
    """Read an answers file: machine, phase, reported, answers, others, as far as given; names are not checked."""
    problems: list[Problem] = []
    tree = read_nodes(text, file, problems)
    row = ANSWERS.read(tree, Names(problems, {}, standard(), complete=False)) if tree else None
    return row or {}, tuple(sorted(set(problems)))


def _trees(files: ReadOnly[str, str | None], problems: list[Problem], *, pure: bool) -> list[tuple[str, Node]]:
    read = ((file, read_nodes(text, file, problems, pure=pure)) for file, text in files.items() if text is not None)
    return [(file, tree) for file, tree in read if tree is not None]


def _parts(files: ReadOnly[str, str | None], problems: list[Problem], *, pure: bool) -> list[Part]:
    return [part(tree, file, problems) for file, tree in _trees(files, problems, pure=pure)]


def _names(laid: Laid, problems: list[Problem], *, complete: bool) -> Names:
    known: dict[str, dict[str, Place]] = {kind: {} for kind in KINDS.values()}
    for (kind, name), entry in laid.entries.items():
        known[kind][name] = entry.place
    names = Names(problems, known, standard(), off=frozenset(laid.off), complete=complete)
    names.scales = with_words(laid.scales, names)
    return names


def _of(laid: Laid, kind: str) -> list[Entry]:
    return [entry for entry in laid.entries.values() if entry.kind == kind]


def _each(laid: Laid, kind: str, read: Callable[[Entry], T]) -> ReadOnly[str, T]:
    return MappingProxyType({entry.id: read(entry) for entry in _of(laid, kind)})


def _rules(laid: Laid, names: Names) -> ReadOnly[str, Rule]:
    read = ((entry.id, read_rule(entry, order, names)) for order, entry in enumerate(_of(laid, "rule")))
    return MappingProxyType({name: rule for name, rule in read if rule is not None})


def _checks(laid: Laid, names: Names) -> ReadOnly[str, Check]:
    read = (read_check(entry, order, names) for order, entry in enumerate(_of(laid, "check")))
    return MappingProxyType({check.id: check for check in read if check is not None})


def _check_doubles(laid: Laid, names: Names) -> None:
    """Read second entries of an id for their faults alone."""
    read_findings((entry for entry in laid.doubles if entry.kind == "finding"), names)
    for entry in laid.doubles:
        if entry.kind == "cause":
            read_cause(entry, names)
        elif entry.kind == "caution":
            read_caution(entry, names)
        elif entry.kind == "check":
            read_check(entry, 0, names)
        elif entry.kind == "rule":
            read_rule(entry, 0, names)


def _site(texts: Texts, names: Names, *, pure: bool) -> Site:
    machines = [read_machine(tree, names) for _, tree in _trees(texts.machines, names.problems, pure=pure)]
    tree = next((tree for _, tree in _trees(texts.site, names.problems, pure=pure)), None)
    return read_site(tree, (machine for machine in machines if machine), names)


def _by_words(places: ReadOnly[tuple[str, str], Place]) -> ReadOnly[str, Place]:
    return MappingProxyType({f"{kind} {name}": place for (kind, name), place in places.items()})


def _fallen(laid: Laid, rules: ReadOnly[str, Rule]) -> dict[tuple[str, str], Place]:
    """Give the rules that are retired, or fell away because they rest on something switched off."""
    away = (entry for entry in _of(laid, "rule") if entry.id not in rules)
    return {("rule", entry.id): entry.place for entry in away if laid.off or _is_retired(entry)}


def _is_retired(entry: Entry) -> bool:
    status = entry.node.entries.get("status") if isinstance(entry.node, Mapping) else None
    return isinstance(status, Text) and status.text == "retired"


def _known(knowledge: Knowledge) -> dict[str, dict[str, Place]]:
    nowhere = Place("", 1, 1)
    return {
        "feature": {name: one.place for name, one in knowledge.features.items()},
        "finding": {name: one.place for name, one in knowledge.findings.items()},
        "cause": {name: one.place for name, one in knowledge.causes.items()},
        "caution": {name: one.place for name, one in knowledge.cautions.items()},
        "machine": {name: one.place for name, one in knowledge.site.machines.items()},
        "source": dict.fromkeys(knowledge.sources, nowhere),
    }

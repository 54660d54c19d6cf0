"""Rules: symptom, causes, actions; or conditions that conclude a condition or raise cautions; or both."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from diagnose.knowledge.causes import Actions
from diagnose.knowledge.fields import Day, Identifier, Key, Name, Prose, Row, ScaleWord, Several, Source, Table, Word
from diagnose.knowledge.findings import CONTEXT, context
from diagnose.knowledge.links import Links, linked
from diagnose.knowledge.model import STATUSES, MachineHolds, Review, Rule
from diagnose.knowledge.nodes import Listing, Mapping
from diagnose.knowledge.when import FindingValues, When
from diagnose.values.text import one_line

if TYPE_CHECKING:
    from diagnose.knowledge.link import Names
    from diagnose.knowledge.model import Condition
    from diagnose.knowledge.structure import Entry
    from diagnose.values.problem import Place

__all__ = ["RULE", "read_rule"]

_NEVER = "almost never"

RULE = Table(
    "a rule",
    {
        "rule": Key(Identifier(), needed=True),
        "when": Key(Several(When())),
        "symptom": Key(FindingValues(many=False)),
        "causes": Key(Links()),
        "otherwise": Key(ScaleWord("frequency")),
        "conclude": Key(FindingValues(many=False)),
        "caution": Key(Several(Name("caution"))),
        "actions": Key(Several(Actions())),
        "status": Key(Word(STATUSES)),
        "author": Key(Prose()),
        "date": Key(Day()),
        "reason": Key(Prose()),
        "reviewer": Key(Prose()),
        "subsystem": Key(Prose(short=True)),
        **CONTEXT,
        "source": Key(Source(), needed=True),
    },
)


def read_rule(entry: Entry, order: int, names: Names) -> Rule | None:
    """Read one rule; None when it is retired, rests on something that a site switched off, or does nothing."""
    if not isinstance(entry.node, Mapping):
        return None
    row = RULE.read(entry.node, names, entry.place) or {}
    keys = entry.node.keys
    _check_shape(entry, entry.node, row, names)
    symptom = next(((finding, values[0]) for finding, values in row.get("symptom", {}).items()), None)
    if _lost(entry.node, row) or ("symptom" in keys and symptom is None) or row.get("status") == "retired":
        return None
    word = row.get("otherwise", _NEVER)
    frequency = names.scales.frequency
    links = linked(row.get("causes", ()), row.get("source", ""), names)
    rule = Rule(
        id=entry.id,
        when=row.get("when", ()),
        symptom=symptom,
        links=links,
        otherwise=frequency.get(word, 0.004),
        otherwise_word=word,
        conclude=MappingProxyType({condition: values[0] for condition, values in row.get("conclude", {}).items()}),
        cautions=row.get("caution", ()),
        actions=row.get("actions", ()),
        order=order,
        subsystem=entry.subsystem,
        source=row.get("source", ""),
        place=entry.place,
        draft=row.get("status") == "draft",
        review=_review(row),
        **context(row),
    )
    return rule if links or rule.conclude or rule.cautions or rule.actions else None


def _review(row: Row) -> Review | None:
    said = [row.get(key, "") for key in Review._fields]
    return Review(*said) if any(said) else None


def _lost(node: Mapping, row: Row) -> bool:
    """Tell whether a condition could not be read or is switched off: without it the rule would say more than it did."""
    when = node.entries.get("when")
    written = len(when.items) if isinstance(when, Listing) else int(when is not None)
    return len(row.get("when", ())) != written


def _check_shape(entry: Entry, node: Mapping, row: Row, names: Names) -> None:
    written, at = RULE.meant(node), entry.place
    if not written & {"causes", "conclude", "caution", "actions"}:
        mend = "Add 'causes', 'conclude', 'caution' or 'actions'."
        names.report(at, "rule-does-nothing", f"The rule '{one_line(entry.id)}' does nothing.", mend)
    if not written & {"symptom", "when", "phases", "needs", "lacks"}:
        names.report(at, "rule-without-condition", "Nothing says when this rule holds.", "Add 'symptom' or 'when'.")
    for key in ("causes", "otherwise"):
        needed = "symptom" if key == "causes" else "causes"
        if key in node.entries and needed not in written:
            names.report(node.keys[key], "causes-without-symptom", f"'{key}' means nothing without '{needed}'.")
    _check_symptom(node, row, names)
    _check_conclusions(node, row, names)
    _check_variables(row.get("when", ()), at, names)


def _check_symptom(node: Mapping, row: Row, names: Names) -> None:
    written = node.entries.get("symptom")
    if isinstance(written, Mapping) and len(written.entries) != 1:
        names.report(
            written.place, "one-symptom", "A symptom is one finding with one value.", "Put the others under 'when'."
        )
    for finding, values in row.get("symptom", {}).items():
        known = names.findings.get(finding)
        if known and "causes" in row and known.values.get(values[0]):
            says = f"'{one_line(values[0])}' is the normal value of '{finding}': no cause shows it."
            mend = f"Name an abnormal value, or mend what is marked normal at {known.place}."
            names.report(node.keys["symptom"], "symptom-is-normal", says, mend)


def _check_conclusions(node: Mapping, row: Row, names: Names) -> None:
    for finding in row.get("conclude", {}):
        known = names.findings.get(finding)
        if known and not known.concluded:
            says = f"'{finding}' is asked of the operator; a rule cannot conclude it."
            names.report(node.keys["conclude"], "conclude-a-finding", says, "Conclude a condition.")


def _check_variables(when: tuple[Condition, ...], at: Place, names: Names) -> None:
    """Report machines that must differ from one that no condition binds, and one variable bound twice."""
    joins = [condition for condition in when if isinstance(condition, MachineHolds)]
    bound = [join.machine for join in joins]
    for join in joins:
        for other in join.other_than:
            if other not in bound or other == join.machine:
                says = f"No other machine is called {other}."
                names.report(at, "unbound-variable", says, "Bind it with 'machine:'.")
    if len(set(bound)) < len(bound):
        names.report(at, "variable-bound-twice", "Two conditions bind the same machine.", "Join them, or use $b.")

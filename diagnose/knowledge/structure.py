"""A tree of one rules file -> its entries, each with kind, id, place and the subsystem it belongs to."""

from __future__ import annotations

from pathlib import PurePath
from typing import TYPE_CHECKING, NamedTuple

from diagnose.knowledge.nodes import Listing, Mapping, Node, Text
from diagnose.values.names import did_you_mean, is_id
from diagnose.values.problem import Place, Problem
from diagnose.values.text import one_line

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["KINDS", "RESERVED", "Entry", "Part", "part"]

KINDS = {  # section -> kind; ids are unique within a kind
    "features": "feature",
    "sources": "source",
    "findings": "finding",
    "conditions": "finding",
    "causes": "cause",
    "rules": "rule",
    "cautions": "caution",
    "checks": "check",
}
RESERVED = frozenset(
    {
        "reading",
        "above",
        "below",
        "at-least",
        "at-most",
        "phase",
        "feature",
        "not",
        "unknown",
        "any-of",
        "all-of",
        "count",
        "machine",
        "other-than",
        "steam-header",
        "exhaust-header",
        "cooling-water-supply",
        "oil-batch",
    }
)
_OTHERS = ("subsystem", "scales", "switch-off")


class Entry(NamedTuple):
    """One thing that a file defines, still as a node. ``section`` tells findings from conditions."""

    section: str
    id: str
    place: Place
    node: Node
    subsystem: str

    @property
    def kind(self) -> str:
        """The name space of the id."""
        return KINDS[self.section]


class Part(NamedTuple):
    """What one file holds."""

    entries: list[Entry]
    scales: list[Node]
    switch_off: list[Text]


def part(tree: Node, file: str, problems: list[Problem]) -> Part:
    """Sort a file's content by section; what has no place among them is reported."""
    found = Part([], [], [])
    if not isinstance(tree, Mapping):
        problems.append(Problem(tree.place, "wrong-shape", "A rules file holds sections, such as 'causes:'."))
        return found
    subsystem = _subsystem(tree, file)
    for section, node in tree.entries.items():
        if section not in KINDS and section not in _OTHERS:
            mend = did_you_mean(section, (*KINDS, *_OTHERS), few=20)
            says = f"'{one_line(section)}' is not a section of a rules file."
            problems.append(Problem(tree.keys[section], "unknown-section", says, mend))
        elif section == "scales" and node is not None:
            found.scales.append(node)
        elif section == "switch-off":
            found.switch_off.extend(_texts(node, problems))
        elif section in KINDS and node is not None:
            read = _rules if section == "rules" else _named
            found.entries.extend(read(section, node, subsystem, problems))
    return found


def _subsystem(tree: Mapping, file: str) -> str:
    node = tree.entries.get("subsystem")
    return node.text if isinstance(node, Text) and node.text else PurePath(file).stem


def _texts(node: Node | None, problems: list[Problem]) -> Iterator[Text]:
    for item in node.items if isinstance(node, Listing) else [node]:
        if isinstance(item, Text):
            yield item
        elif item is not None:
            problems.append(Problem(item.place, "wrong-shape", "Here stands a list of ids."))


def _named(section: str, node: Node, subsystem: str, problems: list[Problem]) -> Iterator[Entry]:
    if _is_left_empty(node):
        return
    if not isinstance(node, Mapping):
        says = f"'{section}' holds ids, each with its keys."
        problems.append(Problem(node.place, "wrong-shape", says, "Write 'some-id:' and the keys below it."))
        return
    for name, inner in node.entries.items():
        place = node.keys[name]
        _check_id(name, place, KINDS[section], problems)
        if inner is not None:
            yield Entry(section, name, place, inner, _own_subsystem(inner, subsystem))


def _rules(section: str, node: Node, subsystem: str, problems: list[Problem]) -> Iterator[Entry]:
    if _is_left_empty(node):
        return
    if not isinstance(node, Listing):
        problems.append(
            Problem(node.place, "wrong-shape", "'rules' holds a list.", "Begin each with '- rule: some-id'.")
        )
        return
    for item in node.items:
        if item is None:
            continue
        name = item.entries.get("rule") if isinstance(item, Mapping) else None
        if not isinstance(name, Text):
            problems.append(
                Problem(item.place, "rule-without-id", "This rule has no id.", "Begin with '- rule: some-id'.")
            )
            continue
        _check_id(name.text, name.place, "rule", problems)
        yield Entry(section, name.text, name.place, item, _own_subsystem(item, subsystem))


def _own_subsystem(node: Node, subsystem: str) -> str:
    own = node.entries.get("subsystem") if isinstance(node, Mapping) else None
    return own.text if isinstance(own, Text) and own.text else subsystem


def _is_left_empty(node: Node) -> bool:
    return isinstance(node, Text) and not node.text


def _check_id(name: str, place: Place, kind: str, problems: list[Problem]) -> None:
    if not is_id(name):
        mend = "Use lower-case letters, digits and single hyphens."
        problems.append(Problem(place, "bad-id", f"'{one_line(name)}' cannot be an id.", mend))
    elif kind == "finding" and name in RESERVED:
        says = f"'{name}' means something else in conditions."
        problems.append(Problem(place, "reserved-name", says, "Give the finding another id."))

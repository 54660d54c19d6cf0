"""A site's rules over the shipped ones: add, replace by id, switch off."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from diagnose.values.names import did_you_mean
from diagnose.values.problem import Place, Problem
from diagnose.values.text import one_line

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from diagnose.knowledge.nodes import Node, Text
    from diagnose.knowledge.structure import Entry, Part

__all__ = ["Laid", "lay"]

_CAN_BE_OFF = ("rule", "finding", "cause", "caution", "check")
_Key = tuple[str, str]  # kind, id


class Laid(NamedTuple):
    """The entries in force by kind and id, in file order, a replaced one's successor in its place.

    ``replaced`` maps what a site replaced to the place of the old one, ``off`` what it switched off to the place that
    says so. ``doubles`` are second entries of an id already used: not in force, but still to be checked.
    """

    entries: dict[_Key, Entry]
    doubles: list[Entry]
    replaced: dict[_Key, Place]
    off: dict[_Key, Place]
    scales: list[Node]


def lay(shipped: Sequence[Part], site: Sequence[Part], problems: list[Problem]) -> Laid:
    """Lay the site's parts over the shipped ones."""
    laid = Laid({}, [], {}, {}, [])
    below = _layer(shipped, laid, problems)
    above = _layer(site, laid, problems)
    for key, entry in below.items():
        if key in above:
            laid.replaced[key] = entry.place
        laid.entries[key] = above.get(key, entry)
    for key, entry in above.items():
        laid.entries.setdefault(key, entry)
    problems.extend(
        Problem(text.place, "switch-off-in-shipped", "Only a site's rules switch off.", "Delete it.")
        for part in shipped
        for text in part.switch_off
    )
    for part in site:
        for text in part.switch_off:
            _switch_off(text, laid, problems)
    return laid


def _layer(parts: Iterable[Part], laid: Laid, problems: list[Problem]) -> dict[_Key, Entry]:
    layer: dict[_Key, Entry] = {}
    for part in parts:
        laid.scales.extend(part.scales)
        for entry in part.entries:
            first = layer.setdefault((entry.kind, entry.id), entry)
            if first is not entry:
                laid.doubles.append(entry)
                says = f"The {entry.kind} '{one_line(entry.id)}' is defined twice; the first is at {first.place}."
                problems.append(Problem(entry.place, "duplicate-id", says, "Rename one of them, or join them."))
    return layer


def _switch_off(text: Text, laid: Laid, problems: list[Problem]) -> None:
    """Take one entry out. Where a rule and a cause share an id, the text says ``rule some-id``."""
    kind, _, name = text.text.rpartition(" ")
    found = [key for key in laid.entries if key[1] == name and key[0] in _CAN_BE_OFF and kind in ("", key[0])]
    if len(found) == 1:
        laid.off[found[0]] = text.place
        del laid.entries[found[0]]
        return
    if found:
        says = f"'{one_line(name)}' is the id of more than one thing."
        mend = f"Write {' or '.join(repr(' '.join(key)) for key in found)}."
        problems.append(Problem(text.place, "switch-off-which", says, mend))
        return
    known = [key[1] for key in laid.entries if key[0] in _CAN_BE_OFF]
    says = f"There is nothing with the id '{one_line(name)}' to switch off."
    problems.append(Problem(text.place, "unknown-switch-off", says, did_you_mean(name, known)))

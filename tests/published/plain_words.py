"""Operators' wording with the findings it means: the list in plain_words.csv, read, halved and marked.

A column ``findings`` holds every finding that is right, ``values`` the value each of them would have (empty where
the words do not tell it). The halves were fixed by a hash of the phrase before any failure was looked at: only the
failures of the development half were ever used to improve the search or the rules.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from diagnose.consultation import search

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from diagnose.knowledge.model import Finding

LIST = Path(__file__).with_name("plain_words.csv")


@dataclass(frozen=True)
class Wording:
    """One phrase and what it means."""

    phrase: str
    findings: tuple[str, ...]
    values: Mapping[str, str]  # by finding, where the words tell it
    held_out: bool


@dataclass(frozen=True)
class Mark:
    """How the search did on one phrase: place of the first right finding (0: not found) and what it said of the value."""

    wording: Wording
    place: int
    value_told: str  # of the first right finding
    value_meant: str
    normal_filled: tuple[str, ...]  # findings to which a normal value was given


def wordings() -> tuple[Wording, ...]:
    """Return the whole list."""
    with LIST.open(encoding="utf-8", newline="") as lines:
        return tuple(_wording(row) for row in csv.DictReader(lines))


def _wording(row: Mapping[str, str]) -> Wording:
    findings = tuple(row["findings"].split("|"))
    values = zip(findings, row["values"].split("|"), strict=False)
    held_out = sha256(row["phrase"].encode()).digest()[0] % 2 == 1
    return Wording(row["phrase"], findings, {one: value for one, value in values if value}, held_out)


def mark(known_wordings: Iterable[Wording], findings: Mapping[str, Finding]) -> tuple[Mark, ...]:
    """Search every phrase among all findings and mark the answer."""
    known = search.phrases(findings)
    return tuple(_mark(one, search.find(one.phrase, findings, known), findings) for one in known_wordings)


def _mark(wording: Wording, matches: tuple[search.Match, ...], findings: Mapping[str, Finding]) -> Mark:
    right = _with_readings(wording.findings, findings)
    place, first = next(((at, one) for at, one in enumerate(matches, 1) if one.finding in right), (0, None))
    normal = tuple(one.finding for one in matches if one.value and findings[one.finding].values.get(one.value))
    meant = wording.values.get(first.finding, "") if first else ""
    return Mark(wording, place, first.value if first else "", meant, normal)


def _with_readings(named: tuple[str, ...], findings: Mapping[str, Finding]) -> set[str]:
    """Add to each reading the condition it is judged as, and the other way: they count as the same."""
    judged = {findings[one].judged_as for one in named if findings[one].reading}
    read = {name for name, one in findings.items() if one.reading and one.judged_as in named}
    return {*named, *read, *(one for one in judged if one)}


def figures(marks: Iterable[Mark]) -> dict[str, float]:
    """Return counts, and percentages to one decimal, of a set of marks."""
    marks = tuple(marks)
    telling = [one for one in marks if one.value_meant]

    def percent(part: int, whole: int) -> float:
        return round(100 * part / whole, 1) if whole else 0.0

    return {
        "phrases": len(marks),
        "right first, %": percent(sum(one.place == 1 for one in marks), len(marks)),
        "right in first three, %": percent(sum(1 <= one.place <= 3 for one in marks), len(marks)),
        "not found, %": percent(sum(one.place == 0 for one in marks), len(marks)),
        "value filled and right, %": percent(sum(one.value_told == one.value_meant for one in telling), len(telling)),
        "value filled wrong, %": percent(
            sum(one.value_told not in ("", one.value_meant) for one in telling), len(telling)
        ),
        "phrases with a normal value filled": sum(bool(one.normal_filled) for one in marks),
    }

"""Answers that make conditions hold, or fail to hold, on one machine: to look at a rule by itself."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations, islice, pairwise
from typing import TYPE_CHECKING

from diagnose.knowledge.model import AllOf, AnyOf, Compare, CountOf, Holds, MachineHolds, Not, Unknown
from diagnose.reasoning.compile import limit_value

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from diagnose.knowledge.model import Condition, Finding, Machine

__all__ = ["Given", "answers"]

Given = Mapping[str, "str | float | None"]  # finding -> a value, a number in canonical units, or None: nothing is said
_ENOUGH = 200  # ways looked at before giving up; conditions written by people have far fewer


class _Ways:
    """The search on one machine: each method yields what is given so far with what a condition wants added."""

    def __init__(
        self, machine: Machine, findings: Mapping[str, Finding], points: Mapping[str, Sequence[float]]
    ) -> None:
        self.machine, self.findings, self.points = machine, findings, points

    def all(self, wanted: Sequence[tuple[Condition, bool]], given: Given) -> Iterator[Given]:
        """Give every way in which each condition holds, or does not, as it is wanted."""
        if not wanted:
            yield given
            return
        (condition, so), *rest = wanted
        for more in self.one(condition, given, so=so):
            yield from self.all(rest, more)

    def one(self, condition: Condition, given: Given, *, so: bool) -> Iterator[Given]:
        """Give every way in which this condition holds, or does not."""
        match condition:
            case Not():
                yield from self.one(condition.condition, given, so=not so)
            case Holds() | Unknown() | Compare():
                yield from self._told(condition, given, so=so)
            case AllOf(conditions=inner) if so:
                yield from self.all([(one, so) for one in inner], given)
            case AnyOf(conditions=inner) if not so:
                yield from self.all([(one, so) for one in inner], given)
            case AllOf(conditions=inner) | AnyOf(conditions=inner):
                yield from self._one_of(inner, given, so=so)
            case CountOf():
                yield from self._count(condition, given, so=so)
            case MachineHolds():
                return

    def _told(self, condition: Holds | Unknown | Compare, given: Given, *, so: bool) -> Iterator[Given]:
        match condition:
            case Holds(attribute="feature"):
                if so != self.machine.features.isdisjoint(condition.values):
                    yield given
            case Holds() if not so and given.get(condition.attribute) not in (None, *condition.values):
                yield given
            case Holds():
                yield from self._said(condition.attribute, self._values(condition, so=so), given)
            case Unknown():
                yield from self._said(condition.attribute, [None] if so else self._anything(condition.attribute), given)
            case Compare() if not so and limit_value(condition.limit, self.machine) is None:
                yield given
            case Compare():
                yield from self._said(condition.reading, self._numbers(condition, so=so), given)

    def _one_of(self, conditions: Sequence[Condition], given: Given, *, so: bool) -> Iterator[Given]:
        """Give ways in which one of them is as wanted: it alone first, so that it is seen by itself."""
        for at, chosen in enumerate(conditions):
            others = [(one, not so) for one in (*conditions[:at], *conditions[at + 1 :])]
            yield from self.all([(chosen, so), *others], given)
        for chosen in conditions:
            yield from self.one(chosen, given, so=so)

    def _count(self, condition: CountOf, given: Given, *, so: bool) -> Iterator[Given]:
        holding = condition.at_least if so else condition.at_least - 1
        places = range(len(condition.conditions))
        for chosen in combinations(places, holding):
            yield from self.all([(one, at in chosen) for at, one in enumerate(condition.conditions)], given)

    def _said(self, name: str, values: Iterable[str | float | None], given: Given) -> Iterator[Given]:
        for value in values:
            if name not in given:
                yield {**given, name: value}
            elif given[name] == value:
                yield given

    def _values(self, condition: Holds, *, so: bool) -> list[str | float | None]:
        if so:
            return list(condition.values)
        known = self.findings[condition.attribute].values if condition.attribute in self.findings else {}
        return [None, *(one for one in known if one not in condition.values)]

    def _anything(self, name: str) -> list[str | float | None]:
        finding = self.findings[name]
        return [finding.normal] if finding.values else [*(self.points.get(name) or _usual(finding, self.machine))]

    def _numbers(self, condition: Compare, *, so: bool) -> list[str | float | None]:
        limit = limit_value(condition.limit, self.machine)
        if limit is None:
            return []
        above = (condition.how in ("above", "at-least")) == so
        right: list[str | float | None] = [
            point for point in self.points[condition.reading] if (point > limit if above else point < limit)
        ]
        return right if so else [None, *right]


def answers(
    wanted: Sequence[tuple[Condition, bool]], machine: Machine, findings: Mapping[str, Finding], given: Given
) -> Iterator[Given]:
    """Give ways in which each condition holds on this machine where True is wanted, and does not where False is.

    Joins over machines are not looked at; a phase in a condition is given as ``phase``.
    """
    points = {
        name: [*_usual(findings[name], machine), *_points(name, limits, findings)]
        for name, limits in _limits(wanted, machine).items()
    }
    seen: list[Given] = []
    for way in islice(_Ways(machine, findings, points).all(wanted, given), _ENOUGH):
        if way not in seen:
            seen.append(way)
            yield way


def _usual(finding: Finding, machine: Machine) -> list[float]:
    usual = machine.values.get(f"normal-{finding.id}")
    return [usual.value] if usual else []


def _limits(wanted: Iterable[tuple[Condition, bool]], machine: Machine) -> dict[str, list[float]]:
    found: dict[str, list[float]] = {}
    pending = [condition for condition, _ in wanted]
    while pending:
        match pending.pop():
            case Compare() as compare:
                limit = limit_value(compare.limit, machine)
                found.setdefault(compare.reading, []).extend([] if limit is None else [limit])
            case Not(condition=inner):
                pending.append(inner)
            case AllOf(conditions=inner) | AnyOf(conditions=inner) | CountOf(conditions=inner):
                pending.extend(inner)
    return found


def _points(name: str, limits: list[float], findings: Mapping[str, Finding]) -> list[float]:
    """Give numbers well below, well above and between the limits, as far from them as the reading allows."""
    reading = findings[name].reading
    lowest, highest = reading.plausible if reading else (0.0, 0.0)
    marks = sorted({one for one in limits if lowest <= one < highest})
    if not marks:
        return []
    step = max(6 * reading.accuracy if reading else 0.0, 0.02 * abs(marks[-1]), 0.002 * (highest - lowest))
    between = [(low + high) / 2 for low, high in pairwise(marks)]
    ends = [max(marks[0] - step, (lowest + marks[0]) / 2), min(marks[-1] + step, (highest + marks[-1]) / 2)]
    near = [mark + sign * 0.1 * step for mark in marks for sign in (-1, 1)]  # where a neighbouring limit is close
    return [float(f"{one:.6g}") for one in (*ends, *between, *near)]

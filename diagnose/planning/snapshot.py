"""What each rule does by itself: what is seen in a probe, and how it differs from what was kept.

A kept row is no evidence that a rule is right: it says what the rules gave when somebody last looked and agreed.
Whether they are right is what the cases are for.
"""

from __future__ import annotations

from collections import OrderedDict, defaultdict
from math import floor, log10
from typing import TYPE_CHECKING, NamedTuple

from diagnose.planning.probes import Probe, machine_called
from diagnose.reasoning.situation import Said, Situation

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping

    from diagnose.knowledge.model import Knowledge
    from diagnose.reasoning.network import Tables

__all__ = ["Ready", "Row", "Seen", "changes", "grouped", "look", "percent", "seen"]

_WORTH_SHOWING = 0.01  # a cause that the rule does not name is kept from here on
_SAME = 0.01  # shares that differ by less than this part of themselves, or of what is left to certainty, are the same
_MOST_DECIMALS = 6
_LEAST = 10.0**-_MOST_DECIMALS
_KEPT_OPEN = 64  # situations held ready, so that each machine in each phase is made once


class Seen(NamedTuple):
    """What people would see: cautions, conditions concluded, rules whose actions count, causes with their shares."""

    cautions: tuple[str, ...]
    conditions: tuple[str, ...]
    actions: tuple[str, ...]
    causes: Mapping[str, float]


class Row(NamedTuple):
    """A probe and what was seen in it."""

    probe: Probe
    seen: Seen


class Ready:
    """Situations held ready by machine, phase and what is known of other machines, with nothing said."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.knowledge = knowledge
        self.tables: defaultdict[tuple[str, str], Tables] = defaultdict(dict)  # by machine and phase; see ``what_if``
        self._made: OrderedDict[tuple[object, ...], Situation] = OrderedDict()

    def of(self, probe: Probe) -> Situation | None:
        """Return the situation with the probe said; None when the site has no such machine or finding any more."""
        machine = machine_called(probe.machine, self.knowledge)
        named = {name for name, _ in probe.said} | {name for _, name, _ in probe.others}
        if machine is None or not named <= self.knowledge.findings.keys():
            return None
        key = (probe.machine, probe.phase, probe.others)
        situation = self._made.pop(key, None) or Situation(self.knowledge, machine, probe.phase, (), _others(probe))
        self._made[key] = situation
        if len(self._made) > _KEPT_OPEN:
            self._made.popitem(last=False)
        for name in list(situation.said):
            situation.unsay(name)
        for name, value in probe.said:
            situation.say(_said(name, value))
        return situation


def seen(rows: Iterable[tuple[Probe, Collection[str]]], knowledge: Knowledge) -> Iterator[Seen | None]:
    """Give what is seen in each probe, with the shares of the causes named; None where it cannot be said any more."""
    ready = Ready(knowledge)
    for probe, named in rows:
        situation = ready.of(probe)
        yield None if situation is None else look(situation, probe, named)


def look(situation: Situation, probe: Probe, named: Collection[str]) -> Seen:
    """Return what is seen in a situation in which the probe is said."""
    told = {name for name, _ in probe.said}
    own = situation.knowledge.rules[probe.rule].conclude if probe.rule in situation.knowledge.rules else {}
    conditions = sorted(
        f"{name}={value}"
        for name, finding in situation.knowledge.findings.items()
        if finding.concluded and name not in told
        for value in situation.values(name)
        if name in own or situation.rests_on(name, str(value))  # what holds of the machine alone is no news
    )
    shares = situation.belief.marginals() if named else {}
    causes = {name: shares[name] for name in named if name in shares}
    causes |= {name: share for name, share in shares.items() if share >= _WORTH_SHOWING}
    actions = tuple(rule.id for rule in situation.applying())
    ranked = dict(sorted(causes.items(), key=lambda item: (-item[1], item[0])))
    return Seen(tuple(situation.cautions()), tuple(conditions), actions, ranked)


def grouped(rows: Iterable[Row]) -> list[list[Row]]:
    """Give the rows that one situation serves, group by group: the same machine, phase and other machines."""
    groups: defaultdict[tuple[object, ...], list[Row]] = defaultdict(list)
    for row in rows:
        groups[row.probe.machine, row.probe.phase, row.probe.others].append(row)
    return list(groups.values())


def changes(row: Row, now: Seen | None) -> Iterator[str]:
    """Say what is different from what was kept, one thing a line."""
    if now is None:
        yield "cannot be said any more: the machine, or a finding, is gone"
        return
    was = row.seen
    for what, before, after in (
        ("caution", was.cautions, now.cautions),
        ("condition", was.conditions, now.conditions),
        ("actions of", was.actions, now.actions),
    ):
        yield from (f"{what} {one} lost" for one in before if one not in after)
        yield from (f"{what} {one} new" for one in after if one not in before)
    for cause in {**was.causes, **now.causes}:
        share, share_now = was.causes.get(cause, 0.0), now.causes.get(cause, 0.0)
        if abs(share - share_now) > _SAME * min(max(share, share_now), 1 - min(share, share_now)):
            yield f"{cause} {percent(share)} then {percent(share_now)}"


def _said(name: str, value: str | float) -> Said:
    if isinstance(value, float):
        return Said(name, number=value, volunteered=True)
    return Said(name, value, volunteered=True)


def _others(probe: Probe) -> dict[str, list[Said]]:
    found: defaultdict[str, list[Said]] = defaultdict(list)
    for machine, name, value in probe.others:
        found[machine].append(_said(name, value))
    return found


def percent(share: float) -> str:
    """Write a share in per cent with three figures of it, or of what is left to certainty where that is less."""
    smaller = 100 * min(share, 1 - share)
    decimals = 2 - floor(log10(smaller)) if smaller > _LEAST else _MOST_DECIMALS
    return f"{100 * share:.{min(_MOST_DECIMALS, max(0, decimals))}f}%"

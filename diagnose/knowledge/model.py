"""The checked, frozen model that loading yields: what every floor above may read.

Ids are the words the planner wrote. Quantities are already in the canonical unit of their
dimension (see ``values.quantity``). Every item keeps the ``Place`` it came from.

Named tuples, not dataclasses: two dozen classes cost 1 ms to define instead of 9, at every start.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from diagnose.values.problem import Place
    from diagnose.values.quantity import Quantity

__all__ = [
    "PHASES",
    "RANKS",
    "Action",
    "AllOf",
    "AnyOf",
    "Case",
    "Cause",
    "Caution",
    "Check",
    "Compare",
    "Condition",
    "CountOf",
    "Expectation",
    "Feature",
    "Finding",
    "Holds",
    "Knowledge",
    "Limit",
    "Link",
    "Machine",
    "MachineHolds",
    "Not",
    "Reading",
    "Review",
    "RoundsLayout",
    "Rule",
    "Scales",
    "Site",
    "Unknown",
]

PHASES = ("standby", "pre-start", "warm-up", "run-up", "loaded", "shutdown")
RANKS = ("stop-now", "do-not-start", "call-supervisor", "watch")
WHO = ("operator", "supervisor", "maintenance")
STATUSES = ("draft", "reviewed", "retired")
SEVERITIES = ("dangerous", "serious", "minor")


class Feature(NamedTuple):
    """Something a machine may be fitted with; rules, causes and findings can need it."""

    id: str
    title: str
    place: Place


class Reading(NamedTuple):
    """How a number is taken: canonical unit, plausible range, accuracy (one standard deviation), all in that unit."""

    unit: str
    plausible: tuple[float, float]
    accuracy: float = 0.0


class Finding(NamedTuple):
    """Something an operator can see, hear, feel, be told or read; or, with ``concluded``, what rules conclude.

    ``values`` maps a value to True when it is the normal one (exactly one is). A finding with a ``reading``
    and no values of its own is judged as the condition named in ``judged_as``; a condition lists the
    findings it is judged from in ``judged_from``, in the order they are to be asked. Where ``asked_in`` names phases,
    it is asked in these only; in the rest of ``phases`` it counts when somebody reports it.
    """

    id: str
    ask: str
    how: str
    values: Mapping[str, bool]
    reading: Reading | None
    judged_as: str | None
    judged_from: tuple[str, ...]
    concluded: bool
    phases: frozenset[str]
    needs: frozenset[str]
    lacks: frozenset[str]
    effort: float  # minutes
    hazard: str  # "none" or what the operator must mind
    who: str  # operator | supervisor | maintenance: who can find it out
    can_tell: float  # chance that the question can be answered
    misread: float  # chance that the answer is wrong
    also_called: tuple[str, ...]
    subsystem: str
    source: str
    place: Place
    asked_in: frozenset[str] = frozenset()

    @property
    def normal(self) -> str:
        """The normal value; empty for a bare reading."""
        return next((value for value, normal in self.values.items() if normal), "")


class Action(NamedTuple):
    """Something to do and who may do it; ``procedure`` names a local procedure to open."""

    who: str
    do: str
    procedure: str
    place: Place


class Link(NamedTuple):
    """How often a cause, alone, shows the rule's symptom, or follows: the word and its probability; its own source."""

    cause: str
    word: str
    probability: float
    source: str
    place: Place


class Cause(NamedTuple):
    """What may be wrong. ``requires`` and ``excludes`` are the only hard logic: (finding, values).

    ``leads_to`` are causes that follow when this one is left, each with how often it is there as well.
    """

    id: str
    title: str
    subsystem: str
    how_common: str
    severity: str
    if_left: str
    put_right: tuple[Action, ...]
    settled_by: str  # the maintenance check that settles it, when no operator's finding can
    phases: frozenset[str]
    needs: frozenset[str]
    lacks: frozenset[str]
    leads_to: tuple[Link, ...]
    requires: Mapping[str, frozenset[str]]
    excludes: Mapping[str, frozenset[str]]
    source: str
    place: Place


class Limit(NamedTuple):
    """A number to compare with: a quantity, or a value of the machine times ``factor`` plus ``offset``."""

    quantity: Quantity | None
    machine: str  # "exhaust-pressure-max", "rated-speed", "normal-<reading>"; "" when quantity is given
    factor: float = 1.0
    offset: float = 0.0  # in the canonical unit


class Compare(NamedTuple):
    """The reading compared with a limit. ``how``: above, below, at-least, at-most."""

    reading: str
    how: str
    limit: Limit


class Holds(NamedTuple):
    """A finding, condition, ``phase`` or ``feature`` of this machine has one of these values."""

    attribute: str
    values: tuple[str, ...]


class Unknown(NamedTuple):
    """Nothing is known of this finding or condition."""

    attribute: str


class Not(NamedTuple):
    """The condition inside does not hold."""

    condition: Condition


class AnyOf(NamedTuple):
    """One at least of the conditions holds."""

    conditions: tuple[Condition, ...]


class AllOf(NamedTuple):
    """All conditions hold (for use inside any-of and not)."""

    conditions: tuple[Condition, ...]


class CountOf(NamedTuple):
    """At least so many of the conditions hold."""

    conditions: tuple[Condition, ...]
    at_least: int


class MachineHolds(NamedTuple):
    """A machine, bound to a variable such as ``$a``, has these values; values starting with ``$`` are variables.

    ``other_than`` names variables of machines that this one must differ from.
    """

    machine: str
    values: Mapping[str, str]
    other_than: tuple[str, ...]


Condition = Compare | Holds | Unknown | Not | AnyOf | AllOf | CountOf | MachineHolds


class Review(NamedTuple):
    """Who wrote or last changed a rule, when (YYYY-MM-DD), why, and who reviewed it; empty where it is not said."""

    author: str = ""
    date: str = ""
    reason: str = ""
    reviewer: str = ""


class Rule(NamedTuple):
    """Symptom, causes, actions; or conditions that conclude a condition or raise cautions; or both."""

    id: str
    when: tuple[Condition, ...]
    symptom: tuple[str, str] | None  # (finding or condition, value)
    links: tuple[Link, ...]
    otherwise: float  # leak: how often the symptom is seen with none of the listed causes
    otherwise_word: str
    conclude: Mapping[str, str]
    cautions: tuple[str, ...]
    actions: tuple[Action, ...]
    phases: frozenset[str]
    needs: frozenset[str]
    lacks: frozenset[str]
    order: int  # place in the files, so that ties fall the same way every time
    subsystem: str
    source: str
    place: Place
    draft: bool = False
    review: Review | None = None


class Caution(NamedTuple):
    """A safety message with its rank. ``look_at`` are the findings that it sends the operator to look at first."""

    id: str
    rank: str
    say: str
    do: str
    procedure: str
    look_at: tuple[str, ...]
    source: str
    place: Place


class Check(NamedTuple):
    """One thing to be seen to in its stage of a start (a phase); the stages and the checks in them keep their order.

    ``ask`` is the finding whose question is put. It passes when all of ``holds`` hold or, where that is empty, when
    the answer is the normal one. A failed check raises ``cautions``, and ``decides`` says who decides then.
    """

    id: str
    stage: str
    ask: str
    holds: tuple[Condition, ...]
    cautions: tuple[str, ...]
    decides: str  # operator | supervisor | maintenance
    needs: frozenset[str]
    lacks: frozenset[str]
    order: int
    subsystem: str
    source: str
    place: Place


class RoundsLayout(NamedTuple):
    """How round sheets and logger exports name this machine, its columns and its times; empty: by the usual words.

    ``columns`` maps a header without its unit to a finding, or to ``load`` or ``ambient``; ``units`` gives the unit of
    a header that says none. ``baseline`` is the stretch of good history: two days, ISO 8601, or two empty texts.
    """

    called: tuple[str, ...]
    machine_column: str
    time_column: str
    reading_column: str  # a file with one row a value has these two
    value_column: str
    clock: str  # year-first | day-first | month-first
    decimal: str  # point | comma
    columns: Mapping[str, str]
    units: Mapping[str, str]
    baseline: tuple[str, ...]


class Machine(NamedTuple):
    """One turbine with what it drives. ``values`` holds rated-X, limits X, normal-X in canonical units."""

    id: str
    title: str
    drives_kind: str
    drives_service: str
    features: frozenset[str]  # the profile's own and those that follow from what it drives
    governor_class: str  # A to D, or ""
    values: Mapping[str, Quantity]
    normal_words: Mapping[str, str]  # normal-X given in words
    shares: Mapping[str, str]  # steam-header, exhaust-header, cooling-water-supply, oil-batch -> name
    procedures: Mapping[str, str]  # name -> local number
    place: Place
    rounds: RoundsLayout | None = None
    instruments: Mapping[str, Quantity] = MappingProxyType({})  # largest error of a reading's gauge


class Expectation(NamedTuple):
    """What a case must show: rank of the true causes at worst, questions at most, and whether a stop is expected."""

    rank: int = 1
    within_questions: int = 8


class Case(NamedTuple):
    """A recorded or invented consultation with a known cause. Answers are text, as an operator would type them."""

    id: str
    title: str
    machine: str
    profile: Machine | None  # given inline
    phase: str
    reported: Mapping[str, str]
    answers: Mapping[str, str]
    others: Mapping[str, Mapping[str, str]]  # what is known of other machines
    unlisted: str  # normal | unknown: the answer to every other question
    true_causes: frozenset[str]  # empty: something these rules do not cover
    accept: tuple[frozenset[str], ...]
    must_caution: frozenset[str]
    must_not_caution: frozenset[str]
    expect: Expectation
    teaches: str
    source: str
    place: Place


class Scales(NamedTuple):
    """Words to numbers, from ``rules/scales.yaml``."""

    frequency: Mapping[str, float]
    how_common: Mapping[str, float]  # prior odds, relative
    misread: Mapping[str, float]
    not_listed: float = 0.05  # prior share of something not listed here
    two_at_once: float = 0.10  # prior share of two faults among listed ones
    caution_threshold: float = 0.25  # a dangerous cause more probable than this is referred


class Site(NamedTuple):
    """A plant: its name, preferred units (dimension -> unit) and machines by id."""

    title: str = ""
    units: Mapping[str, str] = MappingProxyType({})
    machines: Mapping[str, Machine] = MappingProxyType({})


class Knowledge(NamedTuple):
    """All that is known, checked. ``revision`` is the content hash of every file read.

    ``overrides`` maps what a site replaced, as ``rule some-id``, to the place of the replaced one; ``switched_off``
    maps what it switched off to the place that says so, and each rule that fell away with it, or is retired, to the
    rule's own place.
    """

    features: Mapping[str, Feature]
    findings: Mapping[str, Finding]  # findings and conditions, one name space
    causes: Mapping[str, Cause]
    rules: Mapping[str, Rule]
    cautions: Mapping[str, Caution]
    scales: Scales
    sources: Mapping[str, str]  # short name -> full title of a published document
    site: Site
    revision: str
    overrides: Mapping[str, Place] = MappingProxyType({})
    switched_off: Mapping[str, Place] = MappingProxyType({})
    checks: Mapping[str, Check] = MappingProxyType({})
    source_places: Mapping[str, Place] = MappingProxyType({})

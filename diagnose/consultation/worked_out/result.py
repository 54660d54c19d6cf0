"""One thing worked out, and how it is said."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from diagnose.consultation.saying import number_words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from diagnose.knowledge.model import Knowledge, Machine

__all__ = ["Mark", "Result", "Worked", "limit_words", "usual", "value_words"]


class Mark(NamedTuple):
    """A number that a result is held against, in the result's unit: what it is, such as ``act over``."""

    words: str
    number: float


class Result(NamedTuple):
    """One thing worked out: a number in a canonical unit, or a word; ``judged`` in words, "" where nothing judges.

    ``formula`` is its name in symbols, ``source`` where formula and limits come from; ``warns``: it is bad news.
    """

    name: str
    value: float | str
    unit: str = ""
    formula: str = ""
    source: str = ""
    limits: tuple[Mark, ...] = ()
    judged: str = ""
    warns: bool = False


class Worked(NamedTuple):
    """Results in order; the findings of the rules that they amount to, as an operator would answer; and complaints."""

    results: tuple[Result, ...]
    facts: Mapping[str, str]
    complaints: tuple[str, ...] = ()


def value_words(result: Result, knowledge: Knowledge) -> str:
    """Return the value as text in the unit that the site prefers."""
    if isinstance(result.value, str):
        return result.value
    return number_words(result.value, result.unit, knowledge)


def limit_words(result: Result, knowledge: Knowledge) -> str:
    """Return what the result is held against as text; "" when there is nothing."""
    return ", ".join(f"{mark.words} {number_words(mark.number, result.unit, knowledge)}" for mark in result.limits)


def usual(machine: Machine | None, name: str) -> float | None:
    """Return a value of the machine's profile, such as ``rated-speed``, in its canonical unit; None without one."""
    amount = machine.values.get(name) if machine else None
    return amount.value if amount else None

"""Explanations in lines: why this question, why this cause, why not that one."""

from __future__ import annotations

import itertools
from math import e, log10
from typing import TYPE_CHECKING

from diagnose.consultation.saying import titled
from diagnose.consultation.wording import plain, probability_words, strength
from diagnose.reasoning.compile import fits

if TYPE_CHECKING:
    from diagnose.consultation.view import Question
    from diagnose.reasoning.situation import Situation

__all__ = ["cause", "not_cause", "question"]

_DECIBANS = 10 * log10(e)


def question(asked: Question) -> tuple[str, ...]:
    """Return why this question stands first."""
    lines = []
    if asked.why.settles_stop:
        lines.append("It can settle whether the machine must be stopped.")
    if asked.why.separates:
        lines.append(f"It helps to tell apart: {'; '.join(asked.why.separates)}.")
    for words, share in asked.why.expected:
        lines.append(f"Expected answer '{words}': {share:.0%}.")
    lines.append(f"Worth {asked.why.bits:.2f} bits for about {asked.minutes:g} min.")
    return tuple(lines)


def cause(name: str, situation: Situation) -> tuple[str, ...]:
    """Return what each answer weighs for or against a cause."""
    known = situation.knowledge.causes[name]
    share = dict(situation.ranking()).get(name)
    if share is None:
        return not_cause(name, situation)
    lines = [f"{known.title}: {probability_words(share)}, {share:.0%}. Source: {known.source}."]
    steps = situation.steps
    lines.append(f"Before any answer: {_share(steps[0].odds[name]):.1%}, from how common it is.")
    for before, step in itertools.pairwise(steps):
        weight = _DECIBANS * (step.odds[name] - before.odds[name])
        lines.append(f"{_said(situation, step.node)}: {strength(weight)} ({weight:+.1f} decibans).")
    led = [one for one in situation.knowledge.causes.values() if any(link.cause == name for link in one.leads_to)]
    if led:
        lines.append(f"May follow from: {'; '.join(one.title for one in led)}.")
    if known.settled_by:
        lines.append(f"Settled by maintenance: {known.settled_by}")
    return tuple(lines)


def not_cause(name: str, situation: Situation) -> tuple[str, ...]:
    """Return why a cause is out, or what holds it down."""
    known, machine = situation.knowledge.causes[name], situation.machine
    if not fits(known.needs, known.lacks, machine.features):
        missing = ", ".join(sorted(plain(feature) for feature in known.needs - machine.features))
        unwanted = ", ".join(sorted(plain(feature) for feature in known.lacks & machine.features))
        said = f"{machine.id} has no {missing}" if missing else f"{machine.id} has {unwanted}"
        return (f"{known.title}: cannot be, {said}.",)
    if name not in situation.causes:
        return (f"{known.title}: does not occur in phase {plain(situation.phase)}.",)
    if name in situation.put_right:
        return (f"{known.title}: was put right.",)
    for finding, may in known.requires.items():
        if situation.values(finding) and not situation.values(finding) & may:
            return (f"{known.title}: ruled out by {_said(situation, finding)}.",)
    for finding, may_not in known.excludes.items():
        if situation.values(finding) & may_not:
            return (f"{known.title}: ruled out by {_said(situation, finding)}.",)
    return _held_down(name, situation)


def _held_down(name: str, situation: Situation) -> tuple[str, ...]:
    known = situation.knowledge.causes[name]
    share = dict(situation.ranking())[name]
    steps = situation.steps
    weights = [
        (_DECIBANS * (step.odds[name] - before.odds[name]), step.node) for before, step in itertools.pairwise(steps)
    ]
    lines = [f"{known.title}: {probability_words(share)}, {share:.1%}."]
    lines += [
        f"{_said(situation, node)}: {strength(weight)} ({weight:+.1f} decibans)."
        for weight, node in sorted(weights)
        if weight < -1
    ]
    if len(lines) == 1:
        lines.append(f"Nothing speaks against it; it began at {_share(steps[0].odds[name]):.1%} and others fit better.")
    return tuple(lines)


def _said(situation: Situation, node: str) -> str:
    values = " / ".join(sorted(plain(str(value)) for value in situation.values(node)))
    return f"{titled(situation.knowledge.findings[node])} is {values or 'not known'}"


def _share(odds: float) -> float:
    from math import exp

    return 1.0 / (1.0 + exp(-odds))

"""Cases as YAML to edit: made ones, and consultations whose outcome is known, without any name in them."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from diagnose.consultation.saying import titled
from diagnose.consultation.state import fold
from diagnose.consultation.wording import plain
from diagnose.knowledge.model import Case, Expectation
from diagnose.knowledge.plant import SHARES
from diagnose.training.unnamed import unnamed
from diagnose.values import quantity
from diagnose.values.problem import DiagnoseError, Place

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from diagnose.consultation.events import Answer, Event
    from diagnose.knowledge.model import Knowledge, Machine
    from diagnose.values.quantity import Quantity

__all__ = ["case_from_consultation", "yaml_text"]

_FOLLOWING = ("drives-", "governor-class-")
_PLAIN = frozenset("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 -./")


def yaml_text(cases: Iterable[Case]) -> str:
    """Return the cases as one YAML file that the loader reads back."""
    return "\n".join("\n".join(_lines(case)) + "\n" for case in cases)


def case_from_consultation(
    name: str,
    happened: Iterable[Event],
    machine: Machine,
    causes: frozenset[str],
    knowledge: Knowledge,
    cautions: frozenset[str],
) -> Case:
    """Return a consultation as a case without names: what was said unasked is reported, the rest answers.

    Words typed are dropped, the machine becomes a neutral one with the same features and numbers, and what was known
    of other machines is left out. ``causes`` is what was found; ``cautions`` were raised. Raises DiagnoseError when
    nothing was reported.
    """
    state = fold(happened)
    told = {
        finding: _text(finding, answer, knowledge)
        for finding, answer in state.said.items()
        if finding in knowledge.findings and not answer.cannot_tell  # as is all that stands unlisted
    }
    reported = {finding: text for finding, text in told.items() if finding not in state.asked}
    if not reported and told:
        first = next(iter(told))
        reported = {first: told[first]}
    if not reported:
        raise DiagnoseError("That consultation has no answers; it makes no case.")
    neutral = unnamed(machine, knowledge)
    return Case(
        id=name,
        title=f"Closed job: {titled(knowledge.findings[next(iter(reported))]).lower()}, {plain(state.phase)}",
        machine=neutral.id,
        profile=neutral,
        phase=state.phase,
        reported=MappingProxyType(reported),
        answers=MappingProxyType({finding: text for finding, text in told.items() if finding not in reported}),
        others=MappingProxyType({}),
        unlisted="unknown",
        true_causes=causes,
        accept=(),
        must_caution=cautions,
        must_not_caution=frozenset(),
        expect=Expectation(),
        teaches="",
        source="common practice",
        place=Place("", 1, 1),
    )


def _text(finding: str, answer: Answer, knowledge: Knowledge) -> str:
    reading = knowledge.findings[finding].reading
    if answer.number is not None and reading:
        said = quantity.shown(quantity.Quantity(answer.number, reading.unit))
    else:
        said = answer.value
    return said if answer.sure else f"not sure {said}"


def _lines(case: Case) -> Iterator[str]:
    yield f"- case: {case.id}"
    yield f"  title: {_scalar(case.title)}"
    if case.profile:
        yield "  machine:"
        yield from (f"    {line}" for line in _profile(case.profile))
    else:
        yield f"  machine: {case.machine}"
    yield f"  phase: {case.phase}"
    yield from _pairs("reported", case.reported)
    if case.answers:
        yield from _pairs("answers", case.answers)
    if case.others:
        yield "  others:"
        for machine, known in case.others.items():
            yield f"    {machine}: {{{', '.join(f'{finding}: {_scalar(text)}' for finding, text in known.items())}}}"
    if case.unlisted != "normal":
        yield f"  unlisted: {case.unlisted}"
    yield f"  true-causes: [{', '.join(sorted(case.true_causes))}]"
    if case.must_caution:
        yield f"  must-caution: [{', '.join(sorted(case.must_caution))}]"
    if case.expect != Expectation():
        yield f"  expect: {{rank: {case.expect.rank}, within-questions: {case.expect.within_questions}}}"
    if case.teaches:
        yield f"  teaches: {_scalar(case.teaches)}"
    yield f"  source: {_scalar(case.source)}"


def _profile(machine: Machine) -> Iterator[str]:
    """Yield the lines of a machine written out; features that follow from what it drives are left to follow."""
    features = sorted(one for one in machine.features if not one.startswith(_FOLLOWING))
    yield f"machine: {machine.id}"
    yield f"title: {_scalar(machine.title)}"
    yield f"drives: {{kind: {_scalar(machine.drives_kind)}}}"
    yield f"features: [{', '.join(features)}]"
    if machine.governor_class:
        yield f"governor-class: {machine.governor_class}"
    values = {name: _amount(one) for name, one in machine.values.items()}
    rated = {name.removeprefix("rated-"): text for name, text in values.items() if name.startswith("rated-")}
    normal = {name.removeprefix("normal-"): text for name, text in values.items() if name.startswith("normal-")}
    limits = {name: text for name, text in values.items() if not name.startswith(("rated-", "normal-"))}
    shares = {key: machine.shares[name] for key, name in SHARES.items() if name in machine.shares}
    for key, pairs in (
        ("rated", rated),
        ("limits", limits),
        ("normal", {**normal, **machine.normal_words}),
        ("shares", shares),
    ):
        if pairs:
            yield f"{key}: {{{', '.join(f'{name}: {_scalar(text)}' for name, text in pairs.items())}}}"


def _amount(one: Quantity) -> str:
    """Return a quantity in full, as the loader reads it back to the same number."""
    return f"{repr(one.value).removesuffix('.0')} {'bar difference' if one.unit == 'bar' else one.unit}"


def _pairs(key: str, pairs: Mapping[str, str]) -> Iterator[str]:
    yield f"  {key}:"
    for name, text in pairs.items():
        yield f"    {name}: {_scalar(text)}"


def _scalar(text: str) -> str:
    """Return the text as it is where YAML reads it so, else in double quotes."""
    if text and set(text) <= _PLAIN and text[0].isalnum() and text == text.strip():
        return text
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'

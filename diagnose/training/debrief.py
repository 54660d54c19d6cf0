"""After the case: the trainee's path beside the program's own, what each finding was worth, and what to read."""

from __future__ import annotations

from math import log2
from typing import TYPE_CHECKING, NamedTuple

from diagnose.consultation.saying import answer_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from diagnose.knowledge.model import Rule
    from diagnose.training.open_case import Choice, OpenCase
    from diagnose.training.quiz import OpenQuiz
    from diagnose.values.problem import Place

__all__ = ["Debrief", "Reading", "Step", "debrief"]

_LEAST = 1e-9  # a share below this is as good as none


class Step(NamedTuple):
    """One check on a path.

    ``answer`` is what it showed, ``choice`` how it compared. ``told`` is what it told in fact: bits for the true
    causes, the logarithm of their share afterwards over their share before, below 0 where it pointed away from them;
    ``decibans`` the same as a weight of evidence. ``share`` is that of the least likely true cause afterwards,
    ``cautions`` came in force with it, ``ended`` are the minutes since the case began.
    """

    finding: str
    answer: str
    choice: Choice
    told: float
    decibans: float
    share: float
    cautions: tuple[str, ...]
    ended: float


class Reading(NamedTuple):
    """Something to read: ``kind`` is rule, cause or caution; ``because`` what makes it matter here, as id and value."""

    kind: str
    id: str
    because: tuple[str, ...]
    source: str
    place: str


class Debrief(NamedTuple):
    """All that is told afterwards.

    ``first`` is the share of the true causes before any check; ``decoy`` the wrong cause that looked likeliest then,
    with its share; ``telling`` the step of either path that told most.
    """

    causes: tuple[str, ...]
    first: float
    decoy: tuple[str, float]
    trainee: tuple[Step, ...]
    program: tuple[Step, ...]
    telling: Step | None
    read: tuple[Reading, ...]
    teaches: str
    source: str


def debrief(quiz: OpenQuiz) -> Debrief:
    """Return the debrief of an ended open diagnosis."""
    case, opened, own = quiz.case, quiz.opened, quiz.own_path
    truth = sorted(case.true_causes) or [""]
    trainee, program = tuple(_steps(opened, truth)), tuple(_steps(own, truth))
    return Debrief(
        causes=tuple(sorted(case.true_causes)),
        first=_share(opened.first_shares, truth),
        decoy=_decoy(opened.first_shares, truth),
        trainee=trainee,
        program=program,
        telling=max((*program, *trainee), key=lambda step: step.told, default=None),
        read=tuple(_to_read(own, opened)),
        teaches=case.teaches,
        source=case.source,
    )


def _steps(opened: OpenCase, truth: Sequence[str]) -> Iterator[Step]:
    before, minutes = _share(opened.first_shares, truth), 0.0
    for look in opened.looks:
        share = _share(look.shares, truth)
        minutes += look.choice.minutes
        yield Step(
            finding=look.finding,
            answer=answer_words(opened.knowledge.findings[look.finding], look.answer, opened.knowledge),
            choice=look.choice,
            told=log2(max(share, _LEAST) / max(before, _LEAST)),
            decibans=sum(look.decibans.get(cause, 0.0) for cause in truth),
            share=share,
            cautions=look.cautions,
            ended=minutes,
        )
        before = share


def _share(shares: Mapping[str, float], truth: Iterable[str]) -> float:
    """Return the share of the least likely true cause."""
    return min(shares.get(cause, 0.0) for cause in truth)


def _decoy(shares: Mapping[str, float], truth: Sequence[str]) -> tuple[str, float]:
    wrong = {name: share for name, share in shares.items() if name and name not in truth}
    return max(wrong.items(), key=lambda pair: pair[1], default=("", 0.0))


def _to_read(own: OpenCase, opened: OpenCase) -> Iterator[Reading]:
    """Yield the rules that tie what was seen to the true causes, then those causes, then the cautions that came."""
    knowledge = own.knowledge
    for rule in own.situation.in_force():
        if rule.symptom and _ties(rule, own):
            yield Reading("rule", rule.id, rule.symptom, rule.source, _where(rule.place))
    for cause in (knowledge.causes[name] for name in sorted(own.case.true_causes)):
        yield Reading("cause", cause.id, (), cause.source, _where(cause.place))
    came = [
        one for each in (own, opened) for one in (*each.first_cautions, *(c for k in each.looks for c in k.cautions))
    ]
    for caution in (knowledge.cautions[name] for name in dict.fromkeys(came)):
        yield Reading("caution", caution.id, (), caution.source, _where(caution.place))


def _ties(rule: Rule, opened: OpenCase) -> bool:
    finding, value = rule.symptom or ("", "")
    linked = any(link.cause in opened.case.true_causes for link in rule.links)
    return linked and value in opened.situation.values(finding)


def _where(place: Place) -> str:
    return f"{place.file}:{place.line}"

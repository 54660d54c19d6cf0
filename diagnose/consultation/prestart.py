"""The checks of a start, stage by stage: done, failed or not seen; ready or not, why, and who decides.

A start is nothing but its events, so it can be left at a shift change and resumed by somebody else.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any, NamedTuple

from diagnose.consultation.events import Answer
from diagnose.consultation.understand import understand
from diagnose.knowledge.checks import STAGES
from diagnose.reasoning.compile import fits
from diagnose.reasoning.grading import holds
from diagnose.reasoning.situation import Said, Situation
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping

    from diagnose.knowledge.model import Check, Knowledge, Machine

__all__ = [
    "Begun",
    "CheckRow",
    "Seen",
    "StageRow",
    "Start",
    "StartEvent",
    "StartView",
    "TakenBack",
    "event_from",
    "record",
]

_BLOCKING = ("stop-now", "do-not-start")


class Begun(NamedTuple):
    """A start of a machine began, under rules of this revision."""

    machine: str
    revision: str


class Seen(NamedTuple):
    """A check was seen to; an answer of can't tell leaves it not seen."""

    check: str
    answer: Answer


class TakenBack(NamedTuple):
    """What was said of a check is taken back."""

    check: str


StartEvent = Begun | Seen | TakenBack
_KINDS: dict[str, type[Any]] = {kind.__name__: kind for kind in (Begun, Seen, TakenBack)}


def record(event: StartEvent) -> dict[str, Any]:
    """Return the event as plain values; ``event_from`` reads it back."""
    fields = {name: asdict(one) if isinstance(one, Answer) else one for name, one in event._asdict().items()}
    return {"kind": type(event).__name__, **fields}


def event_from(body: Mapping[str, Any]) -> StartEvent:
    """Read back what ``record`` wrote. An unknown kind raises KeyError."""
    fields = dict(body)
    kind = _KINDS[fields.pop("kind")]
    if "answer" in fields:
        fields["answer"] = Answer(**fields["answer"])
    event: StartEvent = kind(**fields)
    return event


class CheckRow(NamedTuple):
    """A check as it stands: ``outcome`` is done, failed or not-seen; ``said`` what was said of it."""

    check: str
    ask: str
    how: str
    hazard: str
    outcome: str
    said: str
    decides: str
    source: str


class StageRow(NamedTuple):
    """A stage with its checks; ``ready`` tells that it and all before it are done and nothing forbids going on."""

    stage: str
    checks: tuple[CheckRow, ...]
    ready: bool


class StartView(NamedTuple):
    """A start as it stands.

    ``stage`` is the first that is not ready, "" when all are. ``open`` is the next check not seen in it.
    ``failed`` are the failed checks of the stages up to there, ``cautions`` (rank, say, do, procedure, source) what
    the rules say, worst first; ``decides`` is who decides on going on: operator, supervisor or maintenance.
    """

    machine: str
    stages: tuple[StageRow, ...]
    stage: str
    open: str
    failed: tuple[CheckRow, ...]
    not_seen: tuple[CheckRow, ...]
    cautions: tuple[tuple[str, str, str, str, str], ...]
    decides: str

    @property
    def ready(self) -> bool:
        """Whether every check of every stage is done and nothing forbids the start."""
        return not self.stage


class Start:
    """One start of one machine, up to the stage ``until``.

    ``keep`` gets every event before its consequence shows; ``happened`` are the events of a start to be resumed.
    """

    def __init__(
        self,
        knowledge: Knowledge,
        machine: Machine,
        keep: Callable[[StartEvent], None] = lambda _: None,
        happened: Iterable[StartEvent] = (),
        until: str = STAGES[-1],
    ) -> None:
        self.knowledge, self.machine, self._keep = knowledge, machine, keep
        features = machine.features
        stages = STAGES[: STAGES.index(until) + 1]
        fitting = (one for one in knowledge.checks.values() if fits(one.needs, one.lacks, features))
        self.checks = {one.id: one for one in fitting if one.stage in stages}
        if not self.checks:
            raise DiagnoseError("The rules hold no checks of a start.", mend="Add a section 'checks' to the rules.")
        self._answers: dict[str, Answer] = {}
        self._situations: dict[str, Situation] = {}
        happened = tuple(happened)
        for event in happened:
            self._after(event)
        if not happened:
            keep(Begun(machine.id, knowledge.revision))

    def see(self, check: str, answer: Answer) -> StartView:
        """Say what a check came to."""
        return self._do(Seen(self._known(check).id, answer))

    def take_back(self, check: str) -> StartView:
        """Take back what was said of a check."""
        return self._do(TakenBack(self._known(check).id))

    def understand(self, check: str, text: str) -> Answer:
        """Read what was typed for a check. Raises DiagnoseError when it fits nothing."""
        asked = self.knowledge.findings[self._known(check).ask]
        words = self.knowledge.findings[asked.judged_as] if asked.reading and asked.judged_as else None
        return understand(text, asked, words)[0]

    def view(self) -> StartView:
        """Return the start as it stands."""
        stages: list[StageRow] = []
        cautions: dict[str, None] = {}
        reached, ready = "", True
        for stage in STAGES:
            rows, situation = self._stage(stage)
            if not rows:
                continue
            if ready:  # what the rules say of a stage counts once the start has come to it
                cautions.update(dict.fromkeys(self._cautions(rows, situation)))
            blocked = any(self.knowledge.cautions[one].rank in _BLOCKING for one in cautions)
            ready = ready and not blocked and all(row.outcome == "done" for row in rows)
            stages.append(StageRow(stage, rows, ready))
            if not ready and not reached:
                reached = stage
        return self._view(tuple(stages), reached, cautions)

    def _view(self, stages: tuple[StageRow, ...], reached: str, cautions: Iterable[str]) -> StartView:
        upto: list[CheckRow] = []
        for one in stages:
            upto += one.checks
            if one.stage == reached:
                break
        failed = tuple(row for row in upto if row.outcome == "failed")
        not_seen = tuple(row for row in upto if row.outcome == "not-seen")
        ranked = sorted((self.knowledge.cautions[one] for one in cautions), key=lambda one: _RANKS.index(one.rank))
        said = tuple((one.rank, one.say, one.do, self._procedure(one.procedure), one.source) for one in ranked)
        deciding = [row.decides for row in failed] + ["supervisor" for one in ranked if one.rank in _BLOCKING]
        decides = max(deciding, key=_DECIDE.index, default="operator")
        waiting = next((row.check for row in not_seen if not self._answers.get(row.check)), "")
        return StartView(self.machine.id, stages, reached, waiting, failed, not_seen, said, decides)

    def _stage(self, stage: str) -> tuple[tuple[CheckRow, ...], Situation | None]:
        """Return a stage's checks as they stand, and the situation in it; None while nothing is said of the stage."""
        checks = [one for one in self.checks.values() if one.stage == stage]
        begun = any(one.id in self._answers for one in checks)
        situation = self._situation(stage) if begun else None
        return tuple(self._row(one, situation) for one in checks), situation

    def _situation(self, stage: str) -> Situation:
        """Return the situation of a stage with all that was said up to it, brought up to date by what changed."""
        upto = STAGES[: STAGES.index(stage) + 1]
        said = {
            one.ask: Said(one.ask, answer.value, answer.number, answer.sure)
            for one in self.checks.values()
            if one.stage in upto and (answer := self._answers.get(one.id)) and not answer.cannot_tell
        }
        if stage not in self._situations:
            self._situations[stage] = Situation(self.knowledge, self.machine, stage, said.values())
        situation = self._situations[stage]
        for finding in situation.said.keys() - said.keys():
            situation.unsay(finding)
        for finding, one in said.items():
            if situation.said.get(finding) != one:
                situation.say(one)
        return situation

    def _row(self, check: Check, situation: Situation | None) -> CheckRow:
        asked = self.knowledge.findings[check.ask]
        answer = self._answers.get(check.id)
        if situation is None or answer is None or answer.cannot_tell or not answer.sure:
            outcome = "not-seen"
        else:
            outcome = "done" if self._passes(check, answer, situation) else "failed"
        said = answer.typed or answer.value if answer else ""
        return CheckRow(check.id, asked.ask, asked.how, asked.hazard, outcome, said, check.decides, check.source)

    def _passes(self, check: Check, answer: Answer, situation: Situation) -> bool:
        """Tell whether a check holds. A number that the rules cannot place on this machine does not pass."""
        if check.holds:
            told = frozenset[object]([answer.value if answer.number is None else answer.number])

            def known(attribute: str) -> frozenset[object]:
                return told if attribute == check.ask else situation.values(attribute)

            return all(holds(one, self.machine, known) for one in check.holds)
        asked = self.knowledge.findings[check.ask]
        judged = self.knowledge.findings[asked.judged_as] if asked.reading and asked.judged_as else asked
        if answer.number is None:
            return answer.value == judged.normal
        return situation.values(judged.id) == {judged.normal}

    def _cautions(self, rows: Iterable[CheckRow], situation: Situation | None) -> Iterable[str]:
        yield from situation.cautions() if situation else ()
        for row in rows:
            if row.outcome == "failed":
                yield from self.checks[row.check].cautions

    def _procedure(self, name: str) -> str:
        number = self.machine.procedures.get(name, "")
        return f"{name} ({number})" if number else name

    def _do(self, event: StartEvent) -> StartView:
        self._keep(event)
        self._after(event)
        return self.view()

    def _after(self, event: StartEvent) -> None:
        match event:
            case Seen():
                self._answers[event.check] = event.answer
            case TakenBack():
                self._answers.pop(event.check, None)

    def _known(self, check: str) -> Check:
        if check not in self.checks:
            raise DiagnoseError(
                f"There is no check '{check}' of {self.machine.id}.", mend=did_you_mean(check, self.checks)
            )
        return self.checks[check]


_RANKS = ("stop-now", "do-not-start", "call-supervisor", "watch")
_DECIDE = ("operator", "supervisor", "maintenance")

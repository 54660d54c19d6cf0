"""One consultation: intents in, events kept, one view out. Every screen and command is a thin face on it."""

from __future__ import annotations

import gc
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

from diagnose.consultation import events, why
from diagnose.consultation.compose import compose, question_for
from diagnose.consultation.next_question import Candidate, best, caution_signs, decided
from diagnose.consultation.saying import preferred_unit
from diagnose.consultation.state import State, after, fold
from diagnose.consultation.steps import events_for
from diagnose.consultation.understand import understand
from diagnose.reasoning.compile import fits
from diagnose.reasoning.situation import Said, Situation
from diagnose.values.names import did_you_mean
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from diagnose.consultation import search
    from diagnose.consultation.events import Answer, Event, Intent
    from diagnose.consultation.view import Question, View
    from diagnose.knowledge.model import Knowledge, Machine

__all__ = ["Session"]


class Session:
    """A consultation about one machine.

    ``keep`` is called with every event before its consequence can be seen; raising there leaves the consultation
    as it was. ``run`` is the id under which they are kept. ``happened`` are the events of an earlier run, to resume
    from (they are not kept again).
    """

    def __init__(
        self,
        knowledge: Knowledge,
        machine: Machine,
        phase: str = "loaded",
        keep: Callable[[Event], None] = lambda _: None,
        happened: Iterable[Event] = (),
        run: str = "",
    ) -> None:
        self.knowledge, self.machine, self._keep, self.run = knowledge, machine, keep, run
        self.note = ""
        self._chosen: list[Candidate | None] = []
        self._view: View | None = None
        self._prepared: State | None = None
        self._signs = caution_signs(knowledge)
        happened = tuple(happened)
        self.state = fold(happened)
        if not happened:
            started = events.Started(machine.id, phase, knowledge.revision)
            keep(started)
            self.state = after(self.state, started)
        self._situation = self._situation_of(self.state)

    # ---- the loop

    def do(self, intent: Intent) -> View:
        """Do what a person wants and return the view after it."""
        stops = self._stops()
        for event in events_for(self.state, intent, self.knowledge, self.open_question, stops):
            self._keep(event)
            before, self.state = self.state, after(self.state, event)
            self._follow(before, event)
            self._chosen.clear()
            self._view = None
        return self.view()

    def view(self) -> View:
        """Return all that may be shown."""
        if self._view is None:
            asked = self.open_question
            candidate = self._candidate if asked else None
            view = compose(self.state, self._situation, self.standing, candidate, asked)
            self._view = view._replace(run=self.run)
        return self._view

    def prepare(self) -> None:
        """Do ahead what the next answer would otherwise wait for: call it while a person reads or types."""
        if self._prepared is not self.state:
            self._prepared = self.state
            _ = self._situation.gains
            gc.collect()

    def understand(self, finding: str, text: str) -> Answer:
        """Read what was typed for a finding; what was taken for granted stands in ``note`` afterwards."""
        known = self.knowledge.findings[finding]
        words = self.knowledge.findings[known.judged_as] if known.reading and known.judged_as else None
        answer, self.note = understand(text, known, words, preferred_unit(known, self.knowledge))
        return answer

    def question_for(self, finding: str) -> Question:
        """Return any finding as a question."""
        return question_for(self._put(finding), self._situation, self._candidate)

    def _put(self, name: str) -> str:
        """Return the finding to put for a condition: the first it is judged from that this machine can be asked."""
        findings = self.knowledge.findings
        if not findings[name].concluded or name in self.state.said:
            return name
        return next((one for one in findings[name].judged_from if self._situation.askable(findings[one])), name)

    @property
    def ranking(self) -> list[tuple[str, float]]:
        """Every cause with its probability, best first; the empty cause is what these rules do not cover."""
        return self._situation.ranking()

    def come_back(self) -> None:
        """Stand where the operator left, without anything new happening."""
        self.state, self._view = replace(self.state, left=False), None

    # ---- looking things up

    @cached_property
    def _phrases(self) -> tuple[search.Phrase, ...]:
        from diagnose.consultation import search

        features = self.machine.features
        findings = self.knowledge.findings
        return search.phrases({name: one for name, one in findings.items() if fits(one.needs, one.lacks, features)})

    def search(self, text: str, limit: int = 8) -> tuple[search.Match, ...]:
        """Return the findings that an operator's words may mean, best first."""
        from diagnose.consultation import search  # not needed before somebody types words

        found = search.find(text, self.knowledge.findings, self._phrases, limit)
        return tuple(
            match if match.value else search.Match(self._put(match.finding), "", match.words, match.score)
            for match in found
        )

    def find_cause(self, text: str) -> str:
        """Return the cause meant by an id, a title, a part of it, or its row number in the ranking."""
        causes, wanted = self.knowledge.causes, text.strip().lower()
        rows = [row.cause for row in self.view().ranking]
        if wanted.isdecimal() and 1 <= int(wanted) <= len(rows) and rows[int(wanted) - 1]:
            return rows[int(wanted) - 1]
        by_title = {cause.title.lower(): name for name, cause in causes.items()}
        for title, name in by_title.items():
            if wanted and (wanted == name or wanted in title):
                return name
        raise DiagnoseError(f"No cause is called '{text.strip()}'.", mend=did_you_mean(wanted, [*causes, *by_title]))

    def why_question(self) -> tuple[str, ...]:
        """Return why the open question stands first, in lines."""
        question = self.view().question
        return why.question(question) if question else ("No question is open.",)

    def why_cause(self, cause: str) -> tuple[str, ...]:
        """Return what speaks for and against a cause, in lines."""
        return why.cause(cause, self._situation)

    def why_not(self, cause: str) -> tuple[str, ...]:
        """Return why a cause is not (higher) in the ranking, in lines."""
        return why.not_cause(cause, self._situation)

    # ---- where it stands

    @property
    def open_question(self) -> str:
        """The finding that stands to be answered; "" when none does."""
        if self.standing != "asking":
            return ""
        return self.state.reopened or (self._candidate.finding if self._candidate else "")

    @property
    def standing(self) -> str:
        """Why questions go on or have ended; see ``View.standing``."""
        state = self.state
        if state.left:
            return "left"
        if state.stopped:
            return "stopped"
        if state.reopened:
            return "asking"
        if not state.said and not state.went_on:
            return "no-symptom"
        if self._stops() - state.past:
            return "stop-caution"
        if self.decided and not state.went_on:
            return self.decided
        return "asking" if self._candidate else "nothing-worth-asking"

    @property
    def decided(self) -> str:
        """The standing that the beliefs alone would give: settled, not-covered or "" while more must be learnt."""
        return decided(self._situation.belief, self._candidate)

    def _stops(self) -> frozenset[str]:
        cautions = self.knowledge.cautions
        return frozenset(name for name in self._situation.cautions() if cautions[name].rank == "stop-now")

    @property
    def _candidate(self) -> Candidate | None:
        """The question to put next, worked out once after each event and only when it is wanted."""
        if not self._chosen:
            closed = frozenset(self.state.said)
            self._chosen.append(best(self._situation, self._signs, closed, self.state.skipped))
        return self._chosen[0]

    # ---- keeping reasoning in step

    def _follow(self, before: State, event: Event) -> None:
        match event:
            case events.Answered(machine="") if not event.answer.cannot_tell:
                self._situation.say(_said(event.finding, event.answer, asked=event.asked))
            case events.Answered(machine="") | events.Withdrawn():
                self._situation.unsay(event.finding)
            case events.PhaseChanged() | events.CausePutRight() | events.Answered():
                if before != self.state:
                    self._situation = self._situation_of(self.state)

    def _situation_of(self, state: State) -> Situation:
        return Situation(
            self.knowledge,
            self.machine,
            state.phase,
            [
                _said(name, answer, asked=name in state.asked)
                for name, answer in state.said.items()
                if not answer.cannot_tell
            ],
            {
                machine: [_said(name, answer, asked=True) for name, answer in known.items() if not answer.cannot_tell]
                for machine, known in state.others.items()
            },
            state.put_right,
        )


def _said(finding: str, answer: Answer, *, asked: bool) -> Said:
    return Said(finding, answer.value, answer.number, answer.sure, volunteered=not asked)

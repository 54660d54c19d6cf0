"""An open diagnosis at the terminal, stage by stage."""

from __future__ import annotations

from functools import cached_property
from math import inf
from typing import TYPE_CHECKING

from diagnose.consultation import search
from diagnose.terminal import quiz_words as words
from diagnose.terminal.keys import Mode
from diagnose.terminal.page import Option, Turn
from diagnose.terminal.quiz import Talk
from diagnose.training import debrief_wording, mark_wording, safety, wording
from diagnose.training.debrief import debrief
from diagnose.training.handling import TELL
from diagnose.training.quiz import MOST_CAUSES
from diagnose.values.problem import DiagnoseError
from diagnose.values.text import inert

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from diagnose.training.quiz import OpenQuiz

__all__ = ["OpenTalk"]

_ACT, _HINT, _READY, _DONE, _OTHER = "act", "hint", "ready", "done", "other"
_MOST_FOUND = 8


class OpenTalk(Talk):
    """Leads through an open diagnosis. ``minutes_left`` tells how much of the time for checks is left."""

    def __init__(
        self,
        quiz: OpenQuiz,
        title: str = "",
        clean: Callable[[str], str] = inert,
        minutes_left: Callable[[], float] = lambda: inf,
    ) -> None:
        super().__init__(title, clean)
        self._quiz, self._minutes_left = quiz, minutes_left
        self._shares: dict[str, float] = {}
        self._own: list[int] = []

    def _stage(self) -> Turn:
        stages = {
            "first": self._first,
            "looking": self._looking,
            "causes": self._causes,
            "doing": self._doing,
            "marked": self._marked,
        }
        return stages[self._quiz.attempt.stage]()

    def _take(self, typed: str) -> None:
        self._mind_the_clock()
        super()._take(typed)

    def _chosen(self, index: int) -> None:
        self._mind_the_clock()
        super()._chosen(index)

    def _mind_the_clock(self) -> None:
        """End the checks when the time is over; what is still to be said may be said."""
        if self._minutes_left() <= 0 and self._quiz.attempt.stage == "looking":
            self._close_lists()
            self._quiz.ready(time_up=True)
            raise DiagnoseError(words.TIME_UP)

    # ---- what to do first, and again

    def _first(self) -> Turn:
        return self._listed(words.FIRST, [(step, wording.STEP_WORDS[step]) for step in safety.LADDER], self._act)

    def _act(self, step: str) -> None:
        self._close_lists()
        self._quiz.act(step)
        self._notice = f"Noted: {wording.STEP_WORDS[step]}."

    # ---- looking

    def _looking(self) -> Turn:
        subsystems = dict.fromkeys(one.subsystem for one in self._quiz.left)
        rows = [(name, _capital(name)) for name in subsystems]
        rows += [(_ACT, words.ACT_AGAIN), (_HINT, words.ASK_HINT), (_READY, words.READY)]
        return self._listed(words.LOOK, rows, self._where)

    def _where(self, chosen: str) -> None:
        if chosen == _ACT:
            steps = [(step, wording.STEP_WORDS[step]) for step in safety.LADDER[1:]]
            self._pick(words.FIRST, steps, self._act)
        elif chosen == _HINT:
            where = self._quiz.hint()
            self._notice = words.HINT.format(where=_capital(where)) if where else words.NO_HINT
        elif chosen == _READY:
            self._quiz.ready()
        else:
            self._pick_check([one.id for one in self._quiz.left if one.subsystem == chosen])

    def _pick_check(self, names: list[str]) -> None:
        knowledge = self._quiz.knowledge
        self._pick(words.WHERE, [(name, wording.check_words(name, knowledge)) for name in names], self._look)

    def _look(self, finding: str) -> None:
        before = self._quiz.opened.known
        self._quiz.look(finding)
        self._close_lists()
        new = {name: answer for name, answer in self._quiz.opened.known.items() if name not in before}
        told = (wording.said(name, answer, self._quiz.knowledge) for name, answer in new.items())
        self._notice = f"{'; '.join(told)}."

    def _words(self, typed: str) -> None:
        stage = self._quiz.attempt.stage
        if stage == "looking":
            self._pick_check(self._checks_meant(typed))
        elif stage == "causes":
            titles = {name: cause.title for name, cause in self._quiz.knowledge.causes.items()}
            self._pick_cause(_holding(typed, {name: titles[name] for name in self._quiz.opened.situation.causes}))
        else:
            super()._words(typed)

    def _checks_meant(self, typed: str) -> list[str]:
        """Return the checks still open that the words mean, best first, as a consultation would understand them."""
        findings, left = self._quiz.knowledge.findings, {one.id: one for one in self._quiz.left}
        matches = search.find(typed, findings, self._phrases, 2 * _MOST_FOUND)
        meant = (name for one in matches for name in (one.finding, *findings[one.finding].judged_from) if name in left)
        found = list(dict.fromkeys(meant))[:_MOST_FOUND]
        return found or _holding(typed, {name: f"{name} {one.ask}" for name, one in left.items()})

    @cached_property
    def _phrases(self) -> tuple[search.Phrase, ...]:
        return search.phrases(self._quiz.knowledge.findings)

    # ---- causes

    def _causes(self) -> Turn:
        causes = self._quiz.opened.situation.causes.values()
        rows = []
        if len(self._shares) < MOST_CAUSES:
            rows = [(name, _capital(name)) for name in dict.fromkeys(cause.subsystem for cause in causes)]
            rows.append((_OTHER, wording.cause_words("", self._quiz.knowledge)))
        if self._shares:
            rows.append((_DONE, words.ALL_SAID))
        named = [f"Named: {wording.cause_words(c, self._quiz.knowledge)}, {s:.0%}." for c, s in self._shares.items()]
        return self._listed(words.WHICH_CAUSE, rows, self._cause_from, named)

    def _cause_from(self, chosen: str) -> None:
        if chosen == _DONE:
            self._quiz.state(self._shares)
        elif chosen == _OTHER:
            self._name("")
        else:
            causes = self._quiz.opened.situation.causes
            self._pick_cause([name for name, cause in causes.items() if cause.subsystem == chosen])

    def _pick_cause(self, names: list[str]) -> None:
        knowledge = self._quiz.knowledge
        self._pick("Which?", [(name, wording.cause_words(name, knowledge)) for name in names], self._name)

    def _name(self, cause: str) -> None:
        title = f"{wording.cause_words(cause, self._quiz.knowledge)}. {words.HOW_SURE}"
        self._open.append(Turn(Mode.ENTER, lambda typed: self._sure(cause, typed), title=title))

    def _sure(self, cause: str, typed: str) -> None:
        number = typed.removesuffix("%").strip()
        if not (number.isascii() and number.isdecimal() and int(number) <= 100):  # noqa: PLR2004 - percent
            raise DiagnoseError(words.NOT_A_SHARE.format(typed=typed))
        self._close_lists()
        self._shares[cause] = int(number) / 100

    # ---- what to do about it

    def _doing(self) -> Turn:
        offers = self._quiz.offers
        rows = [(str(at), one.do) for at, one in enumerate(offers) if at not in self._own]
        chosen = [f"{number}. {offers[at].do}" for number, at in enumerate(self._own, 1)]
        return self._listed(words.WHAT_TO_DO, [*rows, (_DONE, words.ALL_SAID)], self._do, chosen)

    def _do(self, chosen: str) -> None:
        if chosen == _DONE:
            self._pick(words.WHOM, [(one, wording.TELL_WORDS[one]) for one in TELL], self._tell)
        else:
            self._own.append(int(chosen))

    def _tell(self, whom: str) -> None:
        self._close_lists()
        self._quiz.decide(self._own, whom)

    def _back(self) -> None:
        stage = self._quiz.attempt.stage
        if stage == "doing" and self._own:
            self._own.pop()
        elif stage == "causes" and self._shares:
            self._shares.popitem()
        else:
            super()._back()

    # ---- afterwards

    def _marked(self) -> Turn:
        lines = (
            *mark_wording.mark_lines(self._quiz),
            *debrief_wording.debrief_lines(debrief(self._quiz), self._quiz.knowledge),
            words.AS_PAGE,
        )
        return self._reading(words.MARKED, lines)

    def _listed(
        self, title: str, rows: list[tuple[str, str]], then: Callable[[str], None], more: Iterable[str] = ()
    ) -> Turn:
        quiz = self._quiz
        lines = [*wording.case_lines(quiz.case, quiz.knowledge, quiz.opened.known, quiz.minutes), *more]
        if quiz.attempt.stage == "looking" and (left := self._minutes_left()) < inf:
            lines.append(words.TIME_LEFT.format(minutes=max(0.0, left)))
        return self._asked(title, lines, tuple(Option(value, text) for value, text in rows), then)


def _holding(typed: str, texts: dict[str, str]) -> list[str]:
    """Return the names whose texts hold words that were typed, those that hold more of them first."""
    wanted = [word for word in typed.lower().split() if len(word) > 1]
    hits = {name: sum(word in text.lower() for word in wanted) for name, text in texts.items()}
    found = sorted((name for name in hits if hits[name]), key=lambda name: -hits[name])
    if not found:
        raise DiagnoseError(f"Nothing here is called '{typed}'.", mend="Try another word, or choose from the list.")
    return found[:_MOST_FOUND]


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}".replace("-", " ")

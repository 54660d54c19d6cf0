"""What each key sets going beyond a plain answer: a list to choose from, a page to read, an intent to carry out."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import TYPE_CHECKING

from diagnose.consultation.events import Answer, Back, GoOn, OtherMachine, PutRight, SetPhase, Skip, Stop, TakeBack
from diagnose.consultation.wording import plain
from diagnose.knowledge.model import PHASES
from diagnose.terminal import words
from diagnose.terminal.ending import cause_line, evidence
from diagnose.terminal.keys import Mode, Verb, help_lines
from diagnose.terminal.page import Option, Turn, asking, changeable
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from diagnose.consultation.view import CauseRow
    from diagnose.terminal.dialogue import Dialogue, Found

__all__ = ["ERRANDS", "find"]

Use = Callable[[str, Answer], None]


def find(dialogue: Dialogue, use: Use, text: str) -> None:
    """Look the words up, let the person choose what they mean, and use the answer."""
    found = tuple(dialogue.session.search(text))
    if not found:
        raise DiagnoseError(words.NO_MATCH.format(typed=text))
    options = tuple(Option(str(index), _match_words(dialogue, match)) for index, match in enumerate(found))
    none = Option("", words.NONE_OF_THESE)
    _pick(dialogue, words.WHICH_MATCH, (*options, none), partial(_matched, dialogue, use, found, text))


def _matched(dialogue: Dialogue, use: Use, found: tuple[Found, ...], text: str, index: str) -> None:
    if not index:
        dialogue.close()
        return
    match = found[int(index)]
    if match.value:
        use(match.finding, Answer(value=match.value, typed=text))
    else:
        question = dialogue.session.question_for(match.finding)
        dialogue.open(asking(Mode.GIVE, question, partial(use, match.finding)))


def _match_words(dialogue: Dialogue, match: Found) -> str:
    question = dialogue.session.question_for(match.finding)
    values = {choice.value: choice.words for choice in question.choices}
    return f"{question.ask} {values.get(match.value, plain(match.value))}".rstrip()


def _cannot_tell(dialogue: Dialogue, _rest: str) -> None:
    dialogue.turn.then(Answer(cannot_tell=True))


def _skip(dialogue: Dialogue, _rest: str) -> None:
    if dialogue.view.question:
        dialogue.do(Skip(dialogue.view.question.finding), words.LEFT_FOR_LATER)


def _back(dialogue: Dialogue, _rest: str) -> None:
    if dialogue.close():
        return
    earlier = dialogue.view
    dialogue.do(Back(), words.STEPPED_BACK)
    if dialogue.view == earlier:
        raise DiagnoseError(words.NOTHING_TO_UNDO)


def _change(dialogue: Dialogue, rest: str) -> None:
    rows = changeable(dialogue.view)
    if not rows:
        raise DiagnoseError(words.NO_ANSWERS_YET)
    if rest:
        number = int(rest)
        if not 1 <= number <= len(rows):
            raise DiagnoseError(words.NO_ANSWER_NUMBER.format(typed=rest, most=len(rows)))
        _change_one(dialogue, rows[number - 1].finding)
    else:
        options = tuple(Option(row.finding, f"{row.ask} {row.said}") for row in rows)
        _pick(dialogue, words.WHICH_ANSWER, options, partial(_change_one, dialogue))


def _change_one(dialogue: Dialogue, finding: str) -> None:
    question = dialogue.session.question_for(finding)
    dialogue.open(asking(Mode.CHANGE, question, partial(dialogue.report, finding), words.CHANGING))


def _take_back(dialogue: Dialogue, _rest: str) -> None:
    if dialogue.turn.question:
        dialogue.do(TakeBack(dialogue.turn.question.finding), words.ANSWER_TAKEN_BACK)


def _add(dialogue: Dialogue, _rest: str) -> None:
    dialogue.open(Turn(Mode.ENTER, partial(find, dialogue, dialogue.report), title=words.WHAT_ELSE))


def _other(dialogue: Dialogue, _rest: str) -> None:
    known = dialogue.session.knowledge.site.machines.values()
    machines = tuple(Option(m.id, f"{m.id} {m.title}") for m in known if m.id != dialogue.view.machine)
    if not machines:
        raise DiagnoseError(words.NO_OTHER_MACHINES)
    _pick(dialogue, words.WHICH_MACHINE, machines, partial(_of_machine, dialogue))


def _of_machine(dialogue: Dialogue, machine: str) -> None:
    use = partial(_report_other, dialogue, machine)
    title = words.WHAT_OF_MACHINE.format(machine=machine)
    dialogue.open(Turn(Mode.ENTER, partial(find, dialogue, use), title=title))


def _report_other(dialogue: Dialogue, machine: str, finding: str, answer: Answer) -> None:
    said = f"{machine}, {answer.typed or plain(answer.value)}"
    notice = words.CANNOT_TELL if answer.cannot_tell else words.NOTED.format(said=said)
    dialogue.do(OtherMachine(machine, finding, answer), notice)


def _phase(dialogue: Dialogue, rest: str) -> None:
    wanted = plain(rest.casefold())
    if not wanted:
        options = tuple(Option(phase, plain(phase)) for phase in PHASES)
        _pick(dialogue, words.WHICH_PHASE, options, partial(_set_phase, dialogue))
        return
    phase = next((phase for phase in PHASES if plain(phase) == wanted), None)
    if phase is None:
        raise DiagnoseError(words.NO_PHASE.format(typed=rest, phases=", ".join(map(plain, PHASES))))
    _set_phase(dialogue, phase)


def _set_phase(dialogue: Dialogue, phase: str) -> None:
    dialogue.do(SetPhase(phase), words.PHASE_NOW.format(phase=plain(phase)))


def _why(dialogue: Dialogue, _rest: str) -> None:
    own = dialogue.turn.mode is Mode.QUESTION
    _read(dialogue, words.WHY_ASKED_TITLE, dialogue.session.why_question() if own else (words.BROUGHT_UP,))


def _why_cause(dialogue: Dialogue, rest: str) -> None:
    show = partial(_show_why_cause, dialogue)
    if rest:
        show(_cause_named(dialogue, rest))
    else:
        _pick(dialogue, words.WHICH_CAUSE, _causes(dialogue.view.ranking), show)


def _show_why_cause(dialogue: Dialogue, cause: str) -> None:
    lines = dialogue.session.why_cause(cause) if cause else _why_not_covered(dialogue)
    _read(dialogue, words.WHY_CAUSE_TITLE.format(title=_title(dialogue, cause)), lines)


def _why_not_covered(dialogue: Dialogue) -> tuple[str, ...]:
    return tuple(
        line
        for number, row in enumerate(dialogue.view.ranking, 1)
        if words.not_listed(row)
        for line in (cause_line(number, len(dialogue.view.ranking), row, {}), *evidence(number, row), words.NOT_LISTED)
    )


def _why_not(dialogue: Dialogue, rest: str) -> None:
    if not rest:
        dialogue.open(Turn(Mode.ENTER, partial(_why_not, dialogue), title=words.WHY_NOT_WHICH))
        return
    cause = _cause_named(dialogue, rest)
    _read(dialogue, words.WHY_NOT_TITLE.format(title=_title(dialogue, cause)), dialogue.session.why_not(cause))


def _put_right(dialogue: Dialogue, rest: str) -> None:
    mend = partial(_mended, dialogue)
    if rest:
        mend(_cause_named(dialogue, rest))
    else:
        listed = tuple(row for row in dialogue.view.ranking if not words.not_listed(row))
        _pick(dialogue, words.WHICH_PUT_RIGHT, _causes(listed), mend)


def _mended(dialogue: Dialogue, cause: str) -> None:
    dialogue.do(PutRight(cause), words.PUT_RIGHT_NOTED.format(title=_title(dialogue, cause)))


def _causes(rows: Iterable[CauseRow]) -> tuple[Option, ...]:
    return tuple(Option(row.cause, row.title, f"{words.percent(row.probability)}%") for row in rows)


def _cause_named(dialogue: Dialogue, named: str) -> str:
    """Return the cause of this rank, or the one that the words mean."""
    if not named.isdecimal():
        return dialogue.session.find_cause(named)
    listed = [row.cause for row in dialogue.view.ranking]
    if not 1 <= int(named) <= len(listed) or not listed[int(named) - 1]:
        raise DiagnoseError(words.NO_CAUSE_NUMBER.format(typed=named, most=len(listed)))
    return listed[int(named) - 1]


def _title(dialogue: Dialogue, cause: str) -> str:
    return next((row.title for row in dialogue.view.ranking if row.cause == cause), plain(cause))


def _end(dialogue: Dialogue, _rest: str) -> None:
    dialogue.do(Stop(), "")


def _go_on(dialogue: Dialogue, _rest: str) -> None:
    dialogue.do(GoOn(), "")


def _quit(dialogue: Dialogue, _rest: str) -> None:
    dialogue.leave()


def _help(dialogue: Dialogue, _rest: str) -> None:
    _read(dialogue, words.ALL_KEYS, (*words.HELP_MORE[:2], *help_lines(), *words.HELP_MORE[2:]))


def _pick(dialogue: Dialogue, title: str, options: tuple[Option, ...], then: Callable[[str], None]) -> None:
    if not options:
        raise DiagnoseError(words.NO_CAUSES_YET)
    dialogue.open(Turn(Mode.PICK, then, title=title, options=options))


def _read(dialogue: Dialogue, title: str, lines: Iterable[str]) -> None:
    dialogue.open(Turn(Mode.READ, lambda _: None, title=title, lines=tuple(lines)))


ERRANDS: dict[Verb, Callable[[Dialogue, str], None]] = {
    Verb.CANNOT_TELL: _cannot_tell,
    Verb.SKIP: _skip,
    Verb.BACK: _back,
    Verb.CHANGE: _change,
    Verb.TAKE_BACK: _take_back,
    Verb.ADD: _add,
    Verb.OTHER: _other,
    Verb.PHASE: _phase,
    Verb.WHY: _why,
    Verb.WHY_CAUSE: _why_cause,
    Verb.WHY_NOT: _why_not,
    Verb.END: _end,
    Verb.GO_ON: _go_on,
    Verb.PUT_RIGHT: _put_right,
    Verb.QUIT: _quit,
    Verb.HELP: _help,
}

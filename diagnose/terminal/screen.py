"""A page as lines of styled text for a screen of a given size: one pure function a block, no terminal in sight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from diagnose.terminal import words
from diagnose.terminal.cautions import fitted, in_full
from diagnose.terminal.ending import CAUTIONS, blocks, contradictions, said
from diagnose.terminal.keys import Mode, key_lines
from diagnose.terminal.lines import Line, beside, cut, wrapped
from diagnose.terminal.page import ANSWERING, Page, Turn, changeable
from diagnose.terminal.style import Style

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from diagnose.consultation.view import CauseRow, Question, View
    from diagnose.terminal.harmless import Marks

__all__ = ["Screen", "compose", "ending_lines"]

_WIDE = 110
_GAP = 3
_LOW = 12  # rows below which the safety line gives way to the cautions
_BODY_TENTHS = 6  # of the rows are kept for the question, however many cautions there are


@dataclass(frozen=True, slots=True)
class Screen:
    """What is shown: the lines, and the scroll position that was possible."""

    lines: tuple[Line, ...]
    scroll: int


def compose(page: Page, columns: int, rows: int, marks: Marks, *, scroll: int = 0, chosen: int | None = None) -> Screen:
    """Lay a page out on so many columns and rows: what stays on top, what scrolls, what stays below.

    ``chosen`` is the option that the arrows stand on; it is kept in sight. Cautions are never scrolled away.
    """
    columns, rows = max(columns, 10), max(rows, 5)
    foot = _foot(page, columns, rows // 8)
    head = _head(page.view, columns, rows) if page.view else []
    room = max(rows - len(head) - len(foot) - rows * _BODY_TENTHS // 10, 1)
    top, doing = fitted(page.view, columns, room) if page.view else ([], True)
    body = _body(page, columns, marks, chosen, doing=doing)
    space = max(rows - len(head) - len(top) - len(foot), 1)
    scroll = _in_sight(body, space, scroll, chosen)
    shown = [cut(line, columns) for line in _with_more(body, space, scroll, _leading(page, columns, marks))]
    empty: list[Line] = [()] * (space - len(shown))
    return Screen((*head, *top, *shown, *empty, *foot)[:rows], scroll)


def _head(view: View, columns: int, rows: int) -> list[Line]:
    machine = cut(((Style.HEAD, words.machine_line(view)),), columns)
    return [machine, *(wrapped(Style.SAFETY, words.SAFETY, columns) if rows >= _LOW else [])]


def _foot(page: Page, columns: int, key_rows: int) -> list[Line]:
    say: list[Line] = []
    if page.trouble:
        say = wrapped(Style.TROUBLE, page.trouble, columns, ((Style.TROUBLE, "Not taken: "),))
    elif page.notice:
        say = wrapped(Style.NOTICE, page.notice, columns)
    lead = _number_keys(page.turn)
    keys = key_lines(page.turn.mode, columns, min(max(key_rows, 1), 3), lead)
    return [*say, *(((Style.KEYS, line),) for line in keys)]


def _number_keys(turn: Turn) -> tuple[str, ...]:
    if turn.options and turn.numbered:
        return (f"1-{len(turn.options)} choose" if len(turn.options) > 1 else "1 choose",)
    return ("Enter on" if turn.onward else "Enter back",) if turn.mode is Mode.READ else ()


def _body(page: Page, columns: int, marks: Marks, chosen: int | None, *, doing: bool) -> list[Line]:
    turn, view = page.turn, page.view
    if turn.mode is Mode.ENDING and view:
        return ending_lines(view, columns, cautions_last=doing)
    if view is None or turn.mode not in ANSWERING:
        return _asked(turn, columns, marks, chosen)
    if columns < _WIDE:
        ranking, cautions = _ranking(view, page.before, columns, marks), _cautions(view, columns)
        first, then = (ranking, cautions) if doing else (cautions, ranking)
        asked = [*_asked(turn, columns, marks, chosen), *_doubts(view, columns)]
        return [*asked, *first, *then, *_because(turn, columns), *_answered(view, columns)]
    left = columns * 11 // 20
    asked = [*_asked(turn, left, marks, chosen), *_because(turn, left), *_doubts(view, left)]
    asked += [*_cautions(view, left), *_answered(view, left)]
    return beside(asked, _ranking(view, page.before, columns - left - _GAP, marks), left, _GAP)


def _cautions(view: View, columns: int) -> list[Line]:
    full = in_full(view, columns)
    return _titled(words.CAUTIONS_IN_FULL, full) if full else []


def _doubts(view: View, columns: int) -> list[Line]:
    return [line for text in contradictions(view) for line in wrapped(Style.MIND, text, columns)]


def _because(turn: Turn, columns: int) -> list[Line]:
    text = words.asked_because(turn.question) if turn.question else ""
    return [(), *wrapped(Style.HOW, text, columns)] if text else []


def _asked(turn: Turn, columns: int, marks: Marks, chosen: int | None) -> list[Line]:
    """Put what is asked: title, question with how to look and what to mind, options, a page to read."""
    lines = wrapped(Style.TITLE, turn.title, columns) if turn.title else []
    if not turn.sure:
        lines += wrapped(Style.NOTICE, words.NOT_SURE, columns)
    if turn.question:
        lines += _question(turn.question, columns)
    lines += _options(turn, columns, marks, chosen)
    if turn.mode is Mode.REPORT:
        lines += wrapped(Style.HOW, words.HOW_TO_SAY, columns)
    for text in turn.lines:
        lines += wrapped(Style.TEXT, text, columns)
    return [(), *lines]


def _question(question: Question, columns: int) -> list[Line]:
    lines = wrapped(Style.ASK, question.ask, columns)
    if question.how:
        lines += wrapped(Style.HOW, question.how, columns, ((Style.HOW, "How: "),))
    if question.hazard != "none":
        lines += wrapped(Style.MIND, question.hazard, columns, ((Style.MIND, "Mind: "),))
    if question.usual:
        lines += wrapped(Style.HOW, words.usual(question), columns)
    if question.unit:
        lines += wrapped(Style.HOW, words.number_wanted(question), columns)
    return lines


def _options(turn: Turn, columns: int, marks: Marks, chosen: int | None) -> Iterator[Line]:
    for index, option in enumerate(turn.options):
        style = Style.CHOSEN if index == chosen else Style.OPTION
        pointer = marks.pointer if index == chosen else " "
        number = f"{index + 1:>2}" if turn.numbered else " -"
        note = f"  ({option.note})" if option.note else ""
        yield from wrapped(style, f"{option.words}{note}", columns, ((style, f"{pointer}{number} "),))


def _ranking(view: View, before: Mapping[str, float], columns: int, marks: Marks) -> list[Line]:
    if view.standing == "no-symptom":
        return []
    lines: list[Line] = []
    for number, row in enumerate(view.ranking, 1):
        lines += _cause(number, row, before, columns, marks)
        if number == 1 and (reason := words.short_reason(row)):
            lines += wrapped(Style.HOW, reason, columns, ((Style.HOW, "     "),))
    return _titled(words.CAUSES_NOW, lines or wrapped(Style.TEXT, words.NO_RANKING, columns))


def _cause(number: int, row: CauseRow, before: Mapping[str, float], columns: int, marks: Marks) -> list[Line]:
    style = Style.NOT_COVERED if words.not_listed(row) else Style.CAUSE
    cells = 10 if columns >= 50 else 5  # noqa: PLR2004
    full = round(cells * row.probability)
    bar = marks.full * full + marks.empty * (cells - full)
    lead = ((Style.CAUSE, f"{words.percent(row.probability):>3}% "), (Style.BAR, bar), (Style.CAUSE, f" {number} "))
    return wrapped(style, f"{row.title}: {words.short_share(row, before)}", columns, lead)


def _answered(view: View, columns: int) -> list[Line]:
    own = changeable(view)
    lines: list[Line] = []
    for row in reversed(view.answered):
        number = f"{own.index(row) + 1:>3} " if row in own else "    "
        lines += wrapped(Style.SAID, said(row), columns, ((Style.SAID, number),))
    return _titled(words.ANSWERED_SO_FAR, lines) if lines else []


def ending_lines(view: View, columns: int, *, cautions_last: bool = False) -> list[Line]:
    """Lay the ending out at a width, however many rows it takes.

    ``cautions_last`` is for a screen that has them above with what to do: their grounds then come at the end.
    """
    ordered = sorted(blocks(view), key=lambda block: block.title == CAUTIONS) if cautions_last else blocks(view)
    lines: list[Line] = []
    for block in ordered:
        rows = [row for style, text in block.lines for row in wrapped(style, text, columns - 2, ((Style.TEXT, "  "),))]
        lines += _titled(block.title, rows)
    return lines


def _titled(title: str, lines: list[Line]) -> list[Line]:
    return [(), ((Style.TITLE, title),), *lines]


def _in_sight(body: list[Line], space: int, scroll: int, chosen: int | None) -> int:
    """Return a scroll position that exists and, when an option is chosen, shows it."""
    last = max(0, len(body) - space + (len(body) > space))
    scroll = min(max(scroll, 0), last)
    if chosen is None:
        return scroll
    rows = [number for number, line in enumerate(body) if any(style is Style.CHOSEN for style, _ in line)]
    if rows and not scroll <= rows[0] < scroll + space - 1:
        return min(max(0, rows[0] - space // 2), last)
    return scroll


def _with_more(body: list[Line], space: int, scroll: int, leading: Line) -> list[Line]:
    """Return what fits; when something does not, the last row says so, which way it lies, and which cause leads."""
    if len(body) <= space:
        return body
    shown = body[scroll : scroll + space - 1]
    ways = [words.MORE_ABOVE] if scroll else []
    if scroll + space - 1 < len(body):
        ways.append(words.MORE_BELOW)
    led = () if leading in shown else ((Style.TEXT, " "), *leading)
    shown += [()] * (space - 1 - len(shown))
    return [*shown, ((Style.MORE, f" {', '.join(ways)} "), *led)]


def _leading(page: Page, columns: int, marks: Marks) -> Line:
    """Return the row of the leading cause while questions are asked, else nothing."""
    if page.view and page.view.ranking and page.turn.mode in ANSWERING and page.view.standing != "no-symptom":
        return _cause(1, page.view.ranking[0], page.before, columns, marks)[0]
    return ()

"""The consultation line by line: for pipes, dumb terminals, screen readers and whoever asks for it.

No cursor moves, nothing is drawn, each line says by itself what it is. The terminal library is not needed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from diagnose.consultation.wording import REFER_WORDS
from diagnose.terminal import words
from diagnose.terminal.chooser import Chooser
from diagnose.terminal.dialogue import Consulted, Dialogue
from diagnose.terminal.ending import blocks, cause_line, caution_lines, contradictions
from diagnose.terminal.harmless import cleaned, cleaner
from diagnose.terminal.keys import Mode, short_keys
from diagnose.values.text import inert

if TYPE_CHECKING:
    from diagnose.consultation.view import Question, View
    from diagnose.terminal.page import Page, Turn

__all__ = ["choose_plain", "ending_text", "page_text", "run_plain", "write_ending"]

Write = Callable[[str], None]


def run_plain(session: Consulted, lines: Iterator[str], write: Write, *, echo: bool, encoding: str = "utf-8") -> View:
    """Hold a consultation over typed ``lines`` until it is left or they end; return the last view.

    ``write`` takes one line without its end and must show it at once. With ``echo`` each line read is repeated, for
    input that no terminal shows. End of input ends with what is known. An interrupt leaves at once, saved.
    """
    dialogue = Dialogue(session, cleaner(encoding))
    try:
        _converse(dialogue, lines, write, echo=echo)
    except KeyboardInterrupt:
        dialogue.leave()
        write(dialogue.parting)
        return dialogue.view
    if dialogue.turn.mode is not Mode.ENDING:
        write_ending(dialogue.view, write)
    _say(write, [dialogue.parting])
    return dialogue.view


def _converse(dialogue: Dialogue, lines: Iterator[str], write: Write, *, echo: bool) -> None:
    shown: Page | None = None
    while not dialogue.done:
        page = dialogue.page()
        _say(write, page_text(page, shown))
        shown = page
        if not echo:  # a person reads now
            dialogue.session.prepare()
        typed = _read(lines, write, echo=echo)
        if typed is None:
            dialogue.leave()
        else:
            dialogue.take(typed)


def choose_plain(
    title: str, options: Sequence[tuple[str, str]], lines: Iterator[str], write: Write, *, echo: bool = False
) -> str | None:
    """Let one of (value, words) be chosen by number or words; None when it was left or the input ended."""
    chooser = Chooser(title, options)
    while not chooser.done:
        _say(write, page_text(chooser.page(), None))
        typed = _read(lines, write, echo=echo)
        if typed is None:
            return None
        chooser.take(typed)
    return chooser.chosen


def page_text(page: Page, earlier: Page | None = None) -> Iterator[str]:
    """Say a page, line by line. What stood on the ``earlier`` page is said shorter; a caution is never left out."""
    if page.trouble:
        yield words.NOT_TAKEN.format(why=page.trouble)
        if earlier and page.turn == earlier.turn:
            return
    if page.notice:
        yield page.notice
    if page.view:
        yield from _standing(page, page.view, earlier.view if earlier else None)
    yield from _turn(page.turn)
    if earlier is None or earlier.turn.mode is not page.turn.mode:
        yield f"Keys: {', '.join(short_keys(page.turn.mode))}."


def write_ending(view: View, write: Write, encoding: str = "utf-8") -> None:
    """Write the ending, made harmless for an output of this encoding."""
    _say(write, ending_text(cleaned(view, cleaner(encoding))))


def ending_text(view: View) -> Iterator[str]:
    """Say the ending: each heading on its line, then its sentences."""
    for block in blocks(view):
        yield f"{block.title}:"
        yield from (text for _, text in block.lines)


def _standing(page: Page, view: View, earlier: View | None) -> Iterator[str]:
    if earlier is None or words.machine_line(earlier) != words.machine_line(view):
        yield f"Machine: {words.machine_line(view)}."
        yield words.SAFETY
    if view == earlier:
        return
    if page.turn.mode is Mode.ENDING:
        yield from ending_text(view)
        return
    yield from _cautions(view, earlier)
    yield from contradictions(view)
    if view.standing == "no-symptom":
        return
    for number, row in enumerate(view.ranking, 1):
        yield cause_line(number, len(view.ranking), row, page.before)


def _cautions(view: View, earlier: View | None) -> Iterator[str]:
    known = set(earlier.cautions) if earlier else set()
    rows = words.cautions_in_order(view)
    for number, caution in enumerate(rows, 1):
        told = [text for _, text in caution_lines(caution)]
        still = ", still in force" if caution in known else ""
        yield f"Caution {number} of {len(rows)}{still}: {' '.join(told[:1] if still else told)}"
    if words.DANGEROUS in view.refer:
        yield REFER_WORDS[words.DANGEROUS]


def _turn(turn: Turn) -> Iterator[str]:
    if turn.title:
        yield turn.title
    if not turn.sure:
        yield words.NOT_SURE
    if turn.question:
        yield from _question(turn.question)
    yield from _options(turn)
    if turn.question and (because := words.asked_because(turn.question)):
        yield because
    if turn.mode is Mode.REPORT:
        yield words.HOW_TO_SAY
    yield from turn.lines
    if turn.mode is Mode.READ:
        yield words.GO_ON_HINT if turn.onward else words.GO_BACK_HINT


def _question(question: Question) -> Iterator[str]:
    yield f"Question: {question.ask}"
    if question.how:
        yield f"How: {question.how}"
    if question.hazard != "none":
        yield f"Mind: {question.hazard}."
    if question.usual:
        yield words.usual(question)
    if question.unit:
        yield words.number_wanted(question)


def _options(turn: Turn) -> Iterator[str]:
    kind = "Answer" if turn.question else "Choice"
    for number, option in enumerate(turn.options, 1):
        note = f" ({option.note})" if option.note else ""
        label = f"{kind} {number} of {len(turn.options)}" if turn.numbered else "Word"
        yield f"{label}: {option.words}{note}"


def _read(lines: Iterator[str], write: Write, *, echo: bool) -> str | None:
    """Return the next line, or None when the input has ended."""
    if not echo:
        write(words.YOUR_ANSWER)
    typed = next(lines, None)
    if typed is not None and echo:
        write(f"> {inert(typed.strip())}")
    return typed


def _say(write: Write, texts: Iterable[str]) -> None:
    for text in texts:
        write(text)

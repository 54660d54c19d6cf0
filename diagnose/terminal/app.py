"""The full screen: the only place that builds an application of the terminal library. Import it only when used."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from prompt_toolkit.application import Application
from prompt_toolkit.buffer import Buffer
from prompt_toolkit.filters import Condition
from prompt_toolkit.formatted_text import FormattedText, StyleAndTextTuples
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.layout import BufferControl, FormattedTextControl, HSplit, Layout, VSplit, Window
from prompt_toolkit.output.defaults import create_output
from prompt_toolkit.shortcuts import print_formatted_text
from prompt_toolkit.styles import Style as StyleRules

from diagnose.terminal.chooser import Chooser
from diagnose.terminal.dialogue import Consulted, Dialogue
from diagnose.terminal.harmless import cleaner, marks_for
from diagnose.terminal.keys import read
from diagnose.terminal.page import Page, option_meant
from diagnose.terminal.screen import compose, ending_lines
from diagnose.terminal.style import RULES, Style
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from prompt_toolkit.input import Input
    from prompt_toolkit.output import Output

    from diagnose.consultation.view import View
    from diagnose.terminal.lines import Line

__all__ = ["choose_full", "run_full", "show_full"]

_PROMPT = "> "


class Talk(Protocol):
    """What the full screen shows and feeds: a consultation's dialogue or a list to choose from."""

    @property
    def done(self) -> bool:
        """Whether the screen is to be left."""

    def page(self) -> Page:
        """Return what to show now."""

    def take(self, typed: str) -> bool:
        """Do what the line says; False when it could not be taken."""

    def choose(self, index: int) -> bool:
        """Take the option of this index; False when it could not be taken."""

    def leave(self) -> None:
        """Save and leave."""


def run_full(session: Consulted, *, input: Input | None = None, output: Output | None = None) -> View:  # noqa: A002
    """Hold a consultation on the full screen until it is left; return the last view.

    Afterwards the ending stands on the ordinary screen, to be read and scrolled back to. An interrupt (Ctrl-C) leaves
    at once with one line. Either way the consultation is saved and stays open.
    """
    output = output or create_output()
    dialogue = Dialogue(session, cleaner(output.encoding()))
    hurried = _Face(dialogue, input, output, session.prepare).run()
    ending = [] if hurried else ending_lines(dialogue.view, output.get_size().columns)
    _print(output, [*ending, ((Style.NOTICE, dialogue.parting),)])
    return dialogue.view


def choose_full(
    title: str,
    options: Sequence[tuple[str, str]],
    *,
    input: Input | None = None,  # noqa: A002
    output: Output | None = None,
) -> str | None:
    """Let one of (value, words) be chosen on the full screen; None when it was left."""
    chooser = Chooser(title, options)
    _Face(chooser, input, output or create_output()).run()
    return chooser.chosen


def show_full(talk: Talk, *, input: Input | None = None, output: Output | None = None) -> bool:  # noqa: A002
    """Hold any talk on the full screen until it is done; return True when it was left in a hurry."""
    return _Face(talk, input, output or create_output()).run()


class _Face:
    """The application around a talk: where it is scrolled to, which option the arrows stand on, the typed line."""

    def __init__(
        self, talk: Talk, keys_from: Input | None, output: Output, idle: Callable[[], None] = lambda: None
    ) -> None:
        self._talk = talk
        self._output = output
        self._marks = marks_for(output.encoding())
        self._scroll = 0
        self._chosen: int | None = None
        self._refused = False
        self._line = Buffer(multiline=False, on_text_changed=self._typed)
        self._application: Application[bool] = Application(
            layout=self._layout(),
            key_bindings=self._bindings(),
            style=StyleRules.from_dict({style.value: rule for style, rule in RULES.items()}),
            full_screen=True,
            input=keys_from,
            output=output,
        )
        self._application.ttimeoutlen = 0.05
        self._application.after_render += lambda _: idle()

    def run(self) -> bool:
        """Run until the talk is done; return True when it was left in a hurry."""
        return self._application.run()

    def _layout(self) -> Layout:
        prompt = Window(
            FormattedTextControl([(_class(Style.PROMPT), _PROMPT)]), width=len(_PROMPT), dont_extend_width=True
        )
        line = Window(BufferControl(self._line), height=1)
        page = Window(FormattedTextControl(self._fragments), wrap_lines=False)
        return Layout(HSplit([page, VSplit([prompt, line], height=1)]), focused_element=line)

    def _fragments(self) -> StyleAndTextTuples:
        try:
            return self._composed()
        except Exception as error:  # noqa: BLE001 - the library would print a traceback over the screen and wait
            self._fail(error)
            return []

    def _composed(self) -> StyleAndTextTuples:
        size = self._output.get_size()
        screen = compose(
            self._talk.page(), size.columns, size.rows - 1, self._marks, scroll=self._scroll, chosen=self._pointed()
        )
        self._scroll = screen.scroll
        return _formatted(screen.lines)

    def _pointed(self) -> int | None:
        """Return the option that the arrows stand on or that the typed line means."""
        if not self._line.text.strip():
            return self._chosen
        try:
            return option_meant(self._talk.page().turn, self._line.text)
        except DiagnoseError:
            return None

    def _typed(self, _buffer: Buffer) -> None:
        self._chosen, self._refused = None, False

    def _anew(self, event: KeyPressEvent) -> None:
        """Type over words that were not taken; who wants to mend them moves or deletes first."""
        self._line.reset()
        self._line.insert_text(event.data)

    def _bindings(self) -> KeyBindings:
        bindings = KeyBindings()
        listing = Condition(lambda: bool(self._talk.page().turn.options))
        bindings.add("<any>", filter=Condition(lambda: self._refused))(self._anew)
        bindings.add("enter")(lambda event: self._step(event, self._enter))
        bindings.add("c-d")(lambda event: self._step(event, self._leave))
        bindings.add("c-c")(self._hurry)
        bindings.add("<sigint>")(self._hurry)
        bindings.add("f1")(lambda event: self._step(event, lambda: self._talk.take("?")))
        bindings.add("escape", eager=True)(lambda _: self._line.reset())
        bindings.add("down", filter=listing)(lambda _: self._point(1))
        bindings.add("up", filter=listing)(lambda _: self._point(-1))
        bindings.add("pagedown")(lambda _: self._move(1))
        bindings.add("pageup")(lambda _: self._move(-1))
        return bindings

    def _enter(self) -> bool:
        typed, mode = self._line.text, self._talk.page().turn.mode
        if not typed.strip() and self._chosen is not None:
            return self._talk.choose(self._chosen)
        command = read(typed, mode)
        return self._talk.take(typed) or (command is not None and not command.rest)

    def _leave(self) -> bool:
        self._talk.leave()
        return True

    def _step(self, event: KeyPressEvent, step: Callable[[], bool]) -> None:
        """Take a step; words not taken stay, to be mended or typed over; a key that does nothing here goes."""
        try:
            taken = step()
        except Exception as error:  # noqa: BLE001 - as above
            self._fail(error)
            return
        self._refused = not taken and bool(self._line.text)
        if taken:
            self._line.reset()
            self._scroll, self._chosen = 0, None
        if self._talk.done:
            event.app.exit(result=False)

    def _fail(self, error: Exception) -> None:
        """Leave the screen and let the error go on to whoever runs it."""
        if not self._application.is_done:
            self._application.exit(exception=error)

    def _hurry(self, event: KeyPressEvent) -> None:
        self._talk.leave()
        event.app.exit(result=True)

    def _point(self, step: int) -> None:
        most = len(self._talk.page().turn.options)
        start = -1 if self._chosen is None and step > 0 else (self._chosen or 0)
        self._line.reset()
        self._chosen = (start + step) % most

    def _move(self, step: int) -> None:
        self._chosen = None
        self._scroll = max(0, self._scroll + step * max(1, self._output.get_size().rows // 2))


def _class(style: Style) -> str:
    return f"class:{style.value}"


def _formatted(lines: Sequence[Line]) -> StyleAndTextTuples:
    fragments: StyleAndTextTuples = []
    for line in lines:
        fragments += [(_class(style), text) for style, text in line]
        fragments.append(("", "\n"))
    return fragments[:-1]


def _print(output: Output, lines: Sequence[Line]) -> None:
    rules = StyleRules.from_dict({style.value: rule for style, rule in RULES.items()})
    print_formatted_text(FormattedText(_formatted(lines)), output=output, style=rules)

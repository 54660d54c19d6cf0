"""Wrapping, looks, and text made fit to be shown."""

import ast
import inspect

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_views import ENDED

from diagnose.consultation.wording import RANK_WORDS
from diagnose.terminal import words
from diagnose.terminal.harmless import ascii_only, cleaned, cleaner, marks_for
from diagnose.terminal.lines import beside, cut, text_of, wrap, wrapped
from diagnose.terminal.style import RANK_STYLES, RULES, Style
from diagnose.values.text import width

SIXTEEN = {"black", "red", "green", "yellow", "blue", "magenta", "cyan", "gray"}


@given(st.text(), st.integers(2, 90))
def test_wrapping_keeps_every_word_and_no_line_is_too_wide(text, columns):
    """Wrapped text has the same characters in the same order, in lines within the width."""
    lines = wrap(text, columns)
    assert "".join("".join(line.split()) for line in lines) == "".join(text.split())
    assert all(width(line) <= columns for line in lines)


def test_wrapped_text_hangs_under_its_beginning():
    """The second line of a wrapped text is indented by the width of the lead."""
    lines = wrapped(Style.HOW, "draw a little", 12, ((Style.HOW, "How: "),))
    assert [text_of(line) for line in lines] == ["How: draw a", "     little"]


@given(st.text(st.characters(categories=["L", "N"]), max_size=60), st.integers(3, 40))
def test_a_cut_line_is_within_the_width_and_shows_that_it_is_cut(text, columns):
    """A line that fits is left alone; another ends in three dots."""
    shown = text_of(cut(((Style.TEXT, text),), columns))
    assert width(shown) <= columns
    assert shown == text if width(text) <= columns else shown.endswith("...")


def test_two_blocks_side_by_side_keep_their_columns_when_one_is_longer():
    """The right block starts in the same column on every line, also below the end of the left one."""
    left, right = wrapped(Style.TEXT, "one", 5), wrapped(Style.TEXT, "a b c", 1)
    assert [text_of(line) for line in beside(left, right, 5, 2)] == ["one    a", "       b", "       c"]


@pytest.mark.parametrize("style", Style)
def test_every_style_has_a_rule_in_the_colours_that_users_set(style):
    """A rule uses only the sixteen colours of the terminal's own theme, none of them the ones hard to read."""
    for word in RULES[style].split():
        colour = word.removeprefix("bg:").removeprefix("ansi")
        assert word in {"bold", "reverse", "underline", "italic"} or (word.startswith("ansi") and colour in SIXTEEN)


def test_each_rank_has_its_own_look_and_its_own_words():
    """Ranks are told apart by words; the looks only help."""
    assert set(RANK_STYLES) == set(RANK_WORDS)
    assert len(set(RANK_STYLES.values())) == len(set(RANK_WORDS.values())) == len(RANK_WORDS)


def test_the_terminal_library_accepts_every_rule():
    """No style is misspelt: each is in the style sheet that the library built."""
    from prompt_toolkit.styles import Style as StyleRules

    sheet = StyleRules.from_dict({style.value: rule for style, rule in RULES.items()})
    assert {name for name, _ in sheet.style_rules} == {style.value for style in Style}


def test_own_sentences_are_ascii_so_that_every_terminal_can_show_them():
    """Nothing that this room says needs more than ASCII."""
    texts = [node.value for node in ast.walk(ast.parse(inspect.getsource(words))) if isinstance(node, ast.Constant)]
    assert all(text.isascii() for text in texts if isinstance(text, str))


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437", "no-such-encoding", "utf-8"])
def test_marks_can_be_shown_in_the_encoding_of_the_output(encoding):
    """Outside UTF-8 the screen draws with ASCII only."""
    marks = marks_for(encoding)
    drawn = marks.full + marks.empty + marks.pointer
    assert drawn.isascii() == (encoding != "utf-8")
    assert marks.full != marks.empty


@given(st.text())
def test_text_cleaned_for_an_ascii_output_is_printable_ascii(text):
    """Whatever is written in the rules, an ASCII output gets printable ASCII."""
    shown = cleaner("ascii")(text)
    assert shown.isascii()
    assert shown.isprintable()


def test_units_stay_readable_in_ascii():
    """Degrees, micrometres and dashes are spelt, not dropped."""
    assert ascii_only("61 \u00b0C, 5\u201310 \u00b5m") == "61 deg C, 5-10 um"


def test_cleaning_reaches_every_text_of_a_view_and_changes_nothing_else():
    """Texts deep in tuples and rows are cleaned; numbers and truth values stay as they are."""
    shown = cleaned(ENDED, str.upper)
    assert shown.ranking[0].weights[0].said == "MILKY"
    assert shown.supervisor[0] == ENDED.supervisor[0].upper()
    assert shown.ranking[0].probability == ENDED.ranking[0].probability
    assert cleaned(ENDED, str) == ENDED

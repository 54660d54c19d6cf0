"""Text made harmless for a screen."""

from hypothesis import given
from hypothesis import strategies as st

from diagnose.values.text import inert, lines_of, one_line, width


def test_an_escape_sequence_cannot_act():
    """An escape character becomes four visible characters."""
    assert inert("a\x1b[2Jb") == r"a\x1b[2Jb"


def test_bidirectional_and_invisible_characters_are_shown():
    """Characters that reorder or hide text become visible codes."""
    assert inert("a\u202eb\u200bc\u2066d\x9be") == r"a\u202eb\u200bc\u2066d\x9be"


def test_a_lone_surrogate_can_be_shown():
    """A half character, which no terminal can encode, becomes a code."""
    assert inert("a\ud800") == r"a\ud800"


def test_newlines_stay_only_when_asked_for():
    """A newline is a code on one line and a newline in a block."""
    assert inert("a\nb") == r"a\nb"
    assert inert("a\nb", lines=True) == "a\nb"


def test_ordinary_text_is_untouched():
    """Accents, degree signs and symbols pass."""
    assert inert("82 °C, Öl, 油") == "82 °C, Öl, 油"


@given(st.text())
def test_whatever_comes_is_printable(text):
    """No text leaves a character that a terminal could act on."""
    assert inert(text).isprintable()
    inert(text).encode("utf-8")


def test_a_long_text_is_cut_to_one_line():
    """Sixty characters at most, three dots where something is missing."""
    assert one_line("word " * 40).endswith("...")
    assert len(one_line("word " * 40)) == 60
    assert one_line("short\n text") == "short text"


def test_wide_and_combining_characters_count_as_they_are_drawn():
    """A wide character takes two columns, an accent of its own none."""
    assert width("ab") == 2
    assert width("油") == 2
    assert width("e\u0301") == 1


def test_lines_end_the_same_on_every_system():
    """Three ways to end a line; nothing else ends one."""
    assert lines_of("a\r\nb\rc\nd\x0be\u2028f") == ["a", "b", "c", "d\x0be\u2028f"]

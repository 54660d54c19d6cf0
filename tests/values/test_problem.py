"""Problems, their order and the frame that shows the line."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.values.problem import DiagnoseError, Place, Problem, frame


def problem(line=1, column=1, file="rules/a.yaml", says="Wrong.", mend=""):
    return Problem(Place(file, line, column), "some-code", says, mend)


def test_a_problem_is_one_line_with_place_code_message_and_mend():
    """File, line and column come first, the mend last."""
    assert problem(3, 7, mend="Mend it.").line() == "rules/a.yaml:3:7 some-code Wrong. Mend it."


def test_problems_sort_by_place_as_numbers():
    """Line 10 comes after line 9, and column before code."""
    given_order = [problem(10, 1), problem(9, 20), problem(9, 3), problem(1, 1, "rules/b.yaml")]
    assert [p.place[1:] for p in sorted(given_order)] == [(9, 3), (9, 20), (10, 1), (1, 1)]


def test_a_problem_cannot_be_changed_and_equals_its_like():
    """Two problems are equal when all they say is equal, and can stand in a set."""
    assert problem() == problem()
    assert problem() != problem(says="Other.")
    assert len({problem(), problem()}) == 1
    with pytest.raises(AttributeError):
        problem().says = "x"


def test_the_caret_stands_under_the_column():
    """Line number, line, and a caret below the seventh character."""
    assert frame(problem(2, 7), "first: x\nsecond: y") == "    2 | second: y\n      |       ^"


def test_the_caret_allows_for_wide_and_hidden_characters():
    """A wide character before the column moves the caret by two, an escape by the four it is shown as."""
    assert frame(problem(1, 3), "油\x1bx").splitlines()[1].index("^") == 8 + 2 + 4


def test_the_frame_cannot_act_on_a_terminal():
    """An escape sequence in the line is shown, not sent."""
    assert "\x1b" not in frame(problem(), "\x1b[31mred")


def test_the_column_stays_in_sight_on_a_long_line():
    """Of a line of thousand characters the part around the column is shown."""
    shown = frame(problem(1, 700), "a" * 699 + "B" + "c" * 300)
    line, caret = shown.splitlines()
    assert line[caret.index("^")] == "B"
    assert len(line) < 140


@given(st.text(), st.integers(0, 50), st.integers(0, 300))
def test_any_place_can_be_framed(text, line, column):
    """A place outside the text gives an empty line, never an error."""
    assert frame(problem(line, column), text).count("\n") == 1


def test_an_error_reads_where_what_and_mend():
    """The text of our own errors is one harmless line."""
    error = DiagnoseError("There is no\x1b such site.", where="plant", mend="Check the path.")
    assert str(error) == r"plant: There is no\x1b such site. Check the path."

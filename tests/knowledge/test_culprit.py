"""The line that has to be mended lies above the one where reading stopped."""

import pytest

from diagnose.knowledge.culprit import NO_COLON, OPEN_QUOTE, OUT_OF_LINE
from diagnose.knowledge.nodes import read

BRACE = "A brace"
HEAD = "causes:\n  leak:\n    title: Leak\n"
SLIPS = [
    (HEAD + "    if-left It grows.\n    source: x\n", 4, NO_COLON),
    (HEAD + "  hole\n    title: Hole\n", 4, NO_COLON),
    ("rules:\n  - rule a\n    source: x\n", 2, NO_COLON),
    (HEAD + '    if-left: "It grows.\n    source: x\n    how: "So."\n', 4, OPEN_QUOTE),
    (HEAD + "    put-right: [{who: operator, do: 'Look.}]\n    source: 'x'\n", 4, OPEN_QUOTE),
    (HEAD + "    requires: {oil: milky\n    source: x\n", 4, BRACE),
    ("causes:\n  leak:\n     title: Leak\n    source: x\n", 3, OUT_OF_LINE),
    (HEAD + "  severity: minor\n    source: x\n", 4, OUT_OF_LINE),
    ("causes:\n  drip:\n    title: Drip\nleak:\n    title: Leak\n  hole:\n    title: Hole\n", 4, OUT_OF_LINE),
]


@pytest.mark.parametrize(("text", "line", "mend"), SLIPS)
def test_the_slip_itself_is_named(text, line, mend, pure):
    """One problem, on the line of the slip, with its mend, whichever parser reads."""
    problems = []
    assert read(text, "f", problems, pure=pure) is None
    (problem,) = problems
    assert (problem.place.line, problem.mend[: len(mend)]) == (line, mend)


def test_a_quoted_text_on_several_lines_is_no_open_quote(pure):
    """The fault after it is named, not the text."""
    problems = []
    read('a: "one\n  two"\nb: c: d\n', "f", problems, pure=pure)
    assert problems[0].place.line == 3


def test_an_item_that_stands_too_far_in_is_told(pure):
    """YAML would take it for more of the text above; the other items are read."""
    problems = []
    read("a:\n  - one\n      - two\n  - three\n", "f", problems, pure=pure)
    assert [(one.code, one.place.line, one.place.column) for one in problems] == [("item-too-far-in", 3, 7)]

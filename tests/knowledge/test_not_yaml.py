"""Mends for text that is not YAML."""

import pytest

from diagnose.knowledge.nodes import read
from diagnose.knowledge.not_yaml import EXAMPLES, GENERAL

SNIPPETS = [(snippet, mend) for mend, snippets in EXAMPLES.items() for snippet in snippets]
SEEN_IN_FILES = [
    ("causes:\n  leak:\n    title: Leak\n    if-left: It gets worse: much worse\n", 4, "A colon and a blank"),
    ("findings:\n  oil:\n    ask: 'What's the oil like?'\n", 3, "An apostrophe"),
    (
        "rules:\n  - rule: a\n    source: common practice\n   phases: [loaded]\n",
        4,
        "This line stands further in or out",
    ),
    ("rules:\n  - rule: a\n    phases: [loaded, run-up\n    source: x\n", 3, "A bracket"),
    ('a:\n  do: "Open it\n  who: operator\n', 2, "A quote is opened"),
]


@pytest.mark.parametrize(("snippet", "mend"), SNIPPETS)
def test_each_example_leads_to_its_mend(snippet, mend, pure):
    """The snippet fails, in one problem, with the mend it stands under."""
    problems = []
    assert read(snippet, "f", problems, pure=pure) is None
    assert [(p.code, p.mend) for p in problems] == [("not-yaml", mend)]


@pytest.mark.parametrize(("text", "line", "mend"), SEEN_IN_FILES)
def test_like_faults_in_whole_files_find_the_same_mends(text, line, mend, pure):
    """Faults as planners make them get the right mend, on the line that has to be mended."""
    problems = []
    read(text, "f", problems, pure=pure)
    assert problems[0].place.line == line
    assert problems[0].mend.startswith(mend)


def test_the_words_of_the_library_are_never_shown(pure):
    """Neither parser's own message reaches the planner."""
    problems = []
    read("a: b: c", "f", problems, pure=pure)
    assert "mapping values" not in problems[0].line()


def test_an_unknown_failure_gets_the_general_mend():
    """A failure like none of the examples sends the planner to the line and the one above."""
    from diagnose.knowledge.nodes import Failure
    from diagnose.knowledge.not_yaml import mend_for

    assert mend_for(Failure(("Other", "", ""), 1, "", "x", 0), pure=False) == GENERAL

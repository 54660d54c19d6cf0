"""Whatever stands in a rules file, checking, mending and describing it end in words, never in a crash."""

from hypothesis import given, settings
from hypothesis import strategies as st

from diagnose.knowledge.library import load_texts
from diagnose.planning.ambiguity import ambiguities
from diagnose.planning.describe import described
from diagnose.planning.fixes import fixed
from diagnose.planning.lint import level, lint
from diagnose.planning.mutation import mutants
from diagnose.planning.rule_base import RuleBase
from diagnose.planning.told import as_json, as_sarif, as_text
from tests.planning.page_base import RULES, laid

LINES = RULES.strip("\n").split("\n")
MARKS = st.sampled_from(
    [":", "'", '"', "{", "}", "[", "]", "#", "\t", "-", "  ", "&a ", "*a", "!", "\u200b", "é", "\x00", "?"]
)


@st.composite
def spoilt(draw):
    """Give the rules of the pages with a few lines lost, doubled, moved, shifted, or with a mark put in."""
    lines = list(LINES)
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(lines) - 1))
        match draw(st.integers(0, 4)):
            case 0:
                del lines[at]
            case 1:
                lines.insert(draw(st.integers(0, len(lines))), lines[at])
            case 2:
                lines[at] = " " * draw(st.integers(1, 5)) + lines[at]
            case 3:
                column = draw(st.integers(0, len(lines[at])))
                lines[at] = lines[at][:column] + draw(MARKS) + lines[at][column:]
            case 4:
                lines[at] = draw(st.sampled_from(LINES))
        lines = lines or [""]
    return "\n".join(lines)


@settings(deadline=None, max_examples=150)
@given(spoilt())
def test_spoilt_rules_are_told_and_never_crash(text):
    """Every problem has a page and a level and can be told in all three forms; the knowledge left can be examined."""
    texts = {"rules/base.yaml": text}
    knowledge, problems = load_texts(texts)
    base = RuleBase(knowledge)
    found = [*problems, *lint(base)]
    assert all(level(one) in ("error", "warning", "note") for one in found)
    assert len(as_json(found, 0)["problems"]) == len(as_sarif(found, "0")["runs"][0]["results"]) == len(found)
    assert len(list(as_text(found, texts))) == 2 * len(found)
    for name in [*knowledge.findings, *knowledge.causes, *knowledge.rules]:
        assert described(base, name)
    if not problems:
        assert all(0 <= one.overlap <= 1.000001 for one in ambiguities(knowledge))
        assert all(one.changed.id == one.rule for one in mutants(knowledge))


@settings(deadline=None, max_examples=150)
@given(spoilt())
def test_mending_ends_and_touches_only_lines_with_a_problem(text):
    """Each change is on a line that had the problem; the number of other lines stays as it was."""
    texts = {"rules/base.yaml": text}
    problems = load_texts(texts)[1]
    new, changes = fixed(problems, texts)
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    after = new.get("rules/base.yaml", text).split("\n")
    assert all(lines[one.problem.place.line - 1] == one.before for one in changes)
    grown = sum(len(one.after) - 1 for one in changes)
    assert len(after) == len(lines) + grown if changes else after == text.split("\n")


@settings(deadline=None, max_examples=100)
@given(st.text(max_size=200))
def test_any_overlay_is_read_without_a_crash(text):
    """Random text as a site's rules: problems or none."""
    base, problems = laid(text)
    assert isinstance(lint(base), tuple)
    assert all(one.place.line >= 1 for one in problems)

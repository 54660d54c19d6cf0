"""Faults in single values, each with its place, code and mend."""

import pytest

from .samples import CAUSE, FINDING, told

FAULTS = [
    # keys
    (f"causes: {{a: {{{CAUSE}, sevrity: minor}}}}", "1:112 unknown-key 'sevrity' is not a key of a cause. Did you mean 'severity'?"),
    ("cautions: {a: {rank: watch, say: S, do: D}}", "1:12 missing-key 'source' is missing: a caution needs it."),
    ("cautions:\n  a: [b]", "2:6 wrong-shape Here stand the keys of a caution, not a list."),
    (f"causes: {{a: {{{CAUSE}, settled-by: {{x: y}}}}}}", "1:124 wrong-shape Here stands text, not keys with values."),
    ("cautions: {a: {rank: watch, say: , do: D, source: from memory}}", "1:29 empty Nothing is written here; text is wanted."),
    (
        "cautions:\n  a: {rank: watch, say: S, do: Stop, then call, source: from memory}",
        "2:38 unknown-key 'then call' is not a key of a caution. In braces a comma ends the text: put the text in quotes.",
    ),
    # words
    ("cautions: {a: {rank: stop, say: S, do: D, source: from memory}}", "1:22 unknown-word 'stop' is not one of the words for this."),
    ("cautions: {a: {rank: stop-no, say: S, do: D, source: from memory}}", "Did you mean 'stop-now'?"),
    (f"findings: {{a: {{{FINDING}, values: {{x: normal, y: abnormal}}, can-tell: ususally}}}}", "Did you mean 'usually'?"),
    # sentences
    (
        "cautions:\n  a:\n    rank: watch\n    say: Look at gauge #3\n    do: D\n    source: from memory",
        "4:10 text-cut-at-hash A '#' cuts this text off. Put the whole text in quotes.",
    ),
    ("findings: {a: {ask: What is it, how: H, values: {x: normal, y: abnormal}, source: from memory}}", "wrong-ending This must end in '?'. Write 'What is it?'."),
    # numbers
    (f"findings: {{a: {{{FINDING}, reading: {{unit: C, plausible: [low, 9]}}}}}}", "1:94 not-a-number 'low' is not a number."),
    (f"findings: {{a: {{{FINDING}, effort: 3, values: {{x: normal, y: abnormal}}}}}}", "1:71 wrong-quantity 3 has no unit. Write '3 min'."),
    (f"findings: {{a: {{{FINDING}, effort: 3 bar, values: {{x: normal, y: abnormal}}}}}}", "'bar' is a unit of pressure difference, but time is wanted."),
    (f"findings: {{a: {{{FINDING}, effort: 0 min, values: {{x: normal, y: abnormal}}}}}}", "impossible-value '0 min' must be more than zero."),
    ("scales: {not-listed: 1}", "1:22 impossible-value 1 is not possible here. Give a number between 0 and 1."),
    ("scales: {frequency: {usually: often}}", "not-a-number 'often' is not a number."),
    # lists
    (f"causes: {{a: {{{CAUSE}, phases: []}}}}", "too-few At least 1 must stand here."),
    (f"causes: {{a: {{{CAUSE}, phases: [loaded, loaded]}}}}", "stands-twice 'loaded' stands here twice. Delete one."),
    (f"causes: {{a: {{{CAUSE}, phases: [running]}}}}", "unknown-word 'running' is not one of the words for this. Use one of: loaded,"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "says"), FAULTS)
def test_a_faulty_value_is_told_once_with_place_and_mend(text, says, pure):
    """Exactly one problem, in the added file, that says this."""
    lines = told(text, pure=pure)
    assert len(lines) == 1, lines
    assert lines[0].startswith("rules/x0.yaml:")
    assert says in lines[0]


def test_remarks_after_short_words_are_no_fault(pure):
    """A # after a word, a list or a number with its unit starts a remark."""
    text = f"""
findings:
  a:
    ask: "What?"
    how: Look.
    values: {{x: normal, y: abnormal}}   # two
    phases: [loaded]    # only then
    effort: 2 min # quick
    hazard: hot oil # mind it
    who: operator # anyone
    source: common practice # of course
    also-called: [thing] # {FINDING[:4]}
"""
    assert told(text, pure=pure) == []


def test_all_faults_of_one_entry_are_told_in_order(pure):
    """Five faults in one entry give five problems, from top to bottom."""
    text = "cautions:\n  a:\n    rank: never\n    say:\n    done-by: D\n    source: nowhere-1\n"
    codes = [line.split()[1] for line in told(text, pure=pure)]
    assert codes == ["missing-key", "unknown-word", "empty", "unknown-key", "unknown-source"]

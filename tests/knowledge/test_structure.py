"""Sections and ids of a rules file."""

import pytest

from .samples import CAUSE, FINDING, loaded, told

FAULTS = [
    ("cuases: {}", "1:1 unknown-section 'cuases' is not a section of a rules file. Did you mean 'causes'?"),
    ("[a, b]", "1:1 wrong-shape A rules file holds sections"),
    (
        f"causes: {{Big Leak: {{{CAUSE}}}}}",
        "1:10 bad-id 'Big Leak' cannot be an id. Use lower-case letters, digits and single hyphens.",
    ),
    (
        f"findings: {{phase: {{{FINDING}, values: {{x: normal, y: abnormal}}}}}}",
        "1:12 reserved-name 'phase' means something else in conditions.",
    ),
    ("rules: {a: b}", "1:8 wrong-shape 'rules' holds a list. Begin each with '- rule: some-id'."),
    ("rules:\n  - when: []", "2:5 rule-without-id This rule has no id."),
    ("rules: [just words]", "1:9 rule-without-id"),
    ("causes: [a]", "1:9 wrong-shape 'causes' holds ids, each with its keys."),
    ("conditions: {c: text}", "1:17 wrong-shape Here stand the keys of 'c'."),
    ("switch-off: [{a: b}]", "1:14 wrong-shape Here stands a list of ids."),
]


@pytest.mark.parametrize(("text", "says"), FAULTS)
def test_a_faulty_section_is_told_once(text, says, pure):
    """One problem with its place."""
    lines = told(text, pure=pure)
    assert len(lines) == 1, lines
    assert says in lines[0]


def test_the_subsystem_is_the_entrys_own_or_the_files_or_its_name():
    """An entry's subsystem wins over its file's, that over the file's name."""
    named = f"subsystem: bearings\ncauses:\n  a: {{{CAUSE}}}\n  b: {{{CAUSE}, subsystem: steam end}}\n"
    knowledge, problems = loaded(named, f"causes: {{c: {{{CAUSE}}}}}")
    assert not problems
    assert [knowledge.causes[name].subsystem for name in "abc"] == ["bearings", "steam end", "x1"]


def test_sections_left_empty_hold_nothing(pure):
    """A planner may leave a heading to be filled later."""
    assert told("causes:\nrules:\nfindings:   # to come\n", pure=pure) == []

"""Causes, cautions and features."""

import pytest

from .samples import CAUSE, loaded, told

FAULTS = [
    (f"causes: {{a: {{{CAUSE.replace('title: T, ', '')}}}}}", "missing-key 'title' is missing: a cause needs it."),
    (f"causes: {{a: {{{CAUSE.replace('rare', 'rarely')}}}}}", "unknown-word 'rarely' is not one of the words for this. Did you mean 'rare'?"),
    (f"causes: {{a: {{{CAUSE.replace('[{who: operator, do: D}]', '[]')}}}}}", "too-few At least 1 must stand here."),
    (f"causes: {{a: {{{CAUSE.replace('who: operator', 'who: fitter')}}}}}", "unknown-word 'fitter'"),
    (f"causes: {{a: {{{CAUSE.replace('who: operator, ', '')}}}}}", "missing-key 'who' is missing: an action needs it."),
    (f"causes: {{a: {{{CAUSE}, severity: bad}}}}", "Use one of: dangerous, minor, serious."),
    (f"causes: {{a: {{{CAUSE}, excludes: [x]}}}}", "wrong-shape Here stands 'finding: value'."),
    (f"causes: {{a: {{{CAUSE}, leads-to: {{a: sometimes}}}}}}", "leads-to-itself 'a' cannot lead to itself."),
    (f"causes: {{a: {{{CAUSE}, leads-to: {{b: sometimes}}}}}}", "unknown-cause There is no cause 'b'."),
    (f"causes: {{a: {{{CAUSE}}}, c: {{{CAUSE}, leads-to: {{a: mostly}}}}}}", "unknown-word 'mostly'"),
    ("features: {a: {name: N}}", "unknown-key 'name' is not a key of a feature."),
]  # fmt: skip


@pytest.mark.parametrize(("text", "says"), FAULTS)
def test_a_faulty_entry_is_told(text, says, pure):
    """A problem with its place says this."""
    lines = told(text, pure=pure)
    assert any(says in line for line in lines), lines


def test_a_cause_is_read_in_full():
    """Words stay words; hard logic is kept as sets."""
    cause = loaded()[0].causes["sentinel-maladjusted"]
    assert (cause.how_common, cause.severity, cause.settled_by) == ("seldom", "serious", "Bench test")
    assert cause.excludes == {"exhaust-level": {"high", "low"}}
    assert [(action.who, action.do) for action in cause.put_right] == [("maintenance", "Adjust it.")]


def test_what_a_cause_leads_to_is_read_with_its_source():
    """The cause's own source holds where the link names none."""
    rows = f"causes: {{a: {{{CAUSE}}}, c: {{{CAUSE}, leads-to: {{a: {{seen: sometimes, source: from memory}}}}}}}}"
    (link,) = loaded(rows)[0].causes["c"].leads_to
    assert (link.cause, link.word, link.source) == ("a", "sometimes", "from memory")


def test_a_caution_is_read_in_full():
    """Rank, words and the procedure to open."""
    caution = loaded()[0].cautions["casing-pressure-high"]
    assert (caution.rank, caution.procedure) == ("call-supervisor", "exhaust pressure high")
    assert caution.say.startswith("Pressure in the exhaust casing")

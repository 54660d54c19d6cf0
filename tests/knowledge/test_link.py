"""Names that meet no definition."""

import pytest

from .samples import CAUSE, loaded, told

RULE = "rules: [{{rule: r, source: from memory, {}}}]"
FAULTS = [
    (RULE.format("symptom: {sentinell: sounding}, actions: [{who: operator, do: D}]"), "1:50 unknown-finding There is no finding or condition 'sentinell'. Did you mean 'sentinel'?"),
    (RULE.format("symptom: {sentinel: sounding-off}, actions: [{who: operator, do: D}]"), "1:60 unknown-value 'sentinel' has no value 'sounding-off'. Did you mean 'sounding'?"),
    (RULE.format("symptom: {exhaust-pressure: high}, actions: [{who: operator, do: D}]"), "1:68 value-of-a-reading 'exhaust-pressure' is a number and has no value 'high'. Name the condition 'exhaust-level'."),
    (RULE.format("symptom: {bearing-temperature: high}, actions: [{who: operator, do: D}]"), "Write a condition judged from it."),
    (RULE.format("symptom: {bearing-oil-look: dark}, causes: {cooling-jacket-leek: usually}"), "unknown-cause There is no cause 'cooling-jacket-leek'. Did you mean 'cooling-jacket-leak'?"),
    (RULE.format("when: [{sentinel: sounding}], caution: casing-presure-high"), "unknown-caution There is no caution 'casing-presure-high'. Did you mean 'casing-pressure-high'?"),
    (RULE.format("when: [{sentinel: sounding}], needs: [sentinel-valves], caution: casing-pressure-high"), "unknown-feature There is no feature 'sentinel-valves'."),
    (f"causes: {{a: {{{CAUSE}, requires: {{bearing-oil-look: milk}}}}}}", "Did you mean 'milky'?"),
    (f"causes: {{a: {{{CAUSE}, needs: [ring-oil-bearings]}}}}", "Did you mean 'ring-oiled-bearings'?"),
    ("cautions: {a: {rank: watch, say: S, do: D, source: notice-2001-20}}", "1:52 unknown-source There is no source 'notice-2001-20'. Did you mean 'notice-2001-19'?"),
    ("cautions: {a: {rank: watch, say: S, do: D, source: common-practice}}", "Did you mean 'common practice'?"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "says"), FAULTS)
def test_an_unknown_name_is_told_with_the_nearest(text, says, pure):
    """One problem at the name itself."""
    lines = told(text, pure=pure)
    assert len(lines) == 1, lines
    assert says in lines[0]


def test_documents_named_in_full_need_no_registering(pure):
    """A registered name with its clause, and any text of words, are sources."""
    text = "cautions: {a: {rank: watch, say: S, do: D, source: 'DOE-HDBK-1016, section 3'}, b: {rank: watch, say: S, do: D, source: 'notice-2001-19, page 2'}}"
    assert told(text, pure=pure) == []


def test_a_file_that_cannot_be_read_does_not_make_its_names_unknown(pure):
    """Where a whole file is missing, only its own fault is told."""
    lines = told(
        "causes: [",
        "rules: [{rule: r, symptom: {bearing-oil-look: dark}, causes: {lost: usually}, source: from memory}]",
        pure=pure,
    )
    assert [line.split()[1] for line in lines] == ["not-yaml"]


def test_what_follows_from_the_kind_driven_is_a_feature():
    """Rules may need drives-pump without anybody defining it."""
    knowledge, problems = loaded(f"causes: {{a: {{{CAUSE}, needs: [drives-pump]}}}}")
    assert not problems
    assert knowledge.causes["a"].needs == {"drives-pump"}
    assert "drives-pump" in knowledge.site.machines["BFP-2"].features

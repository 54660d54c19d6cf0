"""Cases for regression and quizzes."""

import pytest

from diagnose.knowledge.build import cases_from

from .samples import MACHINE, loaded

CASE = """
case: milky-oil
title: Oil turned white overnight
machine: BFP-2
phase: loaded
reported: {bearing-oil-look: milky}
answers:
  sentinel: not sure quiet
  exhaust-pressure: 38 psig
  exhaust-level: high
  bearing-temperature: can't tell
others: {BFP-2: {sentinel: sounding}}
unlisted: unknown
true-causes: [cooling-jacket-leak]
accept: [[header-pressure-high], [header-pressure-high, sentinel-maladjusted]]
must-caution: [casing-pressure-high]
expect: {rank: 2, within-questions: 6}
teaches: Why white oil points at water.
source: common practice
"""


def read(text, pure=False):  # noqa: FBT002
    cases, problems = cases_from({"cases/a.yaml": text}, loaded()[0], pure=pure)
    return cases, [problem.line() for problem in problems]


def test_a_case_is_read_in_full(pure):
    """Answers stay what an operator would type."""
    (case,), lines = read(CASE, pure)
    assert lines == []
    assert (case.id, case.machine, case.profile, case.phase, case.unlisted) == (
        "milky-oil",
        "BFP-2",
        None,
        "loaded",
        "unknown",
    )
    assert case.answers["exhaust-pressure"] == "38 psig"
    assert case.true_causes == {"cooling-jacket-leak"}
    assert case.accept == ({"header-pressure-high"}, {"header-pressure-high", "sentinel-maladjusted"})
    assert case.must_caution == {"casing-pressure-high"}
    assert (case.expect.rank, case.expect.within_questions) == (2, 6)
    assert case.others == {"BFP-2": {"sentinel": "sounding"}}


def test_a_case_may_bring_its_own_machine(pure):
    """A profile written out stands in for a machine of the site; its limits are read as the rules need them."""
    profile = "machine: {" + ", ".join(MACHINE.strip().splitlines()) + "}"
    (case,), lines = read(CASE.replace("machine: BFP-2", profile), pure)
    assert lines == []
    assert case.machine == "BFP-2"
    assert case.profile.values["exhaust-pressure-max"].unit == "bar gauge"


def test_nothing_known_may_be_the_cause(pure):
    """An empty list of true causes is something that the rules do not cover."""
    (case,), lines = read(CASE.replace("true-causes: [cooling-jacket-leak]", "true-causes: []"), pure)
    assert lines == []
    assert case.true_causes == frozenset()


def test_a_file_may_hold_several_cases(pure):
    """A list of cases; one id may stand only once."""
    both = "".join(
        "- " + text.strip().replace("\n", "\n  ") + "\n" for text in (CASE, CASE.replace("milky-oil", "second"), CASE)
    )
    cases, lines = read(both, pure)
    assert [case.id for case in cases] == ["milky-oil", "second"]
    assert len(lines) == 1
    assert "duplicate-id The case 'milky-oil' is defined twice" in lines[0]


FAULTS = [
    ("machine: BFP-2", "machine: BFP-3", "4:10 unknown-machine There is no machine 'BFP-3'. Did you mean 'BFP-2'?"),
    ("reported: {bearing-oil-look: milky}", "reported: {bearing-oil-look: milk}", "6:30 unknown-value 'bearing-oil-look' has no value 'milk'. Did you mean 'milky'?"),
    ("not sure quiet", "not sure silent", "unknown-value 'sentinel' has no value 'silent'."),
    ("38 psig", "38 C", "'C' is a unit of temperature, but pressure is wanted."),
    ("38 psig", "38 bar", "38 bar is more than this reading can be (30 bar gauge at most). Did you mean psi?"),
    ("38 psig", "very high", "'very high' is not a number."),
    ("[cooling-jacket-leak]", "[cooling-jacket]", "unknown-cause There is no cause 'cooling-jacket'. Did you mean 'cooling-jacket-leak'?"),
    ("accept: [[header-pressure-high], ", "accept: [[header], ", "unknown-cause There is no cause 'header'."),
    ("must-caution: [casing-pressure-high]", "must-caution: [casing]", "unknown-caution There is no caution 'casing'."),
    ("must-caution: [casing-pressure-high]", "must-caution: [casing-pressure-high]\nmust-not-caution: [casing-pressure-high]", "contrary 'casing-pressure-high' must be raised and must not be."),
    ("unlisted: unknown", "unlisted: none", "unknown-word 'none'"),
    ("expect: {rank: 2", "expect: {rank: 0", "impossible-value 0 is not possible here. Give a number from 1 to 50."),
    ("phase: loaded", "phase: running", "unknown-word 'running'"),
    ("teaches: Why", "teeches: Why", "unknown-key 'teeches' is not a key of a case. Did you mean 'teaches'?"),
    ("source: common practice", "", "missing-key 'source' is missing: a case needs it."),
    ("others: {BFP-2:", "others: {BFP-1:", "unknown-machine There is no machine 'BFP-1'."),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "says"), FAULTS)
def test_a_faulty_case_is_told_once(old, new, says, pure):
    """One problem with its place says this."""
    assert old in CASE
    _, lines = read(CASE.replace(old, new), pure)
    assert len(lines) == 1, lines
    assert says in lines[0]

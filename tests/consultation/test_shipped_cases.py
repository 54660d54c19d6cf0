"""The team's own shipped cases: that they cover the rules, and that each comes out as it says."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import pytest

from diagnose.consultation import events
from diagnose.consultation.replay import Outcome, replay
from diagnose.consultation.session import Session
from diagnose.knowledge import library

if TYPE_CHECKING:
    from pathlib import Path

    from diagnose.knowledge.model import Case, Knowledge

# What differs between the two cases of a pair: the attributes of a case, and a caution that only the second raises
# ("" when it is the first cause that differs).
PAIRS = (
    ("pair-01-jackets-fitted", "pair-01-no-jackets", {"machine"}, ""),
    ("pair-02-warming", "pair-02-loaded", {"phase"}, ""),
    ("pair-03-class-a", "pair-03-class-c", {"profile"}, "hunting"),
    ("pair-04-neighbour-normal", "pair-04-neighbour-high", {"others"}, "shared-problem"),
    ("pair-05-neighbour-well", "pair-05-neighbour-low", {"others"}, "shared-problem"),
    ("pair-06-pre-start", "pair-06-loaded", {"phase"}, "oil-lost"),
    ("pair-07-loaded", "pair-07-pre-start", {"phase"}, "exhaust-not-open"),
    ("pair-08-feed-pump", "pair-08-fire-pump", {"machine"}, "overspeed"),
    ("pair-09-ball-bearings", "pair-09-sleeves", {"machine"}, "bearing-burning"),
    ("pair-10-standing", "pair-10-running", {"phase"}, ""),
)
MAY_DIFFER = ("machine", "profile", "phase", "others")


@cache
def knowledge() -> Knowledge:
    """Return the shipped rules with the demo site."""
    loaded = library.load(site=library.demo_site())
    assert loaded.knowledge is not None
    return loaded.knowledge


def read(paths: list[Path]) -> dict[str, Case]:
    """Return the cases in these files, by id."""
    cases, problems = library.load_cases(paths, knowledge())
    assert not problems, [one.line() for one in problems]
    return {case.id: case for case in cases}


def own_files() -> list[Path]:
    """Return the files of the team's own cases; what lies in folders beside them is others' work."""
    return sorted(library.shipped_cases().glob("*.yaml"))


@cache
def own() -> dict[str, Case]:
    """Return the team's own cases by id."""
    return read(own_files())


@cache
def outcome(case: str) -> Outcome:
    """Return what one of them comes to; each is replayed once in a test run."""
    return replay(own()[case], knowledge())


def stop_cautions() -> set[str]:
    return {name for name, caution in knowledge().cautions.items() if caution.rank == "stop-now"}


def shown_by() -> dict[tuple[str, str], set[str]]:
    """Return (finding, value) -> the causes that the rules link to it."""
    found: dict[tuple[str, str], set[str]] = {}
    for rule in knowledge().rules.values():
        if rule.symptom:
            found.setdefault(rule.symptom, set()).update(link.cause for link in rule.links)
    return found


def misleads(case: Case) -> bool:
    """Tell whether an answer is missing or doubtful, or points only to causes that are not the true ones."""
    told = {**case.reported, **case.answers}
    if any("can't tell" in text or "not sure" in text for text in told.values()):
        return True
    linked = shown_by()
    pointing = (linked.get((finding, text), set()) for finding, text in told.items())
    return bool(case.true_causes) and any(causes and not causes & case.true_causes for causes in pointing)


def test_every_cause_is_the_truth_of_a_shipped_case():
    """No cause in the rules is without a case of the team's own that it is the truth of."""
    shown = {cause for case in own().values() for cause in case.true_causes}
    assert not set(knowledge().causes) - shown


def test_every_rule_file_with_causes_has_at_least_four_cases_of_its_own():
    """Each rule file that holds causes has a case file of its name, and no case file holds fewer than four cases."""
    counts = {path.stem: len(read([path])) for path in own_files()}
    with_causes = {cause.place.file.rpartition("/")[2].removesuffix(".yaml") for cause in knowledge().causes.values()}
    assert with_causes <= counts.keys()
    assert {name: count for name, count in counts.items() if count < 4} == {}


@pytest.mark.parametrize(
    ("kind", "at_least"),
    [
        ("two faults", 12),
        ("stop-now due", 15),
        ("misleading or missing", 12),
        ("several machines", 8),
        ("not covered", 10),
        ("no stop-now due", 10),
    ],
)
def test_there_are_enough_cases_of_each_kind(kind: str, at_least: int):
    """The kinds of case that prove a diagnosis hard are each well represented."""
    stops = stop_cautions()
    belongs = {
        "two faults": lambda case: len(case.true_causes) > 1,
        "stop-now due": lambda case: bool(case.must_caution & stops),
        "misleading or missing": misleads,
        "several machines": lambda case: bool(case.others),
        "not covered": lambda case: not case.true_causes,
        "no stop-now due": lambda case: bool(case.must_not_caution & stops) and not case.must_caution & stops,
    }
    assert sum(1 for case in own().values() if belongs[kind](case)) >= at_least


def test_every_phase_has_cases():
    """Each phase is the phase of at least four cases."""
    phases = [case.phase for case in own().values()]
    rare = {
        phase
        for phase in ("standby", "pre-start", "warm-up", "run-up", "loaded", "shutdown")
        if phases.count(phase) < 4
    }
    assert not rare


def test_every_case_teaches_something():
    """A case without a lesson cannot be used in a class."""
    assert [case.id for case in own().values() if not case.teaches.strip()] == []


def test_every_own_case_comes_out_as_it_says():
    """Ranks, cautions due and cautions not due are as each case expects."""
    failed = {case: outcome(case).complaints for case in own() if not outcome(case).passed}
    assert failed == {}


def test_no_caution_is_missed():
    """Every caution that a case calls for is raised."""
    missed = {name: case.must_caution - set(outcome(name).cautions) for name, case in own().items()}
    assert {name: cautions for name, cautions in missed.items() if cautions} == {}


def test_what_is_not_covered_is_said_to_be_so_first():
    """In a case that no rule explains, the row for something not covered stands first."""
    first = {name: outcome(name).ranking[0][0] for name, case in own().items() if not case.true_causes}
    assert set(first.values()) == {""}, first


@pytest.mark.parametrize(("one", "other", "differing", "caution"), PAIRS)
def test_context_changes_the_answer(one: str, other: str, differing: set[str], caution: str):
    """Two cases alike in all that is said, and different in one thing of their context, end differently."""
    cases = own()[one], own()[other]
    assert cases[0].reported == cases[1].reported
    assert cases[0].answers == cases[1].answers
    unlike = {name for name in MAY_DIFFER if getattr(cases[0], name) != getattr(cases[1], name)}
    assert unlike == differing
    if caution:
        assert caution not in outcome(one).cautions
        assert caution in outcome(other).cautions
    else:
        assert outcome(one).ranking[0][0] != outcome(other).ranking[0][0]


def consulted(machine: str, said: dict[str, str]) -> Session:
    """Begin a consultation on the demo site with what is said unasked."""
    session = Session(knowledge(), knowledge().site.machines[machine], "loaded")
    for finding, text in said.items():
        session.do(events.Report(finding, session.understand(finding, text)))
    return session


def test_what_a_caution_sends_the_operator_to_look_at_is_asked_at_once():
    """Steam plays on a bearing housing: the oil is looked at before anything else, and only once."""
    session = consulted("BFP-2", {"gland-steam-on-bearing": "plays-on-housing"})
    assert session.view().question.finding == "bearing-oil-look"
    session.do(events.CannotTell("bearing-oil-look"))
    assert session.view().question.finding != "bearing-oil-look"


def test_the_end_waits_for_a_caution_that_is_likely():
    """A dry linkage is found; that the speed hunts is likelier than not, and is asked before the end."""
    session = consulted("FDF-1", {"governor-response": "slow-to-recover"})
    given = {"speed": "normal", "governor-linkage-look": "dry-or-painted", "governor-valve-motion": "jerky"}
    asked = []
    while session.view().question and len(asked) < 6:
        asked.append(session.view().question.finding)
        words = given.get(asked[-1])
        session.do(
            events.Report(asked[-1], session.understand(asked[-1], words)) if words else events.CannotTell(asked[-1])
        )
    assert "speed-behaviour" in asked
    assert session.view().ranking[0].probability >= 0.9


def test_what_may_have_led_to_a_cause_stands_beside_it():
    """A ball bearing that growls beside a blowing gland: the gland steam is named with it."""
    session = consulted("CP-4", {"bearing-noise": "squeal-growl-or-rumble", "gland-leak": "blowing-one-end"})
    bearing = next(row for row in session.view().ranking if row.cause == "rolling-bearing-failing")
    assert session.knowledge.causes["gland-steam-in-oil"].title in bearing.led_by

"""The checks of a start: done, failed, not seen, in order; ready or not, why, and who decides."""

from __future__ import annotations

import json

import pytest

from diagnose.consultation.events import Answer
from diagnose.consultation.prestart import Begun, Seen, Start, TakenBack, event_from, record
from diagnose.knowledge import library
from diagnose.knowledge.checks import STAGES
from diagnose.values.problem import DiagnoseError

LOADED = {}
NUMBERS = {
    "soak-speed-in-band": "540 rpm",
    "speed-in-governed-range": "3560 rpm",
    "exhaust-pressure-right": "2.0 bar gauge",
}


def knowledge():
    """Return the shipped rules with the demo site, loaded once."""
    if not LOADED:
        LOADED["demo"] = library.load(site=library.demo_site()).knowledge
    return LOADED["demo"]


def begun(machine="BFP-2", **more):
    return Start(knowledge(), knowledge().site.machines[machine], **more)


def good(start, check):
    """Return the answer that passes a check."""
    asked = knowledge().findings[start.checks[check].ask]
    judged = knowledge().findings[asked.judged_as] if asked.reading and asked.judged_as else asked
    return start.understand(check, NUMBERS.get(check, judged.normal))


def gone_through(start, stages=STAGES, but=()):
    view = start.view()
    for check in start.checks.values():
        if check.stage in stages and check.id not in but:
            view = start.see(check.id, good(start, check.id))
    return view


def test_nothing_seen_is_not_ready():
    """A start begins before steam, with every check of that stage not seen."""
    view = begun().view()
    assert (view.ready, view.stage) == (False, "pre-start")
    assert view.failed == ()
    assert view.open == next(iter(begun().checks))


@pytest.mark.parametrize("machine", ["BFP-1", "BFP-2", "AC-1", "LOP-1"])
def test_every_machine_can_be_ready(machine):
    """With every answer the good one each kind of machine is ready, by its own checks alone."""
    start = begun(machine)
    answers = {check: good(start, check) if check not in NUMBERS else None for check in start.checks}
    rated = start.machine.values["rated-speed"].value
    numbers = {"soak-speed-in-band": 0.15 * rated, "speed-in-governed-range": rated}
    for check, answer in answers.items():
        given = Answer(value="normal") if check == "exhaust-pressure-right" else answer
        view = start.see(check, given or Answer(number=numbers.get(check)))
    assert view.ready
    assert view.cautions == ()


def test_a_stage_is_ready_before_the_next():
    """All checks before steam done: ready for steam, and the heat soak is next."""
    view = gone_through(begun(), ("pre-start",))
    assert [stage.ready for stage in view.stages] == [True, False, False, False]
    assert view.stage == "warm-up"
    assert begun(until="pre-start").checks.keys() < begun().checks.keys()


def test_one_failed_check_forbids_the_start_and_says_who_decides():
    """Milky oil with all else good: do not start, with the local procedure, and the supervisor decides."""
    start = begun()
    gone_through(start, ("pre-start",))
    view = start.see("bearing-oil-good", start.understand("bearing-oil-good", "milky"))
    assert not view.ready
    assert [row.check for row in view.failed] == ["bearing-oil-good"]
    assert view.decides == "supervisor"
    rank, _, _, procedure, _ = view.cautions[0]
    assert (rank, procedure) == ("do-not-start", "bearing oil (OP-110)")


def test_a_stiff_trip_stem_is_for_maintenance():
    """The highest of those who decide is named."""
    start = begun()
    view = start.see("trip-stem-free", Answer(value="stiff"))
    assert view.decides == "maintenance"


@pytest.mark.parametrize(("speed", "outcome"), [(300, "failed"), (356, "done"), (712, "done"), (800, "failed")])
def test_the_soak_speed_has_a_band(speed, outcome):
    """10 to 20 % of 3560 rpm passes, below and above fail."""
    start = begun()
    view = start.see("soak-speed-in-band", Answer(number=float(speed)))
    row = next(row for stage in view.stages for row in stage.checks if row.check == "soak-speed-in-band")
    assert row.outcome == outcome


@pytest.mark.parametrize("answer", [Answer(cannot_tell=True), Answer(value="clear", sure=False)])
def test_what_is_not_sure_is_not_seen(answer):
    """Neither can't tell nor not sure lets a start go on."""
    start = begun()
    view = gone_through(start, ("pre-start",), but=("bearing-oil-good",))
    view = start.see("bearing-oil-good", answer)
    assert [row.check for row in view.not_seen] == ["bearing-oil-good"]
    assert not view.stages[0].ready


def test_a_start_resumed_stands_where_it_was():
    """Events written out, read back and replayed give the same view, whoever goes on."""
    kept = []
    start = begun(keep=kept.append)
    start.see("tags-clear", Answer(value="clear", typed="clear"))
    start.see("guards-on", Answer(value="missing-or-loose", typed="missing"))
    before = start.take_back("guards-on")
    assert [type(event) for event in kept] == [Begun, Seen, Seen, TakenBack]
    again = [event_from(json.loads(json.dumps(record(event)))) for event in kept]
    assert again == kept
    assert begun(happened=again).view() == before


def test_an_event_is_kept_before_it_shows():
    """When keeping fails nothing has happened."""

    def full(event):
        if isinstance(event, Seen):
            raise DiagnoseError("The disk is full.")

    start = begun(keep=full)
    before = start.view()
    with pytest.raises(DiagnoseError, match="disk"):
        start.see("tags-clear", Answer(value="clear"))
    assert start.view() == before


def test_machines_have_only_their_own_checks():
    """A fan turbine is not asked for a pump's suction, nor a machine without forced oil for its pressure."""
    assert "pump-suction-open" not in begun("FDF-1").checks
    assert "oil-pressure-up" in begun("AC-1").checks
    assert "oil-pressure-up" not in begun("BFP-2").checks


def test_an_unknown_check_is_named_with_the_nearest():
    """A slip of the pen is answered with the right name."""
    with pytest.raises(DiagnoseError) as error:
        begun().see("tag-clear", Answer(value="clear"))
    assert "tags-clear" in error.value.mend

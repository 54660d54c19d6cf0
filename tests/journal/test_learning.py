"""Closed jobs move frequencies towards the plant's own, only on enough of them, and only what they can speak for."""

from __future__ import annotations

from math import log
from random import Random

import pytest

from diagnose.journal.closed_jobs import closed_jobs, counted
from diagnose.journal.learning import LEAST_JOBS, LEAST_OCCASIONS, proposals, warnings
from diagnose.journal.learnt_rules import FILE, overlay, own_entries
from diagnose.journal.outcomes import Outcome, record
from diagnose.knowledge import library
from tests.journal import plants
from tests.journal.kept import TEXTS, at, consult, fresh, hasty

BASE = library.load_kept(TEXTS).knowledge
ANSWERS = {"oil-level": "rising", "gland-plume": "wisp", "bearing-noise": "even", "exhaust-pressure": "2.0"}


def _jobs(folder, outcomes, answers=ANSWERS):
    journal = hasty(folder)
    for number, outcome in enumerate(outcomes):
        consult(journal, f"r{number}", {"oil-look": "milky"}, answers, knowledge=BASE, start=number * 10)
        record(journal, f"r{number}", at(500), outcome)
    return counted(closed_jobs(journal), BASE)


def _learnt(counts, only=None):
    proposed = [one for one in proposals(counts, BASE) if only is None or one in only]
    text = overlay(proposed, BASE, TEXTS["rules"], 'Pat "the planner"', at(0))
    loaded = library.load_kept({"rules": TEXTS["rules"], "site": {**TEXTS["site"], f"/rules/{FILE}": text}})
    assert not loaded.problems, loaded.problems
    return loaded.knowledge, text


def test_nothing_moves_on_too_few_jobs(tmp_path):
    """One job fewer than the stated number proposes nothing and says so; the stated number proposes something."""
    counts = _jobs(tmp_path, [Outcome(causes=("jacket-leak",))] * (LEAST_JOBS - 1))
    assert proposals(counts, BASE) == ()
    assert f"fewer than {LEAST_JOBS}" in warnings(counts)[-1]
    more = _jobs(tmp_path / "more", [Outcome(causes=("jacket-leak",))] * LEAST_JOBS)
    assert proposals(more, BASE)


def test_a_cause_met_more_often_becomes_more_common_and_one_never_met_rarer(tmp_path):
    """Thirty jacket leaks raise the leak's share and lower the share of the gland, never met though often expected."""
    counts = _jobs(tmp_path, [Outcome(causes=("jacket-leak",))] * 30)
    moved = {one.cause: one for one in proposals(counts, BASE) if not one.rule}
    leak, gland = moved["jacket-leak"], moved["gland-steam"]
    assert leak.old < leak.interval[0] < leak.new < leak.interval[1]
    assert (leak.seen, leak.count) == (30, 30)
    assert gland.new < gland.old
    assert gland.seen == 0


def test_a_frequency_moves_by_what_was_answered_when_asked(tmp_path):
    """A sign that the rules call usual and that no leak of this plant showed is learnt to be rarer, on its count."""
    level = {**ANSWERS, "oil-level": "at-mark"}
    counts = _jobs(tmp_path, [Outcome(causes=("jacket-leak",))] * 12, level)
    found = next(one for one in proposals(counts, BASE) if one.rule == "rising-level" and one.cause == "jacket-leak")
    assert (found.seen, found.count) == (0, 12)
    assert found.new == pytest.approx(found.old * 10 / 22, rel=1e-9)
    assert found.number < 0.5
    assert not [one for one in proposals(counts, BASE) if one.count < LEAST_OCCASIONS]


def test_what_was_reported_unasked_teaches_no_frequency(tmp_path):
    """The complaint that began every consultation says nothing of how often its cause shows it."""
    counts = _jobs(tmp_path, [Outcome(causes=("jacket-leak",))] * 12)
    assert ("milky-oil", "jacket-leak") not in counts.asked


@pytest.mark.parametrize(
    ("outcome", "reason"),
    [
        (Outcome(causes=("jacket-leak",), known_by="assumed"), "taken from the program's own ranking"),
        (Outcome(none_found=True), "no cause of the rules was named"),
        (Outcome(text="cracked sight glass"), "no cause of the rules was named"),
        (Outcome(causes=("long-forgotten",)), "machine or cause no longer in the rules"),
    ],
)
def test_jobs_that_cannot_speak_are_left_out_and_counted(outcome, reason, tmp_path):
    """An assumed cause, none, free text and a forgotten one move nothing, and the planner is told how many and why."""
    counts = _jobs(tmp_path, [outcome] * 12)
    assert counts.jobs == 0
    assert counts.left_out == {reason: 12}
    assert f"12 left out: {reason}." in warnings(counts)


def test_an_echo_is_warned_of(tmp_path):
    """When nearly every outcome is what the program had ranked first, the planner is warned; with others, not."""
    first = consult(fresh(tmp_path / "one"), "r", {"oil-look": "milky"}, ANSWERS, knowledge=BASE).ranking[0][0]
    other = next(name for name in ("jacket-leak", "gland-steam") if name != first)
    echoed = _jobs(tmp_path / "a", [Outcome(causes=(first,))] * 20)
    assert any("echo" in line for line in warnings(echoed))
    mixed = _jobs(tmp_path / "b", [Outcome(causes=(first,))] * 17 + [Outcome(causes=(other,))] * 3)
    assert not any("echo" in line for line in warnings(mixed))


def test_the_overlay_loads_and_moves_just_what_was_proposed(tmp_path):
    """Laid over the rules, the written file changes the proposed numbers, to four digits, and nothing else."""
    counts = _jobs(tmp_path, [Outcome(causes=("jacket-leak",))] * 30)
    proposed = proposals(counts, BASE)
    learnt, text = _learnt(counts)
    assert "Accepted by" in text
    for one in proposed:
        if one.rule:
            links = {link.cause: link for link in learnt.rules[one.rule].links}
            assert links[one.cause].probability == pytest.approx(one.number, rel=1e-3)
            assert "30 closed jobs" in links[one.cause].source or f"{one.count} closed jobs" in links[one.cause].source
        else:
            weight = learnt.scales.how_common[learnt.causes[one.cause].how_common]
            assert weight == pytest.approx(one.number, rel=1e-3)
    touched = {one.rule or one.cause for one in proposed}
    for table in ("causes", "rules", "findings", "cautions"):
        before, after = getattr(BASE, table), getattr(learnt, table)
        assert list(before) == list(after)
        for name in before:
            if name not in touched:
                assert _bare(before[name]) == _bare(after[name])
            elif table == "rules":
                assert before[name].when == after[name].when
                assert [one.do for one in before[name].actions] == [one.do for one in after[name].actions]
                assert [link.cause for link in before[name].links] == [link.cause for link in after[name].links]
                assert before[name].subsystem == after[name].subsystem


def _bare(item):
    return [value for name, value in zip(item._fields, item, strict=True) if name not in ("place", "order")]


def test_the_sites_own_entries_are_named_and_not_overwritten(tmp_path):
    """A cause that the site wrote itself is proposed with its place, and the overlay leaves it alone."""
    site = {**TEXTS["site"], "/rules/own.yaml": _own_cause()}
    base = library.load_kept({"rules": TEXTS["rules"], "site": site}).knowledge
    journal = hasty(tmp_path)
    for number in range(12):
        consult(journal, f"r{number}", {"oil-look": "milky"}, ANSWERS, knowledge=base, start=number * 10)
        record(journal, f"r{number}", at(500), Outcome(causes=("jacket-leak",)))
    proposed = proposals(counted(closed_jobs(journal), base), base)
    own = [one for one in own_entries(proposed) if one.cause == "jacket-leak" and not one.rule]
    assert len(own) == 1
    assert own[0].place.file == "site/rules/own.yaml"
    assert "  jacket-leak:" not in overlay(proposed, base, TEXTS["rules"], "Pat", at(0))


def _own_cause() -> str:
    return (
        "causes:\n  jacket-leak:\n    title: Our jackets leak\n    how-common: common\n    needs: [jacket-cooling]\n"
        "    if-left: It rusts.\n    put-right: [{who: maintenance, do: Test it.}]\n    source: common practice\n"
    )


def test_a_plant_that_differs_is_judged_better_after_two_hundred_jobs(tmp_path):
    """On fresh cases of a simulated plant, learning wins most of what knowing its true frequencies would."""
    random = Random(14)
    truth = plants.true_plant(BASE, random, spread=1.2)
    machine = BASE.site.machines["P-1"]
    journal = hasty(tmp_path)
    for number in range(200):
        plants.close_a_job(journal, f"r{number}", BASE, machine, plants.a_case(truth, machine, random))
    learnt, _ = _learnt(counted(closed_jobs(journal), BASE))
    cases = [plants.a_case(truth, machine, random) for _ in range(200)]

    def surprise(knowledge) -> float:
        sessions = [(plants.consulted(knowledge, machine, case), case[0]) for case in cases]
        return sum(-log(dict(one.ranking)[cause]) for one, drawn in sessions for cause in drawn.causes) / len(cases)

    stated, ideal = surprise(BASE), surprise(truth)
    assert ideal < stated
    assert surprise(learnt) < stated - 0.5 * (stated - ideal)

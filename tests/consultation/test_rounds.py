"""Rounds through their front door: layouts, faults line by line, changes with known truth, and facts."""

from __future__ import annotations

import math
import random
from datetime import datetime, timedelta

import pytest

from diagnose.consultation.rounds import screen
from diagnose.knowledge import library
from diagnose.values.problem import DiagnoseError

START = datetime(2026, 1, 1)  # noqa: DTZ001  sheets carry the plant's own clock
LOADED = {}


def knowledge():
    """Return the shipped rules with the demo site, loaded once."""
    if not LOADED:
        LOADED["demo"] = library.load(site=library.demo_site()).knowledge
    return LOADED["demo"]


def day(number: float) -> str:
    return (START + timedelta(days=number)).isoformat(" ", "minutes")


def sheet(values, header="time,machine,bearing temperature drive end [C]", machine="BFP-1", each=4):
    """Write a sheet: ``each`` rounds a day, with the values of a function of the day."""
    rows = [f"{day(at / each)},{machine},{values(at / each)}" for at in range(90 * each)]
    return [header, *rows]


def noisy(seed, shift=lambda _: 0.0):
    noise = random.Random(seed)
    return lambda at: f"{63 + shift(at) + noise.gauss(0, 0.6):.1f}"


def machine(lines, name="BFP-1", **more):
    found = screen(lines, knowledge(), **more)
    return next(one for one in found.machines if one.machine == name), found


def says(found):
    return [one.says for one in found.complaints]


def test_a_quiet_machine_needs_nothing():
    """Three months of scatter round one centre name no machine."""
    one, found = machine(sheet(noisy(1)))
    assert one.reasons == ()
    assert not one.needs_consultation
    assert found.complaints == ()


def test_a_drift_is_found_with_its_slope_its_date_and_its_time_to_the_limit():
    """A drift of 0.2 K a day from day 50 is dated within six days, its slope lies in the interval, the limit is 82 C."""
    one, _ = machine(sheet(noisy(2, lambda at: max(0, at - 50) * 0.2)))
    (reason,) = one.reasons
    change = one.charts[0].change
    assert (reason.kind, reason.consult, change.upward) == ("drift", True, True)
    assert change.line.low <= 0.2 <= change.line.high
    assert abs(one.charts[0].times[change.since] / 1440 - one.charts[0].times[50] / 1440) <= 6
    assert one.charts[0].limits[1] == 82
    assert change.until.soonest <= (82 - 71) / 0.2 <= change.until.latest


def test_a_step_is_a_step_and_a_passing_one_is_forgotten():
    """A lasting step down is named a step; one that went back a month ago is not named."""
    one, _ = machine(sheet(noisy(3, lambda at: -4 if at > 60 else 0)))
    assert [reason.kind for reason in one.reasons] == ["step"]
    assert not one.charts[0].change.upward
    assert machine(sheet(noisy(3, lambda at: -4 if 40 < at < 50 else 0)))[0].reasons == ()


def with_weather(seed, fault):
    """Write a sheet whose bearing follows load and weather, with a fault of some K from day 60."""
    noise = random.Random(seed)
    lines = ["time,machine,bearing temperature drive end [C],load,ambient"]
    for at in range(360):
        load = 70 + (15 if (at // 40) % 2 else 0) + noise.gauss(0, 2)
        ambient = 5 + at / 60 + noise.gauss(0, 2)
        value = 60 + 0.2 * (load - 70) + 0.5 * (ambient - 5) + (fault if at > 240 else 0) + noise.gauss(0, 0.5)
        lines.append(f"{day(at / 4)},BFP-1,{value:.1f},{load:.0f},{ambient:.0f}")
    return lines


def test_load_and_ambient_explain_what_they_explain():
    """Weather alone names nothing; a fault of 2 K, hidden in 8 K of load and weather, is found once they are known."""
    assert machine(with_weather(4, 0.0))[0].reasons == ()
    (reason,) = machine(with_weather(4, 2.0))[0].reasons
    assert reason.kind in ("step", "drift")
    hidden = [line.rsplit(",", 2)[0] for line in with_weather(4, 2.0)]
    assert machine(hidden)[0].reasons == ()


def test_a_stuck_gauge_is_told_from_a_steady_one():
    """A gauge that always moved and then stands for two weeks is named for a look; one that never moved is not."""
    noise = random.Random(5)
    stuck = machine(sheet(lambda at: "63.0" if at > 75 else f"{63 + noise.gauss(0, 0.6):.1f}"))[0]
    assert [(reason.kind, reason.consult) for reason in stuck.reasons] == [("stuck", False)]
    assert machine(sheet(lambda _: "63.0"))[0].reasons == ()


def test_faults_are_reported_line_by_line_and_the_rest_is_used():
    """Text in a number column, an impossible number, a double row, a gap, a bad time, a short row, a strange machine."""
    lines = sheet(noisy(6))
    lines[10] = lines[10].rsplit(",", 1)[0] + ",hot"
    lines[11] = lines[11].rsplit(",", 1)[0] + ",630"
    lines[12] = lines[12].rsplit(",", 1)[0] + ","
    lines[21] = lines[20]
    del lines[100:120]
    lines[40] = "yesterday,BFP-1,63"
    lines[50] = "2026-01-13 06:00"
    lines[60] = lines[60].replace("BFP-1", "BFP-9")
    one, found = machine(lines)
    told = {(complaint.line, complaint.code) for complaint in found.complaints}
    assert {(11, "text-in-number"), (12, "impossible"), (22, "twice"), (41, "no-time"), (51, "short-row")} <= told
    assert (61, "unknown-machine") in told
    assert "gap" in {code for _, code in told}
    assert not any("line 13" in text for text in says(found))
    assert one.rows == 360 - 20 - 4
    assert one.reasons == ()


def test_a_clock_set_back_is_told():
    """An hour lived twice by the clock is told with its size, and nothing is lost."""
    times = [at if at < 50 else at - 2 for at in range(100)]
    lines = ["time,machine,speed [rpm]"] + [f"{day(at / 24)},BFP-1,{3560 + at % 3}" for at in times]
    one, found = machine(lines)
    assert any("went back by 1 h" in text for text in says(found))
    assert one.rows == 100


def test_text_that_floats_like_a_number_is_no_reading():
    """'nan' and 'inf' are text in a number column, in a block that is otherwise clean."""
    for word in ("nan", "inf", "-Infinity", "NaN"):
        lines = sheet(noisy(7))
        lines[200] = lines[200].rsplit(",", 1)[0] + f",{word}"
        _, found = machine(lines)
        assert [(one.line, one.code) for one in found.complaints] == [(201, "text-in-number")], word


def test_a_wild_value_in_a_clean_block_is_found():
    """A number the instrument cannot show is reported by its line even where all else in the block is clean."""
    lines = sheet(noisy(8), each=24)
    lines[1501] = lines[1501].rsplit(",", 1)[0] + ",999.9"
    _, found = machine(lines)
    assert [(one.line, one.code) for one in found.complaints] == [(1502, "impossible")]


@pytest.mark.parametrize(
    "lines",
    [
        ["time;machine;speed (rpm);inlet pressure, psig", "2026-03-01 08:00;bfp-1;3560;246.6"],
        ["Machine\tDate and time\tspeed [rpm]\tInlet-Pressure [kPa gauge]", "BFP-1\t2026-03-01T08:00\t3560\t1700"],
        ["timestamp,BFP-1 speed (rpm),BFP-1.inlet pressure (MPa gauge)", "2026-03-01 08:00:00,3560,1.7"],
        [
            "time,machine,reading,value,uom",
            "2026-03-01 08:00,BFP-1,speed,3560,rpm",
            "2026-03-01 08:00,BFP-1,inlet pressure,246.6,psig",
        ],
        ['time,machine,"speed (rpm)",inlet pressure (bar gauge)', '2026-03-01 08:00,"BFP-1",3560,"17.0"'],
    ],
)
def test_layouts_of_many_kinds_give_the_same_facts(lines):
    """Five layouts, units in headers and rows: 3560 rpm and 17 bar gauge come out of each."""
    one, found = machine(lines)
    assert found.complaints == ()
    assert one.facts["speed"].number == 3560
    assert one.facts["inlet-pressure"].number == pytest.approx(17.0, abs=0.005)


def test_the_profile_tells_tags_clock_and_decimals():
    """LOP-1's own sheet has tags for headers, days first and decimal commas, as its profile says."""
    lines = ["Datum;TI-601;PI-603 [bar gauge];SI-600", "03.02.2026 08:00;60,4;0,52;2891"]
    one, _ = machine(lines, "LOP-1", only="LOP-1")
    assert one.last == "2026-02-03 08:00"
    assert one.facts["bearing-temperature-drive-end"].number == pytest.approx(60.4)
    assert one.facts["exhaust-pressure"].number == pytest.approx(0.52)


def test_newest_first_is_turned_round():
    """An export with the newest row on top gives the same change and the same latest fact."""
    lines = sheet(noisy(9, lambda at: 4 if at > 60 else 0))
    turned = [lines[0], *reversed(lines[1:])]
    ahead, back = machine(lines)[0], machine(turned)[0]
    assert [reason.kind for reason in back.reasons] == [reason.kind for reason in ahead.reasons] == ["step"]
    assert back.last == ahead.last
    assert back.charts[0].values[-1] == pytest.approx(ahead.charts[0].values[-1], abs=0.8)


def test_units_that_do_not_fit_leave_the_column_out():
    """A temperature in bar is a complaint, and the other columns still count."""
    one, found = machine(["time,machine,exhaust temperature (bar),speed (rpm)", "2026-03-01,BFP-1,165,3560"])
    assert "exhaust temperature (bar)" in says(found)[0]
    assert set(one.facts) == {"speed"}


@pytest.mark.parametrize(
    ("lines", "complaint"),
    [
        ([], "empty"),
        (["machine,speed", "BFP-1,3560"], "holds the time"),
        (["time,speed (rpm)", "2026-01-01,3560"], "which machine|measured on which"),
        (["time,machine,speed (rpm)", "never,BFP-1,3560"], "No row"),
    ],
)
def test_a_file_that_cannot_be_used_is_refused_in_one_line(lines, complaint):
    """Nothing to read, no times, no machine, no row: each has its own words."""
    with pytest.raises(DiagnoseError, match=complaint):
        screen(lines, knowledge())


def test_a_number_past_its_limit_and_a_word_name_the_machine():
    """One round is enough for limits: exhaust pressure over the limit raises the caution, milky oil is named."""
    lines = ["time,machine,exhaust pressure (bar gauge),bearing oil look", "2026-03-01,BFP-1,2.9,milky"]
    one, _ = machine(lines)
    kinds = {reason.finding: reason.kind for reason in one.reasons}
    assert kinds["exhaust-pressure"] == "limit"
    assert kinds["bearing-oil-look"] == "word"
    assert kinds["casing-pressure-high"] == "caution"


def test_machines_that_drift_together_share_a_cause():
    """Two machines on one exhaust header that drift up inside their limits are joined by the rules; a third is not."""
    noise = random.Random(10)
    lines = ["time,machine,exhaust pressure (bar gauge)"]
    for at in range(360):
        crept = 2.0 + max(0, at / 4 - 60) * 0.008
        lines += [f"{day(at / 4)},{name},{crept + noise.gauss(0, 0.03):.3f}" for name in ("BFP-1", "BFP-2")]
        lines.append(f"{day(at / 4)},LOP-1,{0.5 + noise.gauss(0, 0.02):.3f}")
    found = screen(lines, knowledge())
    shared = {
        one.machine
        for one in found.machines
        for reason in one.reasons
        if reason.finding == "shared-exhaust-header-drift"
    }
    assert shared == {"BFP-1", "BFP-2"}
    one = next(row for row in found.machines if row.machine == "BFP-2")
    assert one.facts["exhaust-pressure-trend"].value == "rising"
    assert "exhaust-pressure" not in one.facts
    assert one.beside["BFP-1"]["exhaust-pressure-trend"].value == "rising"


def test_hunting_in_a_logger_export_becomes_a_fact():
    """A swing of 30 rpm every 8 s in a one-second log is hunting, with its width as the reading of the swing."""
    noise = random.Random(11)
    lines = ["time,FDF-1 speed (rpm),FDF-1 load"]
    for at in range(600):
        moment = (START + timedelta(seconds=at)).isoformat(" ")
        lines.append(
            f"{moment},{1450 + 15 * math.sin(at * 2 * math.pi / 8) + noise.gauss(0, 1):.1f},{70 + noise.gauss(0, 1):.1f}"
        )
    one, _ = machine(lines, "FDF-1")
    assert one.swing.kind == "hunting"
    assert one.facts["speed-swing"].number == pytest.approx(30, rel=0.1)
    assert one.facts["speed-behaviour"].value == "regular-swing"


def test_complaints_of_one_kind_are_cut_short_and_counted():
    """A thousand cells of text give a dozen lines and a count."""
    _, found = machine([*sheet(noisy(12)), *(f"{day(100 + at)},BFP-1,bad" for at in range(100))])
    assert found.counts["text-in-number"] == 100
    assert sum(one.code == "text-in-number" for one in found.complaints) == 13
    assert any("88 more like this" in text for text in says(found))


def test_a_site_that_reads_fahrenheit_and_psi_is_told_in_them():
    """Changes, their slopes and limits come in the site's own units, differences in differences."""
    site = knowledge().site._replace(units={"temperature": "F", "pressure": "psi gauge"})
    other = knowledge()._replace(site=site)
    warm = screen(sheet(noisy(2, lambda at: max(0, at - 50) * 0.2)), other).machines[0]
    says = next(one.says for one in warm.reasons if one.kind == "drift")
    assert " F difference above its own normal" in says
    high = sheet(lambda at: "2.9" if at > 88 else "2.0", "time,machine,exhaust pressure [bar gauge]")
    limit = next(one.says for one in screen(high, other).machines[0].reasons if one.kind == "limit")
    assert "psi gauge" in limit

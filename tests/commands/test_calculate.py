"""`diagnose calculate` from the outside."""

from __future__ import annotations

import importlib
import json
import re

import pytest

from diagnose.commands.calculate import JOBS
from diagnose.commands.main import main
from diagnose.knowledge import library

ROUNDS = library.demo_site() / "rounds"
OIL = str(ROUNDS / "oil-report-BFP-2.csv")
LOG = str(ROUNDS / "fan-speed-log.csv")
ENOUGH = {
    "steam": [
        "--machine",
        "bfp-2",
        "--inlet-pressure",
        "247 psig",
        "--inlet-temperature",
        "260C",
        "--exhaust-pressure",
        "2",
    ],
    "speed": ["--log", LOG],
    "vibration": ["--machine", "BFP-2", "--vibration-velocity", "0.3 in/s"],
    "oil": ["--machine", "BFP-2", "--report", OIL],
    "cooling": ["--machine", "BFP-2", "--water-in", "28", "--water-out", "36", "--water-flow", "3 gpm"],
    "trend": ["bearing-temperature-drive-end", "--machine", "BFP-2", "--rounds", str(ROUNDS / "feed-pumps.csv")],
}
MORE = {
    "speed": ["rated", "trips", "log"],
    "vibration": ["speed", "power", "line", "vanes", "phase-across", "spectrum"],
    "oil": ["at", "grade", "particles", "counts", "report"],
    "trend": ["point", "limit", "days", "rounds"],
}
GOOD = {"steam", "oil", "cooling", "trend"}


@pytest.mark.parametrize("job", JOBS)
def test_each_job_shows_results_with_formula_and_source(job, capsys):
    """Every job prints what it worked out, by which formula and whose word, and who decides; bad news is status 1."""
    assert main(["calculate", job, *ENOUGH[job]]) == (0 if job in GOOD else 1)
    told = capsys.readouterr().out
    assert "Formula: " in told
    assert "Source: " in told
    assert "Advice only" in told
    assert ("! is bad news." in told) == (job not in GOOD)


@pytest.mark.parametrize("job", JOBS)
def test_json_holds_the_same_for_a_program(job, capsys):
    """Values in canonical units, limits, judgement and source of each result, and the facts for the rules."""
    main(["calculate", job, *ENOUGH[job], "--json"])
    told = json.loads(capsys.readouterr().out)
    assert told["results"]
    assert all(one["formula"] and one["source"] and one["shown"] for one in told["results"])
    assert told["facts"]


@pytest.mark.parametrize("job", JOBS)
def test_a_consultation_opens_with_the_facts_in(job, capsys):
    """With --consult what was worked out is answered before the first question."""
    main(["calculate", job, *ENOUGH[job], "--json"])
    facts = json.loads(capsys.readouterr().out)["facts"]
    assert main(["calculate", job, *ENOUGH[job], "--consult", "--json", "--no-journal"]) == 0
    view = json.loads(capsys.readouterr().out)
    assert set(facts) <= {row["finding"] for row in view["answered"]}


def test_a_bad_oil_report_leads_to_its_causes(tmp_path, capsys):
    """Water past its limit in the laboratory's report raises the caution and ranks what lets water in."""
    report = tmp_path / "wet.csv"
    report.write_text("property,value,unit\nwater,2500,ppm\n", encoding="utf-8")
    given = ["calculate", "oil", "--machine", "BFP-2", "--report", str(report)]
    assert main(given) == 1
    capsys.readouterr()
    assert main([*given, "--consult", "--json", "--no-journal"]) == 0
    view = json.loads(capsys.readouterr().out)
    assert "water-in-oil" in {row["caution"] for row in view["cautions"]}
    assert view["ranking"][0]["cause"] in {"gland-steam-in-oil", "cooling-jacket-leak", "condensation-in-housing"}


def test_a_number_without_a_unit_is_in_the_sites_own(tmp_path, capsys):
    """A site that reads psig means psig."""
    site = tmp_path / "plant"
    site.mkdir()
    (site / "site.yaml").write_text("site: Plant\nunits: {pressure: psig}\n", encoding="utf-8")
    main(["calculate", "--site", str(site), "steam", "--inlet-pressure", "250", "--json"])
    results = json.loads(capsys.readouterr().out)["results"]
    assert results[0]["value"] == pytest.approx(207.8, abs=0.2)


def test_a_spectrum_is_read_from_a_file(tmp_path, capsys):
    """A header, a blank line and two columns; the largest line at twice the speed is the finding."""
    file = tmp_path / "spectrum.csv"
    file.write_text("Hz,mm/s\n59.3,1.0\n\n118.6,4.0\n", encoding="utf-8")
    assert main(["calculate", "vibration", "--machine", "BFP-2", "--spectrum", str(file), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["facts"] == {"vibration-order": "twice-or-axial"}


@pytest.mark.parametrize(
    ("given", "complaint"),
    [
        (["steam"], "The inlet pressure is wanted"),
        (["steam", "--inlet-pressure", "fine"], "--inlet-pressure: 'fine' is not a number"),
        (["steam", "--inlet-pressure", "900 bar"], "more than this reading can be"),
        (["steam", "--inlet-pressure", "2 bar", "--exhaust-pressure", "3 bar"], "not below the inlet"),
        (["speed"], "No speed is given"),
        (["speed", "--highest", "3"], "rated speed is not known"),
        (["speed", "--log", "missing.csv"], "missing.csv: The file cannot be read"),
        (["speed", "--log", OIL], "No column holds the time"),
        (["speed", "--log", str(ROUNDS / "feed-pumps.csv"), "--machine", "BFP-1"], "too slow"),
        (["vibration"], "No vibration is given"),
        (["vibration", "--displacement", "40"], "At which frequency?"),
        (["vibration", "--line", "sixty"], "--line sixty: Not a line of a spectrum"),
        (["vibration", "--line", "60=2"], "At which speed did it run?"),
        (["oil"], "Nothing of the oil is given"),
        (["oil", "--grade", "47"], "no grade 47"),
        (["oil", "--particles", "dirty"], "not a particle code"),
        (["oil", "--report", LOG], "no columns 'property' and 'value'"),
        (["cooling", "--water-in", "20"], "Too little is given"),
        (["trend", "bearing"], "no reading 'bearing'"),
        (["trend", "speed"], "No reading is given"),
        (["trend", "speed", "--point", "today=3"], "not DAY=VALUE"),
        (["oil", "--water", "900", "--consult"], "about which machine?"),
        (["oil", "--grade", "46", "--at", "60", "--machine", "BFP-2", "--consult"], "Nothing of this is a finding"),
        (
            ["cooling", "--water-in", "20", "--water-out", "25", "--machine", "BFP-2", "--consult", "--phase", "x"],
            "no phase",
        ),
    ],
)
def test_wrong_use_is_one_line(given, complaint, capsys):
    """Each mistake is named in one line, with how to mend it, without a traceback."""
    assert main(["calculate", *given]) == 2
    told = capsys.readouterr().err.strip()
    assert complaint in told
    assert "\n" not in told


def test_counts_of_particles_become_a_code(capsys):
    """ISO 4406: 2400, 600 and 75 a mL are 18/16/13."""
    assert main(["calculate", "oil", "--counts", "2400/600/75"]) == 0
    assert "particle code: 18/16/13: good" in capsys.readouterr().out
    assert main(["calculate", "oil", "--counts", "many"]) == 2


NASTY = [
    "",
    "nan",
    "-inf",
    "1e400",
    "\uff15 bar",
    "\x00",
    "17 bar" * 50,
    "-5",
    "99999999",
    "%",
    "1/2",
    "--",
    "12 parsec",
    "3 F",
]


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("nasty", NASTY)
def test_nothing_typed_for_any_option_is_a_fault_of_the_program(job, nasty, capsys):
    """Whatever stands for a number, a file or a code: a result without nan, or one complaint, never a fault."""
    module = importlib.import_module(f"diagnose.commands.calculate_{job}")
    options = [one.name for one in module.WANTED] + MORE.get(job, [])
    for option in options:
        try:
            status = main(["calculate", job, *ENOUGH[job], f"--{option}={nasty}"])
        except SystemExit as left:
            status = left.code
        told = capsys.readouterr()
        assert status in (0, 1, 2)
        assert "fault of this program" not in told.err
        assert not re.search(r"\bnan\b|\binf\b", told.out)

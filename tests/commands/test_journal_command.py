"""`diagnose journal` from the outside: what was kept is listed, shown, reported, closed, learnt from, moved, rescued."""

from __future__ import annotations

import ctypes
import io
import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from diagnose.commands.main import main
from diagnose.commands.spans import moment
from diagnose.journal.store import open_journal
from diagnose.knowledge import library
from diagnose.values.problem import DiagnoseError

HOSTILE = "<script>alert(1)</script> \x1b[31m\u202egnp.exe"
NOW = "2026-03-02T12:00:00.000+00:00"


@pytest.fixture
def site(tmp_path):
    """Give a plant of its own, to be written into."""
    folder = tmp_path / "plant"
    shutil.copytree(library.demo_site(), folder)
    return folder


@pytest.fixture
def diagnose(site, capsys, monkeypatch):
    """Run a command on the plant; return its exit status, output and complaints."""

    def run(*arguments: str) -> tuple[int, str, str]:
        capsys.readouterr()
        monkeypatch.setattr(sys, "stdin", io.StringIO(""))
        status = main([arguments[0], "--site", str(site), *arguments[1:]])
        said = capsys.readouterr()
        return status, said.out, said.err

    return run


def consult(diagnose, machine="BFP-2", *readings) -> str:
    """Report readings, leave at the first question, and return the id."""
    flags = [part for reading in readings or ("bearing-oil-look=milky",) for part in ("--reading", reading)]
    _, out, _ = diagnose("consult", "--machine", machine, "--phase", "loaded", *flags, "--plain")
    return re.search(r"Kept as (\S+)\.", out)[1]


def test_what_was_kept_is_listed_newest_first_and_by_filter(diagnose):
    """Two consultations are listed; machine, cause, open and closed and time each let through what they name."""
    first = consult(diagnose, "BFP-2", "bearing-oil-look=milky", "exhaust-pressure=2.9 bar")
    second = consult(diagnose, "FDF-1")
    assert [line.split()[0] for line in diagnose("journal", "list")[1].splitlines()] == [second, first]
    assert diagnose("journal", "list", "--machine", "FDF-1")[1].startswith(second)
    rows = json.loads(diagnose("journal", "list", "--json")[1])["runs"]
    leading = rows[1]["ranking"][0][0]
    assert first in diagnose("journal", "list", "--cause", leading)[1]
    diagnose("journal", "outcome", first, "--cause", "cooling-jacket-leak")
    assert diagnose("journal", "list", "--closed")[1].split()[0] == first
    assert diagnose("journal", "list", "--open")[1].split()[0] == second
    assert "Nothing of that kind" in diagnose("journal", "list", "--until", "2020-01-01")[1]
    assert len(diagnose("journal", "list", "--since", "1h")[1].splitlines()) == 2


def test_a_consultation_replays_to_the_last_bit(diagnose):
    """Shown again it comes out as kept, and the course says what was asked and when cautions appeared."""
    run = consult(diagnose)
    out = diagnose("journal", "show", run)[1]
    assert "the same to the last bit" in out
    assert "Reported: Bearing oil look: milky. Caution shown:" in out


def test_after_the_rules_changed_it_still_replays_and_the_changes_are_named(diagnose, site):
    """With a rule switched off since, the replay uses the rules kept then, and lists what changed."""
    run = consult(diagnose)
    (site / "rules").mkdir(exist_ok=True)
    (site / "rules" / "own.yaml").write_text("switch-off: [gland-steam-in-oil]\n", encoding="utf-8")
    out = diagnose("journal", "show", run, "--today")[1]
    assert "the same to the last bit" in out
    assert "Cause gland-steam-in-oil: taken out." in out
    then, today = out.split("Under today's rules")
    assert "Gland steam blowing" in then
    assert "Gland steam blowing" not in today


def test_a_report_is_written_beside_the_journal_and_to_where_one_says(diagnose, site, tmp_path):
    """Without --out the page stands in reports/; with it, there; with '-', it is printed."""
    run = consult(diagnose)
    assert diagnose("journal", "report", run)[1] == f"Written: {site / 'reports' / f'{run}.html'}\n"
    assert (site / "reports" / f"{run}.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    diagnose("journal", "report", run, "--markdown", "--out", str(tmp_path / "x.md"))
    assert (tmp_path / "x.md").read_text(encoding="utf-8").startswith(f"# Consultation {run}")
    assert diagnose("journal", "report", run, "--out", "-")[1].startswith("<!DOCTYPE html>")


def test_the_report_can_be_asked_for_with_the_consultation(diagnose, site):
    """With --report the consultation ends with its page written."""
    _, out, _ = diagnose(
        "consult",
        "--machine",
        "BFP-2",
        "--phase",
        "loaded",
        "--reading",
        "bearing-oil-look=milky",
        "--plain",
        "--report",
    )
    run = re.search(r"Kept as (\S+)\.", out)[1]
    assert (site / "reports" / f"{run}.html").exists()


def test_a_handover_sums_up_the_shift(diagnose):
    """Two consultations of the last hours are counted, one closed, and the repeat on the machine is named."""
    first, _ = consult(diagnose), consult(diagnose)
    diagnose("journal", "outcome", first, "--none-found")
    out = diagnose("journal", "handover", "--markdown", "--out", "-")[1]
    assert "- **Consultations:** 2" in out
    assert "- **Closed:** 1" in out
    assert "BFP-2: 2 consultations" in out


def test_a_consultation_that_was_killed_is_summed_up_when_it_is_wanted(diagnose, site):
    """One without its ending kept is found by cause and handed over as if it had one."""
    run = consult(diagnose)
    journal = open_journal(site / "journal.sqlite3")
    other = open_journal(site / "other.sqlite3")
    with other.writing():
        for event in journal.events(run, "consultation"):
            other.add(event)
    cause = journal.events(run, "conclusion")[0].body["causes"][0]
    journal.close()
    other.close()
    for end in ("-wal", "-shm", ""):
        (site / f"journal.sqlite3{end}").unlink(missing_ok=True)
    (site / "other.sqlite3").rename(site / "journal.sqlite3")
    assert "not summed up" in diagnose("journal", "list")[1]
    assert run in diagnose("journal", "list", "--cause", cause)[1]
    assert "not summed up" not in diagnose("journal", "list")[1]


def test_hostile_words_in_an_outcome_are_inert_on_screen_and_page(diagnose, site):
    """Neither the list, nor the show, nor the page carries an escape, a turned line or a tag of it."""
    run = consult(diagnose)
    said = diagnose("journal", "outcome", run, "--text", HOSTILE, "--done", HOSTILE, "--by", HOSTILE)[1]
    said += diagnose("journal", "list")[1] + diagnose("journal", "show", run)[1] + diagnose("journal", "export")[1]
    diagnose("journal", "report", run)
    page = (site / "reports" / f"{run}.html").read_text(encoding="utf-8")
    for text in (said, page):
        assert "\x1b" not in text
        assert "\u202e" not in text
    assert "<script" not in page


def test_learning_asks_for_a_name_and_writes_what_loads(diagnose, site):
    """Ten closed jobs propose; nothing is written without --accept; accepted, the overlay loads and says who."""
    for _ in range(10):
        run = consult(diagnose)
        diagnose("journal", "outcome", run, "--cause", "cooling-jacket-leak")
    status, out, _ = diagnose("journal", "learn")
    assert status == 0
    assert "How common is cooling-jacket-leak" in out
    assert not (site / "rules" / "learnt.yaml").exists()
    assert "Add --by NAME" in diagnose("journal", "learn", "--accept")[2]
    before = json.loads(diagnose("journal", "learn", "--json")[1])["proposals"]
    assert diagnose("journal", "learn", "--accept", "--by", "Kim: planner")[0] == 0
    assert "Kim: planner" in (site / "rules" / "learnt.yaml").read_text(encoding="utf-8")
    assert library.load(site=site).problems == ()
    assert json.loads(diagnose("journal", "learn", "--json")[1])["proposals"] == before
    kept = list(open_journal(site / "journal.sqlite3").select("WHERE kind = 'learning'"))
    assert [one.body["by"] for one in kept] == ["Kim: planner"]


def test_few_jobs_teach_nothing(diagnose):
    """With one closed job the planner is told how many are needed, and the exit status says nothing is to be moved."""
    run = consult(diagnose)
    diagnose("journal", "outcome", run, "--cause", "cooling-jacket-leak")
    status, out, _ = diagnose("journal", "learn")
    assert status == 1
    assert "nothing is moved on fewer than 10" in out


def test_a_copy_and_an_export_hold_the_same(diagnose, site, tmp_path):
    """The backup opens with the same events; the export, taken in by another plant, gives the same list."""
    consult(diagnose)
    diagnose("journal", "backup", str(tmp_path / "copy.sqlite3"))
    assert "stands already" in diagnose("journal", "backup", str(tmp_path / "copy.sqlite3"))[2]
    diagnose("journal", "export", "--out", str(tmp_path / "all.jsonl"))
    listed = diagnose("journal", "list")[1]
    copy = open_journal(tmp_path / "copy.sqlite3")
    assert [one.body for one in copy.select("")] == [
        one.body for one in open_journal(site / "journal.sqlite3").select("")
    ]
    other = tmp_path / "other"
    shutil.copytree(library.demo_site(), other)
    assert main(["journal", "import", str(tmp_path / "all.jsonl"), "--site", str(other)]) == 0
    assert main(["journal", "list", "--site", str(other)]) == 0
    assert diagnose("journal", "export", "--csv")[1].count("\n") > 3
    assert listed.split()[0] in (tmp_path / "all.jsonl").read_text(encoding="utf-8")


def test_a_damaged_journal_is_told_and_rescued(diagnose, site, tmp_path):
    """With its first page gone, list gives one line, check says so, and the rescue brings every event back."""
    run = consult(diagnose)
    path = site / "journal.sqlite3"
    journal = open_journal(path)
    events = len(list(journal.select("")))
    list(journal.rows("PRAGMA wal_checkpoint(TRUNCATE)"))
    journal.close()
    assert diagnose("journal", "check")[0] == 0
    raw = bytearray(path.read_bytes())
    raw[:100] = b"x" * 100
    path.write_bytes(raw)
    status, _, err = diagnose("journal", "list")
    assert status == 2
    assert err.count("\n") == 1
    assert "journal check" in err
    status, out, _ = diagnose("journal", "check", "--rescue", str(tmp_path / "saved.sqlite3"))
    assert status == 1
    assert f"{events} events" in out
    assert open_journal(tmp_path / "saved.sqlite3").has(run)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["show", "20260101-none"], "There is no consultation"),
        (["list", "--since", "soon"], "is not a time"),
        (["outcome", "20260101-none", "--none-found"], "There is no consultation"),
        (["outcome", "20260101-none", "--cause", "cooling-jaket-leak"], "Did you mean 'cooling-jacket-leak'"),
        (["outcome", "20260101-none"], "Say what was wrong in one way"),
        (["outcome", "20260101-none", "--none-found", "--known-by", "guess"], "does not say how it is known"),
        (["import", "/nowhere.jsonl"], "cannot be read"),
        (["learn", "--only", "x"], "Nothing is proposed for"),
        (["report", "20260101-none"], "There is no consultation"),
    ],
)
def test_wrong_use_gives_one_line(diagnose, arguments, says):
    """Each wrong id, time, cause, file or option gives exit status 2 and one line that says what."""
    consult(diagnose)
    status, _, err = diagnose("journal", *arguments)
    assert status == 2
    assert says in err
    assert err.count("\n") == 1


def test_where_nothing_was_kept_every_reader_says_so(diagnose):
    """Without a journal, reading commands give one line and make no file; an empty list is no fault."""
    assert diagnose("journal", "list")[:2] == (0, "Nothing is kept yet.\n")
    for what in (["show", "x"], ["report", "x"], ["handover"], ["learn"], ["check"], ["export"]):
        status, _, err = diagnose("journal", *what)
        assert status == 2
        assert "There is no journal yet" in err


def _without_powers() -> None:
    """Let rights count even for the superuser: drop CAP_DAC_OVERRIDE from what a program started next may have."""
    drop, override = 24, 1  # PR_CAPBSET_DROP; linux/prctl.h, linux/capability.h
    if os.getuid() == 0:
        ctypes.CDLL(None).prctl(drop, override, 0, 0, 0)


def test_a_folder_that_may_not_be_written_can_still_be_read(diagnose, site):
    """As a user without the right to write, list and report work; consult says that nothing is kept and goes on."""
    run = consult(diagnose)
    for path in [*site.rglob("*"), site]:
        path.chmod(0o555 if path.is_dir() else 0o444)
    environment = {**os.environ, "DIAGNOSE_CACHE": "off", "PYTHONDONTWRITEBYTECODE": "1"}

    def as_reader(*arguments: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "diagnose", *arguments],
            cwd=Path(library.__file__).parents[2],
            env=environment,
            capture_output=True,
            text=True,
            check=False,
            preexec_fn=_without_powers,
        )

    try:
        listed = as_reader("journal", "list", "--site", str(site))
        assert run in listed.stdout, listed.stderr
        printed = as_reader("journal", "report", run, "--site", str(site), "--out", "-")
        assert printed.stdout.startswith("<!DOCTYPE html>")
        refused = as_reader("journal", "outcome", run, "--none-found", "--site", str(site))
        assert refused.returncode == 2
        assert refused.stderr.count("\n") == 1
        flags = ["--machine", "BFP-2", "--phase", "loaded", "--reading", "bearing-oil-look=milky", "--no-input"]
        unkept = as_reader("consult", "--site", str(site), *flags)
        assert "This consultation is not kept" in unkept.stderr
        assert "Likely causes" in unkept.stdout
    finally:
        for path in [site, *site.rglob("*")]:
            path.chmod(0o755 if path.is_dir() else 0o644)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("12h", "2026-03-02T00:00:00.000+00:00"),
        ("7 days ago", "2026-02-23T12:00:00.000+00:00"),
        ("2026-03-01T05:00+01:00", "2026-03-01T04:00:00.000+00:00"),
    ],
)
def test_times_are_taken_as_people_say_them(text, meant):
    """Hours and days ago, and a time with its offset, become UTC."""
    assert moment(text, NOW) == meant


@pytest.mark.parametrize("text", ["", "soon", "9999999 days", "2026-13-01", "1e9h", "٣h"])
def test_what_is_no_time_is_refused(text):
    """Words, impossible dates and spans before the calendar are refused in one line."""
    with pytest.raises(DiagnoseError, match="is not a time"):
        moment(text, NOW)


def test_an_id_of_a_journal_cannot_lead_a_page_elsewhere(diagnose, site):
    """A journal from elsewhere with an id full of dots and slashes: its page stands in the folder of reports."""
    first = consult(diagnose)
    _, lines, _ = diagnose("journal", "export")
    events = [json.loads(line) for line in lines.splitlines()]
    evil = "../../../evil/x\x00y"
    moved = [json.dumps({**one, "run": evil}) for one in events if one.get("run") == first]
    assert moved
    (site / "from-elsewhere.jsonl").write_text("\n".join(moved) + "\n", encoding="utf-8")
    diagnose("journal", "import", str(site / "from-elsewhere.jsonl"))
    status, _, complained = diagnose("journal", "report", evil)
    assert status == 0, complained
    assert [path.name for path in (site / "reports").iterdir()] == ["_________evil_x_y.html"]

"""``diagnose rules compare``, ``coverage``, ``table``, ``new`` and ``handbook`` as a planner runs them."""

import json
import os
import re
import subprocess
from argparse import Namespace
from contextlib import ExitStack
from html.parser import HTMLParser

import pytest

from diagnose.commands import rules_compare, rules_new
from diagnose.commands.case_runs import on_all_processors
from diagnose.commands.main import main
from diagnose.values.problem import DiagnoseError
from tests.planning.page_base import MACHINE, RULES
from tests.planning.samples import CASES


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """Give a plant's folder with cases beside a folder of clean rules, with a cache of its own."""
    monkeypatch.setenv("DIAGNOSE_CACHE", str(tmp_path / "cache"))
    (tmp_path / "rules").mkdir()
    (tmp_path / "rules" / "base.yaml").write_text(RULES)
    for name, text in (("site.yaml", "site: Sample\n"), ("machines/P-1.yaml", MACHINE), ("cases/two.yaml", CASES)):
        (tmp_path / "site" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "site" / name).write_text(text)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def rules(*options):
    return main(["rules", "--site", "site", *options])


def changed(folder):
    (folder / "other").mkdir()
    (folder / "other" / "base.yaml").write_text(RULES.replace("jacket-leak: usually", "jacket-leak: rarely"))
    return "other"


# ---- compare


def test_compare_tells_what_changes_and_ends_badly_when_a_case_now_fails(folder, capsys):
    """The rule, the case and its rank are named; exit status 1. The same folder twice changes nothing, status 0."""
    assert rules("compare", "rules", changed(folder), "--cases", "site/cases") == 1
    told = capsys.readouterr().out
    assert "rule milky-oil changed" in told
    assert "now fails: oil-milky" in told
    assert told.splitlines()[-1].startswith("2 cases: ")
    assert rules("compare", "rules", "rules", "--cases", "site/cases") == 0
    assert "nothing changes for anybody" in capsys.readouterr().out


def test_compare_as_json_and_as_a_page_holds_the_same_changes(folder, capsys):
    """Every change of the JSON stands on the page, which is one file that fetches nothing."""
    rules("compare", "rules", changed(folder), "--cases", "site/cases", "--json", "--html", "page.html")
    told = json.loads(capsys.readouterr().out)
    page = (folder / "page.html").read_text()
    assert told["changes"]
    assert all(one["case"] in page and one["kind"] in page for one in told["changes"])
    assert not re.search(r'(src|href)="(?!#)', page)


def test_compare_adds_consultations_drawn_from_the_rules(folder, capsys):
    """Four for the one machine come to the two cases."""
    rules("compare", "rules", changed(folder), "--cases", "site/cases", "--simulated", "4", "--json")
    assert json.loads(capsys.readouterr().out)["cases"] == 6


def test_a_name_that_is_neither_folder_nor_revision_is_told_in_one_line(folder, capsys):
    """Exit status 2; what looks like an option of git's is no option of git's either."""
    assert main(["rules", "compare", "nowhere"]) == 2
    assert capsys.readouterr().err.count("\n") == 1
    with pytest.raises(DiagnoseError, match="neither a folder nor a git revision"), ExitStack() as stack:
        rules_compare._folder("--output=x", stack)
    assert not (folder / "x").exists()


def test_jobs_keep_their_order_on_all_processors():
    """Results come in the order of the jobs, and an error of one comes through."""
    assert on_all_processors("jobs", range(20), lambda one: one * one) == [one * one for one in range(20)]
    with pytest.raises(ZeroDivisionError):
        on_all_processors("jobs", [1, 0, 1], lambda one: 1 / one)


def test_a_process_that_dies_is_told_and_not_waited_for():
    """One line instead of a wait without end."""
    with pytest.raises(DiagnoseError, match="ended from outside"):
        on_all_processors("cases", range(4), lambda one: os._exit(1) if one == 2 else one)


# ---- coverage


def test_coverage_lists_what_is_untested_and_whether_mutants_are_noticed(folder, capsys):
    """Every caution's mutant is noticed here, so the exit status is 0; the cause without a case is named."""
    options = ("coverage", "--rules", "rules", "--cases", "site/cases")
    assert rules(*options, "--mutants", "cautions") == 0
    told = capsys.readouterr().out
    assert "causes: 2 of 3 exercised (67%)\n  untested: gland-steam" in told
    assert "caution dropped: 2 tried; 2 noticed by a case (2 then fail), 2 by a case or a kept row" in told
    assert rules(*options, "--json") == 0
    assert json.loads(capsys.readouterr().out)["untested"]["causes"] == ["gland-steam"]


def test_coverage_ends_badly_when_a_caution_can_be_dropped_unnoticed(folder, capsys):
    """Without the case of the exhaust, nobody notices that its caution is gone."""
    (folder / "site" / "cases" / "two.yaml").write_text(CASES.split("- case: exhaust-tight")[0])
    assert rules("coverage", "--rules", "rules", "--cases", "site/cases", "--mutants", "cautions") == 1
    assert "unnoticed: caution dropped, rule exhaust-high, casing-pressure" in capsys.readouterr().out


def test_a_kept_row_notices_where_no_case_does(folder, capsys):
    """The two figures stand apart: the cases alone, and with what the rows keep."""
    (folder / "site" / "cases" / "two.yaml").write_text(CASES.split("- case: exhaust-tight")[0])
    assert rules("snapshot", "--rules", "rules", "--accept") == 0
    capsys.readouterr()
    assert rules("coverage", "--rules", "rules", "--cases", "site/cases", "--mutants", "all") == 0
    told = capsys.readouterr().out
    assert "caution dropped: 2 tried; 1 noticed by a case (1 then fail), 2 by a case or a kept row" in told
    assert "cases and kept rows notice" in told
    assert rules("coverage", "--rules", "rules", "--cases", "site/cases", "--mutants", "all", "--by", "rows") == 0
    assert "the cases alone notice 0 (0.0%)" in capsys.readouterr().out


# ---- table


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_a_table_goes_out_and_back_without_a_change(folder, ending, capsys):
    """The rules stay the same to the byte."""
    assert rules("table", "--rules", "rules", f"words.{ending}") == 0
    assert rules("table", "--rules", "rules", f"words.{ending}", "--read") == 0
    assert "0 words changed" in capsys.readouterr().out
    assert (folder / "rules" / "base.yaml").read_text() == RULES


def test_a_word_of_a_shipped_rule_is_changed_in_the_sites_own_rules(folder, monkeypatch, capsys):
    """The whole entry goes into the site, changed, and takes the shipped one's place; the shipped file stays."""
    monkeypatch.setattr("diagnose.knowledge.library.shipped_rules", lambda: folder / "rules")
    assert rules("table", "words.csv") == 0
    table = folder / "words.csv"
    changed = table.read_bytes().replace(b"jacket-leak,usually,usually", b"jacket-leak,usually,about half")
    table.write_bytes(changed.replace(b"gland-steam,seldom,seldom", b"gland-steam,seldom,common"))
    assert rules("table", "words.csv", "--read") == 0
    assert (folder / "rules" / "base.yaml").read_text() == RULES
    own = (folder / "site" / "rules" / "words.yaml").read_text()
    assert own.startswith("rules:\n  - rule: milky-oil\n")
    assert "jacket-leak: about half, gland-steam: sometimes" in own
    assert "causes:\n  gland-steam:\n    title: Gland steam blows into the housing\n    how-common: common\n" in own
    capsys.readouterr()
    assert rules("table", "words.csv", "--read") == 0
    assert "0 words changed.\n" in capsys.readouterr().out
    assert rules("check") == 0


def test_a_word_changed_in_the_table_changes_in_the_rules(folder, capsys):
    """The line is named, only the word changes; a dry run changes nothing."""
    rules("table", "--rules", "rules", "words.csv")
    table = folder / "words.csv"
    table.write_bytes(table.read_bytes().replace(b"jacket-leak,usually,usually", b"jacket-leak,usually,about half"))
    assert rules("table", "--rules", "rules", "words.csv", "--read", "--dry-run") == 0
    assert (folder / "rules" / "base.yaml").read_text() == RULES
    assert rules("table", "--rules", "rules", "words.csv", "--read") == 0
    assert "jacket-leak usually to about half" in capsys.readouterr().out
    assert (folder / "rules" / "base.yaml").read_text() == RULES.replace(
        "jacket-leak: usually", "jacket-leak: about half"
    )


def test_conflicts_are_named_and_nothing_is_changed(folder, capsys):
    """A wrong word beside a right change: exit status 1, the cell is named, the file stays."""
    rules("table", "--rules", "rules", "words.csv")
    table = folder / "words.csv"
    table.write_bytes(table.read_bytes().replace(b"usually,usually", b"usually,mostly", 1))
    assert rules("table", "--rules", "rules", "words.csv", "--read") == 1
    assert re.search(r"conflict: row \d+, column word: 'mostly' is no word of the scale", capsys.readouterr().out)
    assert (folder / "rules" / "base.yaml").read_text() == RULES


def test_the_spreadsheet_offers_the_words_of_the_scale(folder):
    """Each link's cell in the column 'word' has a list with the frequency words."""
    from openpyxl import load_workbook

    rules("table", "--rules", "rules", "words.xlsx")
    sheet = load_workbook(folder / "words.xlsx").active
    lists = {one.formula1: one.sqref for one in sheet.data_validations.dataValidation}
    assert '"almost always,usually,about half,sometimes,rarely,almost never"' in lists
    assert "F2" in str(lists['"almost always,usually,about half,sometimes,rarely,almost never"'])


def test_a_file_that_is_no_spreadsheet_is_told_in_one_line(folder, capsys):
    """Exit status 2, no traceback."""
    (folder / "words.xlsx").write_text("no spreadsheet")
    assert rules("table", "--rules", "rules", "words.xlsx", "--read") == 2
    assert capsys.readouterr().err.count("\n") == 1


# ---- new


def typed(*lines):
    """Give a way to ask that types these lines, whatever is asked."""
    waiting = iter(lines)
    return lambda _: next(waiting)


def new(kind, *lines, name=None):
    arguments = Namespace(site="site", rules="rules", kind=kind, id=name, file="own.yaml", no_cases=True)
    return rules_new.run(arguments, typed(*lines))


def test_a_new_cause_goes_into_the_sites_rules_and_keeps_what_is_there(folder, capsys):
    """The comment stays, the entry loads, and the check tells that nothing shows it yet."""
    (folder / "site" / "rules").mkdir()
    (folder / "site" / "rules" / "own.yaml").write_text("# learnt here\n")
    lines = (
        "Strainer torn",
        "rare",
        "serious",
        "Pieces reach the wheel.",
        "Renew the strainer.",
        "",
        "",
        "",
        "common practice",
    )
    assert new("cause", *lines) == 0
    text = (folder / "site" / "rules" / "own.yaml").read_text()
    assert text.startswith("# learnt here\n\ncauses:\n  strainer-torn:\n    title: Strainer torn\n")
    assert "cause-without-sign" in capsys.readouterr().out


def test_a_neighbour_that_is_the_same_ends_without_writing(folder, capsys):
    """The cause that sounds alike is shown; 'yes' writes nothing, exit status 1."""
    lines = ("Cooling jacket leaking", "y", *[""] * 20)
    assert new("cause", *lines) == 1
    assert "jacket-leak: Cooling jacket leaks" in capsys.readouterr().out
    assert not (folder / "site" / "rules").exists()


def test_an_answer_that_does_not_load_is_taken_out_again(folder, capsys):
    """A rule whose symptom has its causes already: the fault is told with its line, and the file is gone."""
    told = ("oil-look: milky", "n", "jacket-leak: usually", "", "", "", "", "", "", "", "common practice")
    assert new("rule", *told) == 1
    assert "evidence-counted-twice" in capsys.readouterr().out
    assert not (folder / "site" / "rules" / "own.yaml").exists()


def test_an_answer_that_the_loader_would_not_take_is_asked_again_at_once(folder, capsys):
    """A value without its mark and minutes without their unit: told with the mend, and nothing typed before is lost."""
    values = ("dry, wet", "dry: normal, wet: abnormal")
    lines = ("Is the floor wet?", "Look from the walkway.", *values, "2", "2 min", "", "", "", "", "common practice")
    assert new("finding", *lines) == 0
    told = capsys.readouterr().out
    assert "Write '2 min'." in told
    text = (folder / "site" / "rules" / "own.yaml").read_text()
    assert "values: {dry: normal, wet: abnormal}\n    effort: 2 min\n" in text


def test_a_word_that_is_not_known_is_asked_again_with_the_nearest(folder, capsys):
    """In a cause, a machine and a case alike."""
    lines = (
        "Strainer torn",
        "often",
        "rare",
        "grave",
        "serious",
        "Pieces.",
        "Renew it.",
        "",
        "",
        "",
        "common practice",
    )
    assert new("cause", *lines) == 0
    profile = ("", "kind: pump", "sentinel-valv", "sentinel-valve", "", "speed: 3000 bar", "speed: 3000 rpm", "", "")
    assert new("machine", *profile, name="P-2") == 0
    case = (
        "Oil white",
        "P-1",
        "loaded",
        "oil-look: white",
        "oil-look: milky",
        "",
        "jacket-leek",
        "jacket-leak",
        "",
        "",
    )
    assert new("case", *case, "common practice") == 0
    told = capsys.readouterr().out
    assert all(f"'{one}'" in told for one in ("often", "grave", "sentinel-valv", "white", "jacket-leek"))


def test_what_is_needed_is_asked_again(folder, capsys):
    """An empty answer to a needed question is not taken."""
    lines = ("", "Strainer torn", "rare", "serious", "Pieces.", "Renew it.", "", "", "", "common practice")
    assert new("cause", *lines) == 0
    assert "This is needed." in capsys.readouterr().out


def test_a_new_machine_is_a_file_of_its_own_under_its_tag(folder):
    """Without a tag it is refused; with one the profile loads."""
    lines = ("Feed pump two", "kind: pump, service: feed", "sentinel-valve", "", "speed: 3000 rpm", "", "")
    with pytest.raises(DiagnoseError, match="--id"):
        new("machine", *lines)
    assert new("machine", *lines, name="P-2") == 0
    assert (folder / "site" / "machines" / "P-2.yaml").read_text().startswith("machine: P-2\n")


def test_nothing_is_written_to_the_demo_site(monkeypatch):
    """A plant must be named first."""
    monkeypatch.delenv("DIAGNOSE_SITE", raising=False)
    with pytest.raises(DiagnoseError, match="demo site"):
        rules_new.run(Namespace(site=None, kind="cause", id=None, file="own.yaml", no_cases=True), typed())


# ---- handbook


class Ids(HTMLParser):
    """Collects ids and inner links of a page."""

    def __init__(self):
        super().__init__()
        self.ids, self.links, self.texts = [], [], []

    def handle_starttag(self, tag, attrs):
        """Keep the id and the link of an element."""
        found = dict(attrs)
        self.ids += [found["id"]] if "id" in found else []
        self.links += [found["href"]] if "href" in found else []

    def handle_data(self, data):
        """Keep the text."""
        self.texts.append(data)


def test_the_handbook_holds_every_cause_and_its_links_lead_somewhere(folder):
    """One page; each cause and caution is on it, ids are unique, every link inside it has its target."""
    assert rules("handbook", "--rules", "rules", "book.html") == 0
    page = Ids()
    page.feed((folder / "book.html").read_text())
    text = " ".join(page.texts)
    assert all(
        title in text for title in ("Cooling jacket leaks", "Exhaust valve not open", "There is water in the oil.")
    )
    assert len(set(page.ids)) == len(page.ids)
    assert {link.removeprefix("#") for link in page.links} <= set(page.ids)


def test_the_handbook_escapes_what_the_rules_say(folder):
    """A title with marks of HTML in it is shown, not run."""
    text = RULES.replace("title: Cooling jacket leaks", "title: <script>alert(1)</script> leaks")
    (folder / "rules" / "base.yaml").write_text(text)
    rules("handbook", "--rules", "rules", "book.html")
    page = (folder / "book.html").read_text()
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)" in page


def test_a_git_revision_of_the_rules_can_be_compared(tmp_path, monkeypatch, capsys):
    """The rules as committed stand against the rules as they are now in the folder."""
    monkeypatch.setenv("DIAGNOSE_CACHE", "off")
    (tmp_path / "rules").mkdir()
    file = tmp_path / "rules" / "base.yaml"
    file.write_text(RULES)
    git = ["git", "-C", str(tmp_path), "-c", "user.name=t", "-c", "user.email=t@example.org"]
    for command in (["init", "-q"], ["add", "."], ["commit", "-qm", "first"]):
        subprocess.run([*git, *command], check=True)
    file.write_text(RULES.replace("jacket-leak: usually", "jacket-leak: rarely"))
    site = tmp_path / "site"
    for name, text in (("site.yaml", "site: S\n"), ("machines/P-1.yaml", MACHINE), ("cases/two.yaml", CASES)):
        (site / name).parent.mkdir(parents=True, exist_ok=True)
        (site / name).write_text(text)
    monkeypatch.setattr("diagnose.knowledge.library.shipped_rules", lambda: tmp_path / "rules")
    assert main(["rules", "--site", str(site), "compare", "HEAD", "--cases", str(site / "cases")]) == 1
    assert "rule milky-oil changed" in capsys.readouterr().out

"""``diagnose rules snapshot`` as a planner runs it: keep, change, see, accept."""

import json

import pytest

from diagnose.commands.main import main
from tests.planning.page_base import MACHINE, RULES


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """Give a site beside a folder of clean rules, with a cache of its own."""
    monkeypatch.setenv("DIAGNOSE_CACHE", str(tmp_path / "cache"))
    for name, text in (
        ("rules/base.yaml", RULES),
        ("site/site.yaml", "site: S\n"),
        ("site/machines/P-1.yaml", MACHINE),
    ):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def snapshot(*options):
    return main(["rules", "--site", "site", "snapshot", "--rules", "rules", *options])


def test_what_is_kept_stands_until_a_rule_changes(folder, capsys):
    """Nothing kept is told; after accepting nothing differs; a changed word shows the shares before and after."""
    assert snapshot() == 2
    assert "--accept" in capsys.readouterr().err
    assert snapshot("--accept") == 0
    assert (folder / "site" / "snapshot.csv").read_text().startswith("rule,why,machine,phase,said,")
    capsys.readouterr()
    assert snapshot() == 0
    assert "every rule does what was kept" in capsys.readouterr().out
    changed = RULES.replace("jacket-leak: usually", "jacket-leak: rarely")
    (folder / "rules" / "base.yaml").write_text(changed)
    assert snapshot() == 1
    told = capsys.readouterr().out
    assert "milky-oil, holds; P-1" in told
    assert "% then " in told


def test_accepting_keeps_the_other_rows_as_they_are(folder, capsys):
    """Only rows of rules that differ are chosen anew; a rule that is gone leaves with its rows, a new one comes."""
    snapshot("--accept")
    before = (folder / "site" / "snapshot.csv").read_text().splitlines()
    new = RULES.replace("- rule: knocks", "- rule: it-knocks").replace("caution: water-in-oil", "")
    (folder / "rules" / "base.yaml").write_text(new)
    assert snapshot("--accept") == 0
    told = capsys.readouterr().out
    assert "caution water-in-oil lost" in told
    assert "rule it-knocks has no row yet" in told
    after = (folder / "site" / "snapshot.csv").read_text().splitlines()
    mine = ("milky-oil,", "knocks,", "it-knocks,")
    assert [one for one in before if not one.startswith(mine)] == [one for one in after if not one.startswith(mine)]
    assert not any(one.startswith("knocks,") for one in after)
    assert any(one.startswith("it-knocks,") for one in after)


def test_the_same_as_json(folder, capsys):
    """Probe and changes of each row that differs, and the exit status of the text."""
    snapshot("--accept")
    (folder / "rules" / "base.yaml").write_text(RULES.replace("caution: water-in-oil", ""))
    capsys.readouterr()
    assert snapshot("--json") == 1
    told = json.loads(capsys.readouterr().out)
    assert told["rules-without-a-row"] == []
    assert {"rule": "milky-oil", "why": "holds"}.items() <= told["different"][0].items()
    assert "caution water-in-oil lost" in told["different"][0]["changes"]


def test_a_damaged_snapshot_is_told_in_one_line(folder, capsys):
    """With its line and what to do."""
    snapshot("--accept")
    path = folder / "site" / "snapshot.csv"
    path.write_text(path.read_text().replace("%", "x"))
    assert snapshot() == 2
    assert "no snapshot: line 2" in capsys.readouterr().err

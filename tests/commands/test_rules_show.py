"""``diagnose rules show`` and ``schema`` as a planner runs them."""

import json

import jsonschema
import pytest

from diagnose.commands.main import main
from diagnose.knowledge.library import demo_site, load

KNOWLEDGE = load(site=demo_site()).knowledge


@pytest.fixture(autouse=True)
def shipped(monkeypatch, tmp_path_factory):
    """Use the shipped rules with the demo site, and a cache of the tests' own."""
    monkeypatch.delenv("DIAGNOSE_SITE", raising=False)
    monkeypatch.setenv("DIAGNOSE_CACHE", str(tmp_path_factory.getbasetemp() / "cache"))


def shown(name, capsys):
    assert main(["rules", "show", name, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_a_cause_is_shown_with_its_signs_in_words_and_numbers(capsys):
    """Each link of the cause is a line with its word and its share, and the place names file and line."""
    (row,) = shown("cause exhaust-header-pressure-high", capsys)
    links = [one for rule in KNOWLEDGE.rules.values() for one in rule.links if one.cause == row["id"]]
    assert len(row["sections"]["Shows"]) == len(links)
    assert any("almost always (98.5%)" in line for line in row["sections"]["Shows"])
    assert row["place"] == str(KNOWLEDGE.causes[row["id"]].place)


def test_a_reading_is_shown_with_the_condition_that_judges_it(capsys):
    """Unit, range and the condition judged from it stand under About."""
    (row,) = shown("exhaust-pressure", capsys)
    assert "reading in bar gauge, from -1 to 30, accurate to 0.1" in row["sections"]["About"]
    assert "judges: exhaust-pressure-level" in row["sections"]["About"]


@pytest.mark.parametrize("kind", ["finding", "cause", "rule", "caution", "feature"])
def test_every_thing_of_the_shipped_rules_can_be_shown(kind, capsys):
    """Each id of the kind gives a description that names it."""
    things = {"finding": KNOWLEDGE.findings, "cause": KNOWLEDGE.causes, "rule": KNOWLEDGE.rules}
    things |= {"caution": KNOWLEDGE.cautions, "feature": KNOWLEDGE.features}
    for name in list(things[kind])[::25]:
        assert name in {row["id"] for row in shown(f"{kind} {name}", capsys)}


def test_the_text_holds_every_line_of_the_sections(capsys):
    """What JSON gives, the plain text says too."""
    rows = shown("sentinel-valve-sounding", capsys)
    main(["rules", "show", "sentinel-valve-sounding"])
    text = capsys.readouterr().out
    assert all(line in text for row in rows for lines in row["sections"].values() for line in lines)


def test_a_wrong_id_is_answered_with_the_nearest(capsys):
    """One line, with the id that was meant; exit status 2."""
    assert main(["rules", "show", "exhaust-pressur"]) == 2
    assert "Did you mean 'exhaust-pressure'?" in capsys.readouterr().err


def test_schemas_are_written_for_every_kind_of_file(tmp_path):
    """Four files, each a valid schema."""
    assert main(["rules", "schema", "--out", str(tmp_path)]) == 0
    files = sorted(path.name for path in tmp_path.iterdir())
    assert files == ["case.schema.json", "machine.schema.json", "rules.schema.json", "site.schema.json"]
    for path in tmp_path.iterdir():
        jsonschema.Draft7Validator.check_schema(json.loads(path.read_text()))

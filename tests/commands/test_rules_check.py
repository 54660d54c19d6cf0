"""``diagnose rules check`` as a planner runs it."""

import json
from argparse import Namespace
from collections import Counter
from pathlib import Path

import jsonschema
import pytest

from diagnose.commands import rules_check
from diagnose.commands.main import main
from tests.planning.page_base import MACHINE, RULES

SARIF_SCHEMAS = sorted(
    Path("~/.cache/diagnose-tests/node_modules/@microsoft/jest-sarif/lib/schemas")
    .expanduser()
    .glob("sarif-2.1.0*.json")
)
LINK = "causes: {jacket-leak: usually, gland-steam: sometimes}"


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """Give a plant's folder beside a folder of clean rules, with a cache of its own."""
    monkeypatch.setenv("DIAGNOSE_CACHE", str(tmp_path / "cache"))
    (tmp_path / "rules").mkdir()
    (tmp_path / "rules" / "base.yaml").write_text(RULES)
    (tmp_path / "site" / "machines").mkdir(parents=True)
    (tmp_path / "site" / "site.yaml").write_text("site: Sample plant\n")
    (tmp_path / "site" / "machines" / "P-1.yaml").write_text(MACHINE)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def check(*options):
    return main(["rules", "--site", "site", "check", "--rules", "rules", *options])


def own(folder, text):
    (folder / "site" / "rules").mkdir(exist_ok=True)
    (folder / "site" / "rules" / "own.yaml").write_bytes(text.encode())
    return folder / "site" / "rules" / "own.yaml"


def test_clean_rules_say_so_and_end_well(folder, capsys):
    """The counts are nought and the exit status 0."""
    assert check() == 0
    assert capsys.readouterr().out == "0 errors, 0 warnings, 0 notes.\n"


def test_a_fault_shows_its_line_and_ends_badly(folder, capsys):
    """Level, place, code, mend, the line itself and a caret under the word; exit status 1."""
    (folder / "rules" / "base.yaml").write_text(RULES.replace("jacket-leak: usually", "jacket-leek: usually"))
    assert check() == 1
    first, line, caret = capsys.readouterr().out.splitlines()[:3]
    at = RULES[: RULES.index(LINK)].count("\n") + 1
    assert first == (
        f"error: rules/base.yaml:{at}:14 unknown-cause There is no cause 'jacket-leek'. Did you mean 'jacket-leak'?"
    )
    assert line == f"{at:>5} |     causes: {{jacket-leek: usually, gland-steam: sometimes}}"
    assert caret.index("^") == line.index("jacket-leek")


def test_checks_wait_for_rules_that_can_be_read(folder, capsys):
    """With a fault of reading, nothing is said of what follows from it, and a line says that the checks wait."""
    (folder / "rules" / "base.yaml").write_text(RULES.replace("jacket-leak: usually", "jacket-leek: usually"))
    check()
    told = capsys.readouterr().out
    assert told.count("error:") == 1
    assert "cause-without-sign" not in told
    assert "wait until these are mended" in told


def test_a_warning_ends_badly_only_when_strict(folder):
    """Exit status 0, and 1 with --strict."""
    own(folder, "conditions:\n  lone: {title: Lone, source: common practice}\n")
    assert (check(), check("--strict")) == (0, 1)


def test_a_comment_accepts_a_warning_and_is_counted(folder, capsys):
    """A remark on the line, or alone above it, takes the warning away; an error stays whatever a comment says."""
    own(folder, "conditions:\n  # allow: dead-end-goal\n  lone: {title: Lone, source: common practice}\n")
    assert check("--strict") == 0
    assert capsys.readouterr().out == "0 errors, 0 warnings, 0 notes; 1 accepted by a comment.\n"
    own(folder, "# allow: unknown-section\nfoos: {}\n")
    assert check() == 1


def test_json_holds_what_the_text_says(folder, capsys):
    """Each problem with file, line, column, level, code, words and mend; and the counts."""
    own(folder, "conditions:\n  lone: {title: Lone, source: common practice}\n")
    check("--json")
    told = json.loads(capsys.readouterr().out)
    (problem,) = told["problems"]
    assert (problem["file"], problem["line"], problem["column"]) == ("site/rules/own.yaml", 2, 3)
    assert (problem["level"], problem["code"]) == ("warning", "dead-end-goal")
    assert told["counts"] == {"error": 0, "warning": 1, "note": 0, "accepted": 0}


@pytest.mark.skipif(not SARIF_SCHEMAS, reason="needs @microsoft/jest-sarif, as axe-core is installed: see .ci/run")
def test_sarif_is_valid_by_the_whole_published_schema(folder, capsys):
    """SARIF 2.1.0, all 52 definitions of its schema: with problems of every level, and with none."""
    schema = json.loads(SARIF_SCHEMAS[-1].read_text())
    validator = jsonschema.validators.validator_for(schema)(schema)
    check("--sarif")
    own(folder, "conditions:\n  lone: {title: Lone}\nfeatures: {brass-plate: {title: Plate}}\ncauses: {a: b}\n")
    check("--sarif")
    logs = capsys.readouterr().out.replace("}\n{", "}\n\n\n{").split("\n\n\n")
    assert [bool(json.loads(log)["runs"][0]["results"]) for log in logs] == [False, True]
    assert [error.message for log in logs for error in validator.iter_errors(json.loads(log))] == []


def test_sarif_names_rules_places_and_levels(folder, capsys):
    """Each result refers to a rule that the log describes; the log has the shape that its readers need."""
    own(
        folder, "conditions:\n  lone: {title: Lone, source: common practice}\nfeatures: {brass-plate: {title: Plate}}\n"
    )
    check("--sarif")
    log = json.loads(capsys.readouterr().out)
    jsonschema.validate(log, SARIF_SHAPE)
    run = log["runs"][0]
    names = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    assert {one["ruleId"]: names[one["ruleIndex"]] for one in run["results"]} == {one: one for one in names}
    assert Counter(one["level"] for one in run["results"]) == {"note": 1, "warning": 1}


def test_explain_prints_the_page(capsys):
    """The page has why, Bad, Good and Mend; a code that does not exist is answered with the nearest, status 2."""
    assert main(["rules", "check", "--explain", "same-row"]) == 0
    page = capsys.readouterr().out
    assert all(word in page for word in ("same-row (warning):", "Bad:", "Good:", "Mend:"))
    assert main(["rules", "check", "--explain", "same-rwo"]) == 2
    assert "Did you mean 'same-row'?" in capsys.readouterr().err


def test_fix_keeps_comments_order_and_line_endings(folder):
    """Tabs, misspelt keys, doubled items and missing question marks go; every other byte stays, twice the same."""
    before = (
        "# what the plant has learnt\r\nfindings:\r\n  drain:            # at the casing\r\n"
        "    ask: What comes from the drain\r\n    how: Look.\r\n    valeus: {nothing: normal, water: abnormal}\r\n"
        "    phases: [loaded, loaded, shutdown]\r\n\tsource: common practice\r\n"
    )
    file = own(folder, before.replace("\t", "\t  "))
    check("--fix")
    assert file.read_bytes().decode() == (
        before.replace("drain\r\n    how", "drain?\r\n    how")
        .replace("valeus", "values")
        .replace("loaded, loaded", "loaded")
        .replace("\t", "    ")
    )
    check("--fix")
    assert file.read_bytes().decode().count("?") == 1


def test_fix_quotes_a_text_that_a_hash_cut_off_and_moves_a_remark(folder):
    """'gauge #3' stays in the text; a remark after a blank goes above it."""
    text = (
        "rules:\n  - rule: r\n    symptom: {oil-level: low}\n    actions:\n      - who: operator\n        do: Read gauge #3.\n"
        "    source: common practice\n    reason: Seen twice # in spring\n"
    )
    file = own(folder, text)
    check("--fix")
    assert file.read_text() == text.replace("Read gauge #3.", '"Read gauge #3."').replace(
        "    reason: Seen twice # in spring", "    # in spring\n    reason: Seen twice"
    )


def test_fix_leaves_what_it_cannot_mend_as_it_was(folder):
    """A name that does not exist is told, never guessed into the file."""
    text = (
        "rules:\n  - rule: r\n    symptom: {oil-levle: low}\n    caution: water-in-oil\n    source: common practice\n"
    )
    file = own(folder, text)
    assert check("--fix") == 1
    assert file.read_text() == text


def test_watching_checks_again_when_a_file_changes(folder, capsys):
    """Two looks without a change say nothing; after a change the new fault is told and its status returned."""
    looks = iter(["", "foos: {}\n", None])

    def wait():
        text = next(looks)
        if text:
            own(folder, text)
        return text is not None

    arguments = Namespace(
        site="site", rules="rules", cases=False, only=[], level="note", strict=False, json=False, sarif=False
    )
    assert rules_check._watched(arguments, 0, wait) == 1
    assert capsys.readouterr().out.count("unknown-section") == 1


SARIF_SHAPE = {
    "type": "object",
    "required": ["version", "runs"],
    "properties": {
        "version": {"const": "2.1.0"},
        "runs": {
            "type": "array",
            "items": {
                "required": ["tool", "results"],
                "properties": {
                    "tool": {
                        "required": ["driver"],
                        "properties": {
                            "driver": {
                                "required": ["name", "rules"],
                                "properties": {"rules": {"items": {"required": ["id", "shortDescription"]}}},
                            }
                        },
                    },
                    "results": {
                        "items": {
                            "required": ["ruleId", "level", "message", "locations"],
                            "properties": {"level": {"enum": ["error", "warning", "note"]}},
                        }
                    },
                },
            },
        },
    },
}

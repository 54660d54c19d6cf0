"""The schema for editors, judged by a general validator."""

import re
from pathlib import Path

import jsonschema
import pytest
import yaml

from diagnose.knowledge.library import demo_site, load, load_texts, shipped_cases, shipped_rules
from diagnose.planning.json_schema import FILES, json_schema
from diagnose.planning.schema_words import KEYS
from tests.planning.broken.breakages import TYPO, WORD

KNOWLEDGE = load(site=demo_site()).knowledge
NUMBER = re.compile(r"[-+]?(\d+(\.\d*)?|\.\d+)")


def as_an_editor_reads(text):
    """Read YAML as the servers behind editors do: numbers, true and false are such, all else is text."""

    def typed(node):
        if isinstance(node, yaml.MappingNode):
            return {key.value: typed(value) for key, value in node.value}
        if isinstance(node, yaml.SequenceNode):
            return [typed(one) for one in node.value]
        if node.style is None and NUMBER.fullmatch(node.value):
            return float(node.value)
        if node.style is None and node.value in ("true", "false", ""):
            return {"true": True, "false": False, "": None}[node.value]
        return node.value

    return typed(yaml.compose(text, Loader=yaml.SafeLoader))


def validator(file, knowledge=KNOWLEDGE):
    return jsonschema.Draft7Validator(json_schema(file, knowledge))


@pytest.mark.parametrize("file", FILES)
def test_each_schema_keeps_to_draft_07(file):
    """The published metaschema has nothing against it, and every reference in it leads somewhere."""
    schema = json_schema(file, KNOWLEDGE)
    jsonschema.Draft7Validator.check_schema(schema)
    targets = re.findall(r"'\$ref': '#/definitions/([^']+)'", repr(schema))
    assert set(targets) <= schema["definitions"].keys()


@pytest.mark.parametrize("path", sorted(shipped_rules().glob("*.yaml")), ids=lambda path: path.stem)
def test_the_shipped_rules_fit_the_schema(path):
    """What the loader reads without a fault, an editor does not mark."""
    assert [one.message[:200] for one in validator("rules").iter_errors(as_an_editor_reads(path.read_text()))] == []


@pytest.mark.parametrize("path", sorted((demo_site() / "machines").glob("*.yaml")), ids=lambda path: path.stem)
def test_the_machines_of_the_demo_site_fit_the_schema(path):
    """Each profile fits; so does the site's own file."""
    assert list(validator("machine").iter_errors(as_an_editor_reads(path.read_text()))) == []
    site = as_an_editor_reads((demo_site() / "site.yaml").read_text())
    assert list(validator("site").iter_errors(site)) == []


def test_the_shipped_cases_fit_the_schema():
    """Every shipped case file fits."""
    check = validator("case")
    files = [path for path in shipped_cases().rglob("*.yaml") if "demo-site" not in path.parts]
    assert files
    assert [path.name for path in files if not check.is_valid(as_an_editor_reads(path.read_text()))] == []


def test_an_editor_marks_misspelt_keys_and_wrong_words():
    """At least three in four are marked; the rest are names that another file might define."""
    texts, _ = TYPO[0].texts()
    texts["rules/exhaust.yaml"] = (Path(__file__).parent / "broken" / "rules" / "exhaust.yaml").read_text()
    check = validator("rules", load_texts(texts)[0])
    slips = [*TYPO, *WORD]
    missed = [one.name for one in slips if check.is_valid(as_an_editor_reads(one.texts()[0][f"rules/{one.file}"]))]
    print(len(missed), len(slips), missed)
    assert len(missed) <= len(slips) / 4, missed


def test_every_key_of_the_tables_is_described():
    """An editor shows a sentence beside each key of rules files."""
    schema = json_schema("rules", KNOWLEDGE)
    sections = schema["properties"]
    items = [one.get("additionalProperties") or one.get("items") for one in sections.values()]
    keys = {key for item in items if isinstance(item, dict) for key in item.get("properties", {})}
    assert keys <= KEYS.keys()

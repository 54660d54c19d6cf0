"""The format of the files as JSON Schema, draft-07, made from the very tables the loader reads by.

Editors complete and check with it while somebody types. It says less than the loader: an editor sees one file.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from diagnose.knowledge.cases import CASE
from diagnose.knowledge.causes import CAUSE, CAUTION, FEATURE
from diagnose.knowledge.checks import CHECK
from diagnose.knowledge.findings import CONDITION, FINDING
from diagnose.knowledge.plant import MACHINE, SITE
from diagnose.knowledge.rules import RULE
from diagnose.knowledge.scale import SCALES
from diagnose.knowledge.structure import KINDS
from diagnose.planning.schema_fields import Shapes
from diagnose.planning.schema_words import SECTIONS

if TYPE_CHECKING:
    from diagnose.knowledge.fields import Table
    from diagnose.knowledge.model import Knowledge

__all__ = ["FILES", "json_schema"]

FILES = ("rules", "machine", "site", "case")
DRAFT = "http://json-schema.org/draft-07/schema#"
_SECTION_TABLES: dict[str, Table] = {
    "features": FEATURE,
    "findings": FINDING,
    "conditions": CONDITION,
    "causes": CAUSE,
    "cautions": CAUTION,
    "checks": CHECK,
}
_ID = {"pattern": "^[a-z0-9]+(-[a-z0-9]+)*$"}


def json_schema(file: str, knowledge: Knowledge) -> dict[str, Any]:
    """Return the schema of one kind of file; the knowledge gives the names that an editor can offer."""
    shapes = Shapes(knowledge)
    whole = {
        "rules": lambda: _rules(shapes),
        "machine": lambda: shapes.table(MACHINE),
        "site": lambda: shapes.table(SITE),
        "case": lambda: _cases(shapes),
    }[file]()
    return {"$schema": DRAFT, "title": f"diagnose: a {file} file", **whole, "definitions": shapes.definitions()}


def _rules(shapes: Shapes) -> dict[str, Any]:
    missing = KINDS.keys() - _SECTION_TABLES.keys() - {"rules", "sources"}
    if missing:
        raise KeyError(*missing)
    properties: dict[str, Any] = {
        "subsystem": shapes.text,
        "scales": shapes.table(SCALES),
        "switch-off": {"type": "array", "items": shapes.text},
        "sources": {"type": "object", "propertyNames": _ID, "additionalProperties": shapes.text},
        "rules": {"type": "array", "items": shapes.table(RULE)},
    }
    for section, table in _SECTION_TABLES.items():
        properties[section] = {
            "type": ["object", "null"],
            "propertyNames": _ID,
            "additionalProperties": shapes.table(table),
        }
    described = {name: {"description": SECTIONS[name], **shape} for name, shape in properties.items()}
    return {"type": "object", "properties": described, "additionalProperties": False}


def _cases(shapes: Shapes) -> dict[str, Any]:
    case = shapes.table(CASE)
    return {"anyOf": [case, {"type": "array", "items": case}]}

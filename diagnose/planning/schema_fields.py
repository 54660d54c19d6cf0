"""Each sort of value that the loader reads, as a piece of JSON Schema."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from diagnose.knowledge import fields, layout, plant
from diagnose.knowledge.causes import ACTION
from diagnose.knowledge.limits import COMPARISONS, RATED
from diagnose.knowledge.links import LINK
from diagnose.knowledge.model import PHASES
from diagnose.knowledge.when import SHARES
from diagnose.planning.schema_words import KEYS
from diagnose.values.quantity import CANONICAL_UNITS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from diagnose.knowledge.fields import Table
    from diagnose.knowledge.model import Knowledge

__all__ = ["Shapes"]

Shape = dict[str, Any]
_TEXT: Shape = {"type": ["string", "number", "boolean"]}  # editors take 012 and true for more than text; we do not
_KINDS = ("feature", "finding", "cause", "rule", "caution", "machine")
_ID = "^[a-z0-9]+(-[a-z0-9]+)*$"
_MACHINE = "^[A-Za-z0-9]+(-[A-Za-z0-9]+)*$"


class Shapes:
    """Makes the pieces; the names of findings, causes and so on become what an editor offers, never all it allows."""

    def __init__(self, knowledge: Knowledge) -> None:
        self.knowledge = knowledge
        self.text = _TEXT
        self._by_field: dict[str, Callable[[Any], Shape]] = {
            "Prose": self._prose,
            "Source": lambda _: _ref("source"),
            "Word": lambda word: {"enum": _as_read(word.allowed)},
            "ScaleWord": lambda word: {"enum": list(getattr(knowledge.scales, word.scale))},
            "Identifier": lambda one: {"type": "string", "pattern": _MACHINE if one.machine else _ID},
            "Name": lambda name: _ref(name.kind),
            "Number": lambda number: {"type": "number", "minimum": number.low, "maximum": number.high},
            "Amount": lambda _: _TEXT,
            "Day": lambda _: {"type": "string", "format": "date"},
            "Several": self._several,
            "Pairs": self._pairs,
            "Table": self.table,
            "FindingValues": lambda wanted: _ref("some-values" if wanted.many else "one-value"),
            "When": lambda _: _ref("condition"),
            "Actions": lambda _: _ref("action"),
            "Links": lambda _: _ref("causes"),
            "_Value": lambda _: _TEXT,
            "_InUnit": lambda _: _TEXT,
            "_AsWritten": lambda _: _TEXT,
            "_AsTyped": lambda _: _TEXT,
            "_Measured": lambda _: _TEXT,
            "_Stretch": lambda _: {"type": "string", "pattern": r"^\d{4}-\d\d-\d\d to \d{4}-\d\d-\d\d$"},
            "_Unit": lambda _: {"enum": list(CANONICAL_UNITS)},
            "_Units": lambda _: {"type": "object", "additionalProperties": {"type": "string"}},
            "_Limits": lambda _: {"type": "object", "additionalProperties": _TEXT},
            "_Rated": lambda _: _closed({name.removeprefix("rated-"): _TEXT for name in RATED}),
            "_Answers": lambda _: _open(dict.fromkeys(knowledge.findings, _TEXT)),
            "_MachineOrProfile": lambda _: {"anyOf": [_ref("machine"), self.table(plant.MACHINE)]},
            "_Sets": lambda _: _list(_list(_ref("cause"))),
            "Rounds": lambda _: self.table(layout.TABLE),
        }

    def field(self, field: Any) -> Shape:  # noqa: ANN401  any field of the loader
        """Return the piece for a field; raises KeyError for one that is not known here."""
        return self._by_field[type(field).__name__](field)

    def table(self, table: Table) -> Shape:
        """Return the piece for a mapping with fixed keys."""
        properties = {name: _said(name, self.field(key.field)) for name, key in table.keys.items()}
        needed = [name for name, key in table.keys.items() if key.needed]
        return {**_closed(properties), **({"required": needed} if needed else {})}

    def definitions(self) -> Shape:
        """Return the pieces that others refer to."""
        knowledge = self.knowledge
        names = {kind: _offered(self._names(kind)) for kind in _KINDS}
        words = {"enum": list(self.knowledge.scales.frequency)}
        link = {"anyOf": [words, self.table(LINK)]}
        return {
            **names,
            "source": _offered(["common practice", "from memory", *knowledge.sources]),
            "link": link,
            "action": self.table(ACTION),
            "causes": {
                "type": "object",
                "properties": dict.fromkeys(knowledge.causes, _ref("link")),
                "additionalProperties": _ref("link"),
            },
            "condition": self._condition(),
            "one-value": self._finding_values(many=False),
            "some-values": self._finding_values(many=True),
        }

    def _condition(self) -> Shape:
        again = _ref("condition")
        several = {"type": "array", "items": again, "minItems": 1}
        numbers = [name for name, one in self.knowledge.findings.items() if one.reading]
        keywords: Shape = {
            "reading": _offered(numbers),
            **dict.fromkeys((*COMPARISONS, *SHARES), _TEXT),
            "phase": _one_or_more({"enum": list(PHASES)}),
            "feature": _one_or_more(_ref("feature")),
            "not": again,
            "unknown": _ref("finding"),
            "any-of": several,
            "all-of": several,
            "count": several,
            "machine": {"type": "string", "pattern": r"^\$[A-Za-z0-9]+$"},
            "other-than": _one_or_more({"type": "string", "pattern": r"^\$[A-Za-z0-9]+$"}),
        }
        values = {
            name: _one_or_more({"enum": _as_read(one.values)} if one.values else _TEXT)
            for name, one in self.knowledge.findings.items()
        }
        described = {name: _said(name, shape) for name, shape in keywords.items()}
        return {**_open({**described, **values}), "minProperties": 1}

    def _prose(self, prose: fields.Prose) -> Shape:
        return {"type": "string", "pattern": r"\?\s*$"} if prose.ends == "?" else _TEXT

    def _several(self, several: fields.Several[Any]) -> Shape:
        item = self.field(several.item)
        return {"anyOf": [item, {**_list(item), "minItems": several.at_least}]}

    def _pairs(self, pairs: fields.Pairs[Any]) -> Shape:
        value = self.field(pairs.value)
        names = self._names(pairs.key.kind) if isinstance(pairs.key, fields.Name) else []
        return {"type": "object", "properties": dict.fromkeys(names, value), "additionalProperties": value}

    def _finding_values(self, *, many: bool) -> Shape:
        properties = {}
        for name, finding in self.knowledge.findings.items():
            words = {"enum": _as_read(finding.values)} if finding.values else _TEXT
            properties[name] = _one_or_more(words) if many else words
        return {"type": "object", "properties": properties, "minProperties": 1}

    def _names(self, kind: str) -> list[str]:
        knowledge = self.knowledge
        known: dict[str, Iterable[str]] = {
            "feature": knowledge.features,
            "finding": knowledge.findings,
            "cause": knowledge.causes,
            "rule": knowledge.rules,
            "caution": knowledge.cautions,
            "machine": knowledge.site.machines,
        }
        return list(known[kind])


def _ref(name: str) -> Shape:
    return {"$ref": f"#/definitions/{name}"}


def _as_read(words: Iterable[str]) -> list[Any]:
    """Give the words, and true and false also as an editor's parser reads them."""
    listed: list[Any] = list(words)
    return [*listed, *(word == "true" for word in listed if word in ("true", "false"))]


def _offered(names: Iterable[str]) -> Shape:
    """Offer the names to complete with, and allow any text: another file may define more."""
    return {"anyOf": [{"enum": list(names)}, _TEXT]}


def _list(item: Shape) -> Shape:
    return {"type": "array", "items": item}


def _one_or_more(item: Shape) -> Shape:
    return {"anyOf": [item, {**_list(item), "minItems": 1}]}


def _closed(properties: Shape) -> Shape:
    return {"type": "object", "properties": properties, "additionalProperties": False}


def _open(properties: Shape) -> Shape:
    return {"type": "object", "properties": properties}


def _said(name: str, shape: Shape) -> Shape:
    return {"description": KEYS[name], **shape} if name in KEYS else shape

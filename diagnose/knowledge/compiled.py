"""Checked knowledge as compact JSON, for a cache; data only, so that nothing in it can run.

One array a thing, its columns those of the model's class in their order. Places name their file by number; sets of
words that many things share stand once. A checksum in front tells damage from knowledge.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import Any

from diagnose.knowledge import model
from diagnose.knowledge.model import Knowledge
from diagnose.values.problem import Place
from diagnose.values.quantity import Quantity

__all__ = ["FORMAT", "decode", "encode", "fingerprint"]

FORMAT = 5  # to be raised whenever this module changes what is written

_CHECKSUM = 32  # characters
_CONDITIONS = (
    model.Compare,
    model.Holds,
    model.Unknown,
    model.Not,
    model.AnyOf,
    model.AllOf,
    model.CountOf,
    model.MachineHolds,
)
_ITEMS = (model.Feature, model.Finding, model.Cause, model.Rule, model.Caution, model.Check, model.Machine)
_Decoder = Callable[[Any], Any] | None  # None: the value is what JSON gives


def fingerprint(files: Iterable[tuple[str, bytes | None]]) -> str:
    """Give a hash of names and contents in order of the names, 32 hexadecimal digits; None stands for no content."""
    digest = hashlib.blake2b(digest_size=_CHECKSUM // 2)
    for name, content in sorted(files, key=lambda file: file[0]):
        digest.update(f"{name!r} {-1 if content is None else len(content)}\n".encode())
        digest.update(content or b"")
    return digest.hexdigest()


def encode(knowledge: Knowledge) -> bytes:
    """Write knowledge as a checksum and a line of JSON."""
    files: dict[str, int] = {}
    sets: dict[frozenset[str], int] = {}
    rows = _plain(knowledge, files, sets)
    tables = {"files": list(files), "sets": [sorted(one) for one in sets], "knowledge": rows}
    payload = json.dumps(tables, ensure_ascii=False, separators=(",", ":")).encode()
    return fingerprint([("", payload)]).encode() + payload


def decode(written: bytes) -> Knowledge | None:
    """Read what ``encode`` wrote; None when it is damaged or has another shape."""
    payload = written[_CHECKSUM:]
    if fingerprint([("", payload)]).encode() != written[:_CHECKSUM]:
        return None
    try:
        tables = json.loads(payload)
        knowledge = _Decoders(tables["files"], tables["sets"]).rows(Knowledge)(tables["knowledge"])
    except (ValueError, KeyError, TypeError, IndexError):
        return None
    return knowledge if isinstance(knowledge, Knowledge) else None


def _plain(value: Any, files: dict[str, int], sets: dict[frozenset[str], int]) -> Any:  # noqa: ANN401  any of the model
    def plain(inner: Any) -> Any:  # noqa: ANN401
        return _plain(inner, files, sets)

    if isinstance(value, Place):
        return [files.setdefault(value.file, len(files)), value.line, value.column]
    if isinstance(value, frozenset):
        return sets.setdefault(value, len(sets))
    if isinstance(value, Mapping):
        if value and isinstance(next(iter(value.values())), _ITEMS):
            return [plain(item) for item in value.values()]
        return {key: plain(inner) for key, inner in value.items()}
    if isinstance(value, Quantity):
        return [value.value, value.unit, value.note]
    if isinstance(value, tuple):
        row = [plain(inner) for inner in value]
        return [_CONDITIONS.index(type(value)), *row] if isinstance(value, _CONDITIONS) else row
    return value


class _Decoders:
    """How a column is read back, by the type that the model gives it."""

    def __init__(self, files: list[str], sets: list[list[str]]) -> None:
        shared = [frozenset(one) for one in sets]

        def place(row: list[int]) -> Place:
            return Place(files[row[0]], row[1], row[2])

        self._by_type: dict[str, _Decoder] = {
            **dict.fromkeys(("str", "float", "int", "bool", "str | None"), None),
            "Place": place,
            "frozenset[str]": shared.__getitem__,
            **dict.fromkeys(("tuple[str, ...]", "tuple[float, float]"), tuple),
            "tuple[str, str] | None": lambda row: row and tuple(row),
            **dict.fromkeys((f"Mapping[str, {one}]" for one in ("str", "bool", "float")), MappingProxyType),
            "Mapping[str, frozenset[str]]": _mapped(shared.__getitem__),
            "Mapping[str, Place]": _mapped(place),
        }
        self._by_type |= {
            "Reading | None": _optional(self.rows(model.Reading)),
            "Quantity | None": _optional(self.rows(Quantity)),
            "Mapping[str, Quantity]": _mapped(self.rows(Quantity)),
        }
        self._by_type |= {
            "tuple[Action, ...]": _each(self.rows(model.Action)),
            "tuple[Link, ...]": _each(self.rows(model.Link)),
            "Limit": self.rows(model.Limit),
            "Condition": self._condition,
            "tuple[Condition, ...]": _each(self._condition),
            "Scales": self.rows(model.Scales),
            "Review | None": _optional(self.rows(model.Review)),
            "RoundsLayout | None": _optional(self.rows(model.RoundsLayout)),
        }
        self._conditions = [self.rows(one) for one in _CONDITIONS]
        self._by_type |= {f"Mapping[str, {one.__name__}]": _by_id(self.rows(one)) for one in _ITEMS}
        self._by_type["Site"] = self.rows(model.Site)

    def rows(self, what: type) -> Callable[[list[Any]], Any]:
        """Give the decoder of one class: an array of its columns becomes an instance."""
        columns = what.__annotations__
        changed = [
            (at, decoder)
            for at, column in enumerate(columns.values())
            if (decoder := self._by_type[getattr(column, "__forward_arg__", column)]) is not None
        ]

        def read(row: list[Any]) -> Any:  # noqa: ANN401  an instance of ``what``
            if len(row) != len(columns):
                raise ValueError(what)
            for at, decoder in changed:
                row[at] = decoder(row[at])
            return what(*row)

        return read

    def _condition(self, row: list[Any]) -> Any:  # noqa: ANN401  a model.Condition
        return self._conditions[row[0]](row[1:])


def _optional(read: Callable[[Any], Any]) -> Callable[[list[Any] | None], Any]:
    return lambda row: row and read(row)


def _each(read: Callable[[Any], Any]) -> Callable[[list[Any]], tuple[Any, ...]]:
    return lambda rows: tuple([read(row) for row in rows])


def _mapped(read: Callable[[Any], Any]) -> Callable[[dict[str, Any]], Mapping[str, Any]]:
    return lambda rows: MappingProxyType({key: read(row) for key, row in rows.items()})


def _by_id(read: Callable[[Any], Any]) -> Callable[[Iterable[Any]], Mapping[str, Any]]:
    def decoded(rows: Iterable[Any]) -> Mapping[str, Any]:
        items = [read(row) for row in rows]
        return MappingProxyType({item.id: item for item in items})

    return decoded

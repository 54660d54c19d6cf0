"""Cases: recorded or invented consultations with a known cause, for regression and for quizzes."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING

from diagnose.knowledge.fields import Identifier, Key, Name, Number, Pairs, Prose, Several, Source, Table, Word, is_text
from diagnose.knowledge.model import PHASES, Case, Expectation, Finding, Machine
from diagnose.knowledge.nodes import Listing, Mapping, Node, Text
from diagnose.knowledge.plant import read_machine
from diagnose.values import quantity
from diagnose.values.names import did_you_mean
from diagnose.values.quantity import QuantityError
from diagnose.values.text import one_line

if TYPE_CHECKING:
    from collections.abc import Iterator

    from diagnose.knowledge.link import Names

__all__ = ["ANSWERS", "CASE", "read_cases"]

_CANNOT_TELL = ("can't tell", "cannot tell", "not sure")


class _Answers:
    """What is answered to each finding, as an operator would type it."""

    def read(self, node: Node, names: Names) -> dict[str, str] | None:
        """Give the answers that the finding can take."""
        texts = Pairs(Name("finding"), _AsTyped()).read(node, names)
        if texts is None:
            return None
        return {name: text.text for name, text in texts.items() if _fits(name, text, names)}


class _AsTyped:
    """Text kept with its place."""

    def read(self, node: Node, names: Names) -> Text | None:
        """Give the node."""
        return is_text(node, names, "an answer")


class _MachineOrProfile:
    """The id of a machine of the site, or a profile written out."""

    def read(self, node: Node, names: Names) -> str | Machine | None:
        """Give the id or the profile."""
        return read_machine(node, names) if isinstance(node, Mapping) else Name("machine").read(node, names)


class _Sets:
    """Lists of causes, each a set that counts as right."""

    def read(self, node: Node, names: Names) -> tuple[frozenset[str], ...] | None:
        """Give the sets."""
        if not isinstance(node, Listing):
            names.report(node.place, "wrong-shape", "Here stands a list of lists.", "Write [[cause], [cause, cause]].")
            return None
        read = (Several(Name("cause")).read(item, names) for item in node.items if item is not None)
        return tuple(frozenset(causes) for causes in read if causes)


_EXPECT = Table("what is expected", {"rank": Key(Number(1, 50)), "within-questions": Key(Number(0, 100))})

CASE = Table(
    "a case",
    {
        "case": Key(Identifier(), needed=True),
        "title": Key(Prose(), needed=True),
        "machine": Key(_MachineOrProfile(), needed=True),
        "phase": Key(Word(PHASES), needed=True),
        "reported": Key(_Answers(), needed=True),
        "answers": Key(_Answers()),
        "others": Key(Pairs(Name("machine"), _Answers())),
        "unlisted": Key(Word(("normal", "unknown"))),
        "true-causes": Key(Several(Name("cause")), needed=True),
        "accept": Key(_Sets()),
        "must-caution": Key(Several(Name("caution"))),
        "must-not-caution": Key(Several(Name("caution"))),
        "expect": Key(_EXPECT),
        "teaches": Key(Prose()),
        "source": Key(Source(), needed=True),
    },
)


_SAID = Key(Pairs(Prose(short=True), Prose(short=True)))
ANSWERS = Table(
    "an answers file",
    {
        "machine": Key(Identifier(machine=True)),
        "phase": Key(Word(PHASES)),
        "reported": _SAID,
        "answers": _SAID,
        "others": Key(Pairs(Identifier(machine=True), Pairs(Prose(short=True), Prose(short=True)))),
    },
)


def read_cases(tree: Node, names: Names) -> Iterator[Case]:
    """Read a file that holds one case, or a list of them."""
    for node in tree.items if isinstance(tree, Listing) else [tree]:
        case = _case(node, names) if node is not None else None
        if case is not None:
            yield case


def _case(node: Node, names: Names) -> Case | None:
    row = CASE.read(node, names) or {}
    name: str = row.get("case", "")
    if not name or not isinstance(node, Mapping):
        return None
    machine = row.get("machine", "")
    profile = machine if isinstance(machine, Machine) else None
    expect = {key.replace("-", "_"): int(number) for key, number in row.get("expect", {}).items()}
    contrary = set(row.get("must-caution", ())) & set(row.get("must-not-caution", ()))
    if contrary:
        says = f"'{one_line(min(contrary))}' must be raised and must not be."
        names.report(node.keys["must-not-caution"], "contrary", says, "Delete one of them.")
    return Case(
        id=name,
        title=row.get("title", name),
        machine=profile.id if profile else machine,
        profile=profile,
        phase=row.get("phase", "loaded"),
        reported=MappingProxyType(row.get("reported", {})),
        answers=MappingProxyType(row.get("answers", {})),
        others=MappingProxyType({one: MappingProxyType(said) for one, said in row.get("others", {}).items()}),
        unlisted=row.get("unlisted", "normal"),
        true_causes=frozenset(row.get("true-causes", ())),
        accept=row.get("accept", ()),
        must_caution=frozenset(row.get("must-caution", ())),
        must_not_caution=frozenset(row.get("must-not-caution", ())),
        expect=Expectation(**expect),
        teaches=row.get("teaches", ""),
        source=row.get("source", ""),
        place=node.keys["case"],
    )


def _fits(name: str, text: Text, names: Names) -> bool:
    """Tell whether the finding can take the answer: a value, perhaps after 'not sure', can't tell, or a number."""
    finding = names.findings.get(name)
    said = " ".join(text.text.split())
    if finding is None or said in _CANNOT_TELL:
        return True
    said = said.removeprefix("not sure ")
    values = _values(finding, names)
    if said in values:
        return True
    if finding.reading:
        return _is_reading(said, finding, text, names)
    says = f"'{name}' has no value '{one_line(said)}'."
    names.report(text.place, "unknown-value", says, did_you_mean(said, values))
    return False


def _values(finding: Finding, names: Names) -> tuple[str, ...]:
    judge = names.findings.get(finding.judged_as or "")
    return (*finding.values, *(judge.values if judge else ()))


def _is_reading(said: str, finding: Finding, text: Text, names: Names) -> bool:
    if finding.reading is None:
        return False
    try:
        quantity.read(said, finding.reading.unit, plausible=finding.reading.plausible)
    except QuantityError as error:
        names.report(text.place, "wrong-quantity", error.says, error.mend)
        return False
    return True

"""The face of the package, and what it promises in words."""

from __future__ import annotations

import ast
import doctest
import re
import sys
from pathlib import Path

import pytest

import diagnose.engine
from diagnose.engine import BadRule, Engine, Fact, Match, Rule, Var

HOUSE = Path(diagnose.engine.__file__).parent
x, y = Var("x"), Var("y")
TRADE = [
    "turbine",
    "steam",
    "oil",
    "bearing",
    "vibration",
    "exhaust",
    "governor",
    "pump",
    "fan",
    "compressor",
    "machine",
    "plant",
    "site",
    "operator",
    "supervisor",
    "maintenance",
    "caution",
    "finding",
    "symptom",
    "cause",
    "diagnosis",
    "diagnose",
    "reading",
    "phase",
    "repair",
    "gauge",
    "consultation",
]


def test_the_example_runs():
    """The family tree in the package's docstring gives what it says."""
    outcome = doctest.testmod(diagnose.engine)
    assert (outcome.failed, outcome.attempted > 8) == (0, True)


@pytest.mark.parametrize("module", sorted(HOUSE.glob("*.py")), ids=lambda path: path.name)
def test_no_word_of_any_trade(module):
    """The text of the engine has no word of the trade it is used in, save where it means something else."""
    text = module.read_text(encoding="utf-8").lower()
    for other_sense in (
        "from diagnose.engine import",
        "truth maintenance",
        "import operator",
        "operator.",
        "from operator import",
    ):
        text = text.replace(other_sense, "")
    assert [word for word in TRADE if re.search(rf"\b{word}s?\b", text)] == []


@pytest.mark.parametrize("module", sorted(HOUSE.glob("*.py")), ids=lambda path: path.name)
def test_the_standard_library_is_enough(module):
    """Each module imports the standard library and its own package only."""
    for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            assert all(name.name.split(".")[0] in sys.stdlib_module_names for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 1 or node.module.split(".")[0] in sys.stdlib_module_names


def test_every_public_name_is_there():
    """Each name that the package says it offers is offered, and explains itself."""
    for name in diagnose.engine.__all__:
        assert getattr(diagnose.engine, name).__doc__ or name == "Condition"


def test_the_views_follow_and_cannot_be_written():
    """The sets of facts and of told facts follow the engine, compare with sets, and have no way to be changed."""
    engine = Engine([Rule("r", (Match(x, "is", 1),), (Fact(x, "was", 1),))])
    facts, told = engine.facts, engine.told
    engine.tell(Fact("a", "is", 1))
    assert facts == {Fact("a", "is", 1), Fact("a", "was", 1)}
    assert told == {Fact("a", "is", 1)}
    assert facts - told == frozenset({Fact("a", "was", 1)})
    assert len(facts) == 2
    assert Fact("a", "was", 1) in facts
    assert Fact("a", "was", 1) not in told
    assert "nonsense" not in facts
    assert not hasattr(facts, "add")
    assert repr(told) == "{Fact(entity='a', attribute='is', value=1)}"


def test_values_in_the_order_in_which_they_came():
    """All values of one attribute of one entity are listed, told or concluded, the first to come first."""
    engine = Engine([Rule("r", (Match("a", "is", "big"),), (Fact("a", "is", "heavy"),))])
    engine.tell(Fact("a", "is", "red"), Fact("a", "is", "big"), Fact("b", "is", "small"))
    assert engine.values("a", "is") == ["red", "big", "heavy"]
    assert engine.values("c", "is") == []


def test_asking_for_what_cannot_be_a_fact():
    """Whether an unhashable thing stands is answered no, not with a traceback."""
    assert not Engine([]).holds(Fact("a", "is", []))


def test_only_rules_make_an_engine():
    """Anything but a rule among the rules is refused by what it is."""
    with pytest.raises(BadRule, match="'not a rule' is not a Rule"):
        Engine(["not a rule"])


def test_a_change_can_be_read():
    """A change prints what was added, removed and fired."""
    engine = Engine([Rule("r", (Match(x, "is", 1),), (Fact(x, "was", 1),))])
    assert repr(engine.tell(Fact("a", "is", 1))).endswith(
        "removed=(), fired=(Firing(rule='r', fact=Fact(entity='a', attribute='was', value=1)),))"
    )

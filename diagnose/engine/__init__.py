"""Forward chaining with truth maintenance, for any subject; it stands on the standard library alone.

Facts say that an entity has a value of an attribute. Rules say which facts follow from which. The engine keeps what
follows settled after every step, takes it back when its grounds go, and can say why.

A family tree:

>>> from diagnose.engine import Engine, Fact, Match, Not, Rule, Var
>>> x, y, z = Var("x"), Var("y"), Var("z")
>>> engine = Engine([
...     Rule("parents", (Match(x, "parent", y),), (Fact(x, "ancestor", y),)),
...     Rule("their-ancestors", (Match(x, "parent", y), Match(y, "ancestor", z)), (Fact(x, "ancestor", z),)),
...     Rule("last", (Match(x, "ancestor", y), Not(Match(y, "parent", z))), (Fact(y, "last-of-line", True),)),
... ])
>>> change = engine.tell(Fact("Ada", "parent", "Ben"), Fact("Ben", "parent", "Cleo"))
>>> engine.values("Ada", "ancestor")
['Ben', 'Cleo']
>>> [firing.rule for firing in change.fired]
['parents', 'parents', 'their-ancestors', 'last', 'last']

Why a fact stands, down to what was told, and on which absences it relies:

>>> for depth, support in engine.why(Fact("Cleo", "last-of-line", True)).walk():
...     print("  " * depth + " ".join(map(str, support.fact)), "by", support.rule, *support.absences)
Cleo last-of-line True by last Not(conditions=(Match(entity='Cleo', attribute='parent', value=Var(name='z')),))
  Ben ancestor Cleo by parents
    Ben parent Cleo by None

Why another does not stand:

>>> [miss] = engine.why_not(Fact("Ben", "last-of-line", True))
>>> miss.unmet[0].facts
(Fact(entity='Ben', attribute='parent', value='Cleo'),)

Taking back:

>>> engine.withdraw(Fact("Ben", "parent", "Cleo")).removed[-1]
Fact(entity='Cleo', attribute='last-of-line', value=True)
>>> engine.holds(Fact("Ben", "last-of-line", True))
True

What always holds:

- No order of telling and no history of taking back changes what stands; rank, number of conditions and order of rules
  decide only what fires first.
- A rule fires once for each way in which its conditions hold, however often it is looked at.
- Facts that support each other in a circle fall with what they rested on.
- Nothing runs for ever: rules conclude about things that were named, never about new ones.
- Absence (``Not``, ``Unknown``, a count with ``at_most``) is judged when no rule can change it any more. Rules
  for which there is no such time raise UnsettledRules, which names the cycle.
- A fact that was told stands until it is taken back, and then still stands if it follows.
"""

from .conditions import AllOf, AnyOf, Condition, Count, CountDistinct, Guard, Match, Not, Unknown
from .engine import Change, Engine, FactsView, Firing
from .explain import Asked, NearMiss, Support
from .facts import BadFact, Fact, Test, Var
from .rules import BadRule, Rule
from .strata import UnsettledRules

__all__ = [
    "AllOf",
    "AnyOf",
    "Asked",
    "BadFact",
    "BadRule",
    "Change",
    "Condition",
    "Count",
    "CountDistinct",
    "Engine",
    "Fact",
    "FactsView",
    "Firing",
    "Guard",
    "Match",
    "NearMiss",
    "Not",
    "Rule",
    "Support",
    "Test",
    "Unknown",
    "UnsettledRules",
    "Var",
]

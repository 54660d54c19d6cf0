"""Cases for the small rule base of the pages."""

from diagnose.knowledge.build import cases_from
from tests.planning.page_base import laid

CASES = """
- case: oil-milky
  title: Oil turned white
  machine: P-1
  phase: loaded
  reported: {oil-look: milky}
  answers: {oil-level: at-mark}
  true-causes: [jacket-leak]
  must-caution: [water-in-oil]
  source: common practice
- case: exhaust-tight
  title: Exhaust pressure up
  machine: P-1
  phase: loaded
  reported: {exhaust-pressure: 4 bar gauge}
  true-causes: [exhaust-shut]
  must-caution: [casing-pressure]
  source: common practice
"""


def knowledge(example=""):
    """Give the knowledge of the page base with an example over it; it must hold no fault."""
    base, problems = laid(example)
    assert not problems, problems
    return base.knowledge


def cases(known):
    """Give the two cases."""
    read, problems = cases_from({"cases.yaml": CASES}, known)
    assert not problems, problems
    return read

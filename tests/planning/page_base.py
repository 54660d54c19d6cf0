"""A small rule base with nothing to complain of, over which the examples of the pages are laid as a site's rules."""

from diagnose.knowledge.library import load_texts
from diagnose.planning.rule_base import RuleBase

RULES = """
features:
  sentinel-valve: {title: Sentinel valve}
findings:
  oil-look:
    ask: What does the bearing oil look like?
    how: Draw a little into a clean glass.
    values: {clear: normal, milky: abnormal}
    also-called: [white oil]
    source: common practice
  oil-level:
    ask: Where does the oil level stand?
    how: Look at the gauge glass.
    values: {at-mark: normal, low: abnormal}
    also-called: [oil low]
    source: common practice
  noise:
    ask: How does it sound?
    how: Listen.
    values: {even: normal, knocking: abnormal}
    also-called: [knocks]
    source: common practice
  sentinel:
    ask: Is the sentinel valve sounding?
    how: Listen from a distance.
    values: {silent: normal, sounding: abnormal}
    needs: [sentinel-valve]
    also-called: [whistle]
    source: common practice
  oil-sample:
    ask: What does the laboratory find in the oil?
    who: maintenance
    values: {nothing: normal, water: abnormal}
    source: common practice
  exhaust-pressure:
    ask: What does the exhaust gauge read?
    how: Read it at the casing.
    reading: {unit: bar gauge, plausible: [-1, 30], accuracy: 0.1}
    also-called: [back pressure]
    source: common practice
  bare-reading:
    ask: What does the second gauge read?
    how: Read it at the casing.
    reading: {unit: bar gauge, plausible: [-1, 30]}
    also-called: [second gauge]
    source: common practice
conditions:
  exhaust-level:
    title: Exhaust pressure against its limit
    values: {normal: normal, high: abnormal}
    judged-from: [exhaust-pressure]
    source: common practice
causes:
  jacket-leak:
    title: Cooling jacket leaks
    how-common: seldom
    if-left: The bearing rusts.
    put-right: [{who: maintenance, do: Test the jacket.}]
    source: common practice
  gland-steam:
    title: Gland steam blows into the housing
    how-common: seldom
    if-left: Water collects in the oil.
    put-right: [{who: operator, do: Tell the supervisor.}]
    source: common practice
  exhaust-shut:
    title: Exhaust valve not open
    how-common: seldom
    if-left: The relief valve lifts.
    put-right: [{who: supervisor, do: Decide on a stop.}]
    source: common practice
cautions:
  water-in-oil:
    rank: call-supervisor
    say: There is water in the oil.
    do: Tell the supervisor.
    source: common practice
  casing-pressure:
    rank: stop-now
    say: The casing pressure is too high.
    do: Trip by hand.
    source: common practice
rules:
  - rule: milky-oil
    symptom: {oil-look: milky}
    causes: {jacket-leak: usually, gland-steam: sometimes}
    caution: water-in-oil
    source: common practice
  - rule: water-found
    symptom: {oil-sample: water}
    actions: [{who: maintenance, do: Change the oil.}]
    source: common practice
  - rule: oil-low
    symptom: {oil-level: low}
    actions: [{who: operator, do: Top up by the local procedure.}]
    source: common practice
  - rule: knocks
    symptom: {noise: knocking}
    actions: [{who: operator, do: Listen where it is loudest.}]
    source: common practice
  - rule: whistles
    symptom: {sentinel: sounding}
    actions: [{who: operator, do: Read the exhaust gauge.}]
    source: common practice
  - rule: exhaust-above
    when: [{reading: exhaust-pressure, above: 3 bar gauge}]
    conclude: {exhaust-level: high}
    source: common practice
  - rule: exhaust-below
    when: [{reading: exhaust-pressure, at-most: 3 bar gauge}]
    conclude: {exhaust-level: normal}
    source: common practice
  - rule: exhaust-high
    symptom: {exhaust-level: high}
    causes: {exhaust-shut: usually}
    caution: casing-pressure
    source: common practice
  - rule: second-gauge
    when: [{reading: bare-reading, above: 5 bar gauge}]
    actions: [{who: operator, do: Compare it with the first gauge.}]
    source: common practice
"""
SITE = "site: Sample plant\n"
MACHINE = """
machine: P-1
drives: {kind: pump, service: feed}
features: [sentinel-valve]
limits: {exhaust-pressure-max: 3 bar gauge}
"""


def laid(example=""):
    """Give the rule base with the example over it, and the loader's problems."""
    site = {"site.yaml": SITE, "machines/P-1.yaml": MACHINE, "rules/example.yaml": example}
    below = {"rules/base.yaml": RULES}
    knowledge, problems = load_texts(below, site)
    return RuleBase(knowledge, load_texts(below)[0]), problems

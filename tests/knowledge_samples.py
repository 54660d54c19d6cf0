"""A small rule base and plant for tests, written as a planner would write it."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from diagnose.knowledge import library

if TYPE_CHECKING:
    from diagnose.knowledge.model import Knowledge

RULES = """
features:
  ring-oiled-bearings: {title: Ring-oiled bearings}
  jacket-cooling: {title: Water jackets}
  sentinel-valve: {title: Sentinel valve}
scales:
  frequency: {almost always: 0.985, usually: 0.80, about half: 0.50, sometimes: 0.20, rarely: 0.025, almost never: 0.004}
  how-common: {very common: 0.30, common: 0.12, sometimes: 0.05, seldom: 0.02, rare: 0.006}
  misread: {seldom: 0.02, sometimes: 0.03, often: 0.05}
  not-listed: 0.05
  two-at-once: 0.10
  caution-threshold: 0.25
findings:
  oil-look:
    ask: What does the bearing oil look like?
    how: Draw a little into a clean glass.
    values: {clear: normal, milky: abnormal, foamy: abnormal}
    also-called: [white oil, emulsified oil]
    source: common practice
  oil-level:
    ask: Where does the oil level stand?
    how: Look at the gauge glass.
    values: {at-mark: normal, low: abnormal, rising: abnormal}
    source: common practice
  gland-plume:
    ask: How much steam comes from the gland?
    how: Look from two metres away.
    values: {wisp: normal, heavy: abnormal}
    hazard: live steam
    source: common practice
  sentinel:
    ask: Is the sentinel valve sounding?
    how: Listen.
    values: {silent: normal, sounding: abnormal}
    needs: [sentinel-valve]
    source: common practice
  exhaust-pressure:
    ask: What does the exhaust gauge read?
    how: Read it at the casing.
    reading: {unit: bar gauge, plausible: [-1, 30], accuracy: 0.05}
    source: common practice
  bearing-noise:
    ask: How does the bearing sound?
    how: Use a listening rod.
    values: {even: normal, growling: abnormal}
    source: common practice
  oil-sample:
    ask: What does the laboratory say of the oil?
    who: maintenance
    values: {sound: normal, water: abnormal}
    source: common practice
conditions:
  exhaust-level:
    title: Exhaust pressure against its limit
    values: {normal: normal, high: abnormal}
    judged-from: [exhaust-pressure]
    source: common practice
  shared-header-problem:
    title: Several machines on one exhaust header show high pressure
    source: common practice
causes:
  jacket-leak:
    title: Cooling jacket leaks into the oil
    how-common: seldom
    needs: [jacket-cooling]
    if-left: The bearing rusts and is wiped.
    put-right: [{who: maintenance, do: Test the jacket.}]
    source: common practice
  gland-steam:
    title: Gland steam blows into the housing
    how-common: common
    if-left: Water collects in the oil.
    put-right: [{who: operator, do: Tell the supervisor., procedure: water in oil}]
    source: common practice
  worn-bearing:
    title: Bearing worn
    how-common: sometimes
    severity: dangerous
    if-left: The shaft drops.
    put-right: [{who: supervisor, do: Decide on a stop.}]
    source: common practice
  header-high:
    title: Exhaust header pressure high
    how-common: sometimes
    if-left: The relief valve lifts.
    put-right: [{who: operator, do: Tell the steam operator.}]
    excludes: {exhaust-level: normal}
    source: common practice
  sentinel-faulty:
    title: Sentinel valve out of adjustment
    how-common: sometimes
    needs: [sentinel-valve]
    if-left: Nobody believes it any more.
    put-right: [{who: maintenance, do: Overhaul it.}]
    source: common practice
rules:
  - rule: milky-oil
    symptom: {oil-look: milky}
    causes: {jacket-leak: almost always, gland-steam: usually}
    otherwise: rarely
    caution: water-in-oil
    actions: [{who: operator, do: Look at the level more often.}]
    source: common practice
  - rule: foamy-oil
    symptom: {oil-look: foamy}
    causes: {worn-bearing: rarely}
    source: common practice
  - rule: rising-level
    symptom: {oil-level: rising}
    causes: {jacket-leak: usually, gland-steam: sometimes}
    source: common practice
  - rule: low-level
    symptom: {oil-level: low}
    causes: {worn-bearing: sometimes}
    otherwise: rarely
    source: common practice
  - rule: heavy-plume
    phases: [run-up, loaded]
    symptom: {gland-plume: heavy}
    causes: {gland-steam: usually, header-high: about half}
    source: common practice
  - rule: growl
    symptom: {bearing-noise: growling}
    causes: {worn-bearing: usually}
    otherwise: rarely
    caution: bearing-failing
    source: common practice
  - rule: sentinel-sounds
    symptom: {sentinel: sounding}
    causes: {header-high: usually, sentinel-faulty: almost always}
    otherwise: rarely
    source: common practice
  - rule: lab-water
    symptom: {oil-sample: water}
    causes: {jacket-leak: almost always, gland-steam: almost always}
    source: common practice
  - rule: exhaust-above-limit
    when: [{reading: exhaust-pressure, above: machine.exhaust-pressure-max}]
    conclude: {exhaust-level: high}
    source: common practice
  - rule: exhaust-within-limit
    when: [{reading: exhaust-pressure, at-most: machine.exhaust-pressure-max}]
    conclude: {exhaust-level: normal}
    source: common practice
  - rule: exhaust-high
    symptom: {exhaust-level: high}
    causes: {header-high: almost always}
    caution: casing-pressure-high
    source: common practice
  - rule: two-on-one-header
    when:
      - {machine: $a, exhaust-level: high, exhaust-header: $h}
      - {machine: $b, exhaust-level: high, exhaust-header: $h, other-than: $a}
    conclude: {shared-header-problem: true}
    source: common practice
  - rule: shared-header
    symptom: {shared-header-problem: true}
    causes: {header-high: almost always}
    source: common practice
  - rule: watch-when-noisy-and-low
    when:
      - {bearing-noise: growling}
      - {any-of: [{oil-level: low}, {not: {oil-look: clear}}]}
    caution: watch-it
    source: common practice
cautions:
  water-in-oil: {rank: call-supervisor, say: Water in the oil., do: Tell the supervisor., procedure: water in oil, source: common practice}
  bearing-failing: {rank: stop-now, say: The bearing is failing., do: Trip by the local procedure., procedure: trip, source: common practice}
  casing-pressure-high: {rank: call-supervisor, say: Pressure too high., do: Stand clear., procedure: exhaust, source: common practice}
  watch-it: {rank: watch, say: Keep watching., do: Look every ten minutes., procedure: rounds, source: common practice}
"""

MACHINE = """
machine: {name}
title: {title}
drives: {{kind: centrifugal pump, service: boiler feed}}
features: [{features}]
rated: {{speed: 3560 rpm, inlet-pressure: 17 bar gauge, exhaust-pressure: 2.0 bar gauge}}
limits: {{exhaust-pressure-max: 2.6 bar gauge}}
shares: {{exhaust: LP header}}
procedures: {{water in oil: OP-111}}
"""

SITE = {
    "site.yaml": "site: Test works\n",
    "machines/P-1.yaml": MACHINE.format(
        name="P-1", title="Pump turbine 1", features="ring-oiled-bearings, jacket-cooling, sentinel-valve"
    ),
    "machines/P-2.yaml": MACHINE.format(name="P-2", title="Pump turbine 2", features="ring-oiled-bearings"),
}


@cache
def sample() -> Knowledge:
    """Return the small rule base with its plant; it must load without a fault."""
    knowledge, problems = library.load_texts({"rules/sample.yaml": RULES}, SITE)
    if problems:
        raise AssertionError("\n".join(problem.line() for problem in problems))
    return knowledge

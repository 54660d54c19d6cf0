"""A small clean set of rules with a site, and ways to load it with something added."""

from diagnose.knowledge.library import load_texts

RULES = """
features:
  ring-oiled-bearings: {title: Ring-oiled bearings}
  sentinel-valve: {title: Sentinel valve}
sources:
  notice-2001-19: Information Notice 2001-19, Oil bubblers
findings:
  bearing-oil-look:
    ask: What does a small sample of bearing oil look like?
    how: Draw a little from the drain into a clean glass.
    values: {clear: normal, milky: abnormal, dark: abnormal}
    phases: [pre-start, loaded]
    needs: [ring-oiled-bearings]
    effort: 3 min            # what it costs
    hazard: none             # none | hot surfaces
    can-tell: usually
    misread: often
    also-called: [white oil, oil like coffee with cream]
    source: common practice
  exhaust-pressure:
    ask: What does the exhaust pressure gauge read?
    how: Read the gauge at the casing.
    reading: {unit: bar gauge, plausible: [-1, 30], accuracy: 0.2}
    source: notice-2001-19, clause 2
  bearing-temperature:
    ask: What does the bearing thermometer read?
    how: Read it.
    reading: {unit: C, plausible: [-20, 200]}
    source: from memory
  sentinel:
    ask: What does the sentinel valve do?
    how: Look from a distance.
    values: {quiet: normal, sounding: abnormal}
    needs: [sentinel-valve]
    source: common practice
conditions:
  exhaust-level:
    title: Exhaust pressure against its limits
    values: {normal: normal, high: abnormal, low: abnormal}
    judged-from: [exhaust-pressure]
    source: common practice
  shared-header-problem: {title: The machines on one header share a problem, source: common practice}
causes:
  header-pressure-high:
    title: Pressure in the exhaust header is high
    how-common: sometimes
    severity: dangerous
    if-left: The relief valve lifts.
    put-right:
      - {who: operator, do: Tell the supervisor., procedure: exhaust header}
    source: common practice
  sentinel-maladjusted:
    title: Sentinel valve out of adjustment
    how-common: seldom
    if-left: False alarms.
    put-right: [{who: maintenance, do: Adjust it.}]
    settled-by: Bench test
    excludes: {exhaust-level: [high, low]}
    source: common practice
  cooling-jacket-leak:
    title: Cooling jacket leaks
    how-common: rare
    if-left: Bearings fail.
    put-right: [{who: maintenance, do: Renew the seal.}]
    requires: {bearing-oil-look: milky}
    needs: [ring-oiled-bearings]
    source: common practice
cautions:
  casing-pressure-high:
    rank: call-supervisor
    say: Pressure in the exhaust casing may be too high.
    do: Follow the local procedure.
    procedure: exhaust pressure high
    source: common practice
checks:
  oil-clear-before-start:
    stage: pre-start
    ask: bearing-oil-look
    caution: casing-pressure-high
    source: common practice
  exhaust-in-band:
    stage: run-up
    ask: exhaust-pressure
    holds: [{reading: exhaust-pressure, below: machine.exhaust-pressure-max}]
    decides: operator
    source: common practice
rules:
  - rule: exhaust-above-limit
    when:
      - {reading: exhaust-pressure, above: machine.exhaust-pressure-max}
    conclude: {exhaust-level: high}
    source: common practice
  - rule: exhaust-above-rated
    when:
      - {reading: exhaust-pressure, above: machine.rated-exhaust-pressure + 0.3 bar}
      - any-of: [{phase: run-up}, {not: {bearing-oil-look: [milky, dark]}}, {unknown: bearing-oil-look}]
      - {count: [{bearing-oil-look: dark}, {sentinel: sounding}, {feature: sentinel-valve}], at-least: 2}
    conclude: {exhaust-level: high}
    source: common practice
  - rule: valve-sounds
    phases: [run-up, loaded]
    needs: [sentinel-valve]
    symptom: {sentinel: sounding}
    causes:
      header-pressure-high: usually
      sentinel-maladjusted: {seen: almost always, source: notice-2001-19}
    otherwise: rarely          # how often it sounds with neither
    caution: casing-pressure-high
    actions:
      - {who: operator, do: Compare the exhaust pressure with the machine's limit.}
    source: common practice
  - rule: milky-oil
    symptom: {bearing-oil-look: milky}
    causes: {cooling-jacket-leak: usually}
    source: common practice
  - rule: one-header
    when:
      - {machine: $a, exhaust-level: high, exhaust-header: $h}
      - {machine: $b, exhaust-level: high, exhaust-header: $h, other-than: $a}
    conclude: {shared-header-problem: "true"}
    source: common practice
"""

MACHINE = """
machine: BFP-2
drives: {kind: centrifugal pump, service: boiler feed}
features: [ring-oiled-bearings, sentinel-valve]
governor-class: D
rated: {speed: 3560 rpm, inlet-pressure: 17 bar gauge, inlet-temperature: 260 C, exhaust-pressure: 2.0 bar gauge}
limits: {exhaust-pressure-max: 2.6 bar gauge, bearing-temperature-max: 82 C, trip-speed: 3916 rpm}
normal: {bearing-temperature: 61 C, sentinel: quiet}
shares: {steam: north header, exhaust: LP header, cooling-water: tower 2}
procedures: {exhaust pressure high: OP-114}
rounds: {called: [BFP 2], time-column: When, clock: day-first, columns: {PI-20: exhaust-pressure, FI-1: load}, units: {PI-20: psi gauge}, baseline: 2026-01-01 to 2026-01-31}
"""

SITE = {
    "site.yaml": "site: North plant\nunits: {pressure: psi gauge, temperature: F}\n",
    "machines/BFP-2.yaml": MACHINE,
}


def loaded(*added, site=None, pure=False):
    """Load the sample with texts added as files of their own, each beginning on line 1; give the problems too."""
    texts = {"rules/sample.yaml": RULES, **{f"rules/x{number}.yaml": text for number, text in enumerate(added)}}
    return load_texts(texts, SITE if site is None else site, pure=pure)


def told(*added, site=None, pure=False):
    """Give the problems of the sample with something added, as one line each."""
    _, problems = loaded(*added, site=site, pure=pure)
    return [problem.line() for problem in problems]


CAUSE = "title: T, how-common: rare, if-left: L, put-right: [{who: operator, do: D}], source: from memory"
FINDING = "ask: 'What?', how: Look., source: from memory"

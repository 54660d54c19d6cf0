"""Findings, readings and quantities."""

__all__ = ["PAGES"]

PAGES = """\
bad-value: a value that is no plain short word or two

Bad:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        values: {nothing: normal, water that was not there before and smells of something unlike steam: abnormal}
        source: common practice
Good:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        values: {nothing: normal, water: abnormal}
        source: common practice
Mend: Use a word or a few; details belong into 'how'.

impossible-value: a number that cannot be

Bad:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        values: {nothing: normal, water: abnormal}
        source: common practice
        effort: -3 min
Good:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        values: {nothing: normal, water: abnormal}
        source: common practice
        effort: 3 min
Mend: Give a number within the bounds named.

judged-from-condition: a condition judged from a condition

Bad:
    conditions:
      oil-state: {title: State of the oil, judged-from: [exhaust-level], source: common practice}
Good:
    conditions:
      oil-state: {title: State of the oil, judged-from: [oil-level], source: common practice}
Mend: Name findings that can be asked.

not-a-day: a day that the calendar does not have

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
        date: 2/5/24
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
        date: 2024-05-02
Mend: Write it as 2024-05-02.

not-a-number: words where a number is wanted

Bad:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        reading: {unit: C, plausible: [cold, 200]}
        source: common practice
Good:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        reading: {unit: C, plausible: [0, 200]}
        source: common practice
Mend: Write the number.

not-an-instrument: what a machine says of a gauge does not tell how exact it is

Bad:
    instruments:
      exhaust-pressure: good
Good:
    instruments:
      exhaust-pressure: class 1.6 of 6 bar
Mend: Write the class and the span as they stand on the dial, or the largest error: within 10 rpm.

not-a-stretch: the good history of a machine's rounds is not two days in order

Bad:
    baseline: since last spring
Good:
    baseline: 2024-04-01 to 2024-05-02
Mend: Write the first and the last day, with 'to' between them.

one-normal-value: none or several of a finding's values are normal

Bad:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        values: {nothing: normal, water: normal}
        source: common practice
Good:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        values: {nothing: normal, water: abnormal}
        source: common practice
Mend: Mark one value normal and the others abnormal.

plausible-range: a range that does not begin with the least

Bad:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        reading: {unit: C, plausible: [200, 0]}
        source: common practice
Good:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        reading: {unit: C, plausible: [0, 200]}
        source: common practice
Mend: Write the least and then the most.

reserved-value: a value that is an answer of its own

Bad:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        values: {nothing: normal, not sure: abnormal}
        source: common practice
Good:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        values: {nothing: normal, water: abnormal}
        source: common practice
Mend: Use another word.

too-few-values: a finding with one value

Bad:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        values: {nothing: normal}
        source: common practice
Good:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        values: {nothing: normal, water: abnormal}
        source: common practice
Mend: Add what else may be seen.

unknown-unit: a reading kept in a unit that readings are not kept in

Bad:
    findings:
      drain:
        ask: How warm is the drain?
        how: Read the thermometer.
        reading: {unit: F, plausible: [32, 400]}
        source: common practice
Good:
    findings:
      drain:
        ask: How warm is the drain?
        how: Read the thermometer.
        reading: {unit: C, plausible: [0, 200]}
        source: common practice
Mend: Write the unit named; operators may still type any unit of its kind.

value-of-a-reading: a number treated as a word

Bad:
    rules:
      - rule: some-rule
        when:
          - {exhaust-pressure: high}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        when:
          - {exhaust-level: high}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Name the condition that the reading is judged as.

values-or-reading: a finding with both, or neither, of 'values' and 'reading'

Bad:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        source: common practice
Good:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        values: {nothing: normal, water: abnormal}
        source: common practice
Mend: Keep one of the two.

wrong-quantity: a quantity that cannot be read, or in a unit of another kind

Bad:
    rules:
      - rule: some-rule
        when:
          - {reading: exhaust-pressure, above: 4 rpm}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        when:
          - {reading: exhaust-pressure, above: 4 bar gauge}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Write the number and its unit.

wrong-unit: a value of the machine in another unit than the reading

Bad:
    rules:
      - rule: some-rule
        when:
          - {reading: exhaust-pressure, above: machine.rated-speed}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        when:
          - {reading: exhaust-pressure, above: machine.rated-exhaust-pressure}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Compare it with a value in its own unit.
"""

"""Rules, their conditions, and the checks of a start."""

__all__ = ["PAGES"]

PAGES = """\
causes-without-symptom: causes, or 'otherwise', without the symptom they belong to

Bad:
    rules:
      - rule: some-rule
        when:
          - {oil-level: low}
        causes: {jacket-leak: usually}
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        causes: {jacket-leak: usually}
        source: common practice
Mend: Write the sign under 'symptom'.

check-without-limit: a check of a start that asks a number and has nothing to compare it with

Bad:
    checks:
      pressure-seen: {stage: run-up, ask: bare-reading, decides: supervisor, source: common practice}
Good:
    checks:
      pressure-seen:
        stage: run-up
        ask: bare-reading
        holds: [{reading: bare-reading, below: 5 bar gauge}]
        decides: supervisor
        source: common practice
Mend: Add 'holds' with the limit.

check-without-question: a check of a start that asks what rules conclude

Bad:
    checks:
      lab: {stage: run-up, ask: exhaust-level, decides: supervisor, source: common practice}
Good:
    checks:
      level: {stage: run-up, ask: oil-level, decides: supervisor, source: common practice}
Mend: Ask a finding.

conclude-a-finding: a rule concludes what is asked of the operator

Bad:
    rules:
      - rule: some-rule
        when:
          - {oil-level: low}
        conclude: {noise: knocking}
        source: common practice
Good:
    rules:
      - rule: some-rule
        when:
          - {oil-level: low}
        conclude: {exhaust-level: high}
        source: common practice
Mend: Conclude a condition.

evidence-counted-twice: two rules tie causes to the same thing seen

Bad:
    rules:
      - rule: milky-again
        symptom: {oil-look: milky}
        causes: {gland-steam: usually}
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        causes: {gland-steam: usually}
        source: common practice
Mend: Join the rules, or give them phases, features or conditions that never hold together.

leads-to-itself: a cause that is said to lead to itself

Bad:
    causes:
      worn-ring:
        title: Ring worn
        how-common: sometimes
        if-left: Steam gets out.
        leads-to: {worn-ring: sometimes}
        put-right: [{who: maintenance, do: Renew it.}]
        source: common practice
Good:
    causes:
      worn-ring:
        title: Ring worn
        how-common: sometimes
        if-left: Steam gets into the bearing.
        leads-to: {gland-steam: sometimes}
        put-right: [{who: maintenance, do: Renew it.}]
        source: common practice
Mend: Name the cause that follows from it.

machine-inside: a machine bound inside another condition

Bad:
    rules:
      - rule: some-rule
        when:
          - {not: {machine: $a, oil-level: low}}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        when:
          - {machine: $a, oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Put it directly under 'when'.

no-colon: a condition without a colon and a blank

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level:low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Write {finding: value}, with a blank after the colon.

not-a-limit: something to compare with that is no limit

Bad:
    rules:
      - rule: some-rule
        when:
          - {reading: exhaust-pressure, above: the machine limit}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        when:
          - {reading: exhaust-pressure, above: machine.exhaust-pressure-max}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Write a quantity, machine.NAME, N % of machine.NAME, or machine.NAME + 10 K.

not-a-reading: a comparison of what is no number

Bad:
    rules:
      - rule: some-rule
        when:
          - {reading: oil-level, above: 3 bar gauge}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        when:
          - {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Write {finding: value}.

not-a-variable: a machine that is not bound to a variable

Bad:
    rules:
      - rule: some-rule
        when:
          - {machine: a, oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        when:
          - {machine: $a, oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Write a $ and a word, such as $a.

nothing-to-compare: a comparison without a limit

Bad:
    rules:
      - rule: some-rule
        when:
          - {reading: exhaust-pressure}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        when:
          - {reading: exhaust-pressure, above: 4 bar gauge}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Add 'above', 'below', 'at-least' or 'at-most'.

one-symptom: a symptom of two findings

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low, noise: knocking}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        when: [{noise: knocking}]
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Put the others under 'when'.

rule-does-nothing: a rule that does nothing

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Add 'causes', 'conclude', 'caution' or 'actions'.

rule-without-condition: a rule that does not say when it holds

Bad:
    rules:
      - rule: some-rule
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Add 'symptom' or 'when'.

rule-without-id: a rule without an id

Bad:
    rules:
      - symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Begin it with '- rule: some-id'.

symptom-is-normal: causes of a normal value

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: at-mark}
        causes: {jacket-leak: usually}
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        causes: {jacket-leak: usually}
        source: common practice
Mend: Name an abnormal value.

two-conditions: two conditions written as one

Bad:
    rules:
      - rule: some-rule
        when:
          - {oil-level: low, noise: knocking}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        when:
          - {oil-level: low}
          - {noise: knocking}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Write each as a condition of its own.

unbound-variable: a machine that must differ from one that is not there

Bad:
    rules:
      - rule: some-rule
        when:
          - {machine: $a, oil-level: low, other-than: $b}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        when:
          - {machine: $a, oil-level: low}
          - {machine: $b, oil-level: low, other-than: $a}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Bind it with 'machine:'.

variable-bound-twice: two conditions bind the same machine

Bad:
    rules:
      - rule: some-rule
        when:
          - {machine: $a, oil-level: low}
          - {machine: $a, noise: knocking}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        when:
          - {machine: $a, oil-level: low, noise: knocking}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Join them, or use $b.
"""

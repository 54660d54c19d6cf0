"""Names: ids, sections, keys, and what they refer to."""

__all__ = ["PAGES"]

PAGES = """\
bad-id: an id with characters that ids do not have

Bad:
    rules:
      - rule: Some rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Use lower-case letters, digits and single hyphens.

contrary: a case whose caution must be raised and must not be

Bad:
    must-caution: [water-in-oil]
    must-not-caution: [water-in-oil]
Good:
    must-caution: [water-in-oil]
Mend: Delete one of them.

duplicate-id: two things of one kind with the same id

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        caution: water-in-oil
        source: common practice
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        caution: water-in-oil
        source: common practice
      - rule: other-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Rename one of them, or join them.

reserved-name: a finding with a name that means something else in conditions

Bad:
    findings:
      phase:
        ask: What comes from the drain?
        how: Look.
        values: {nothing: normal, water: abnormal}
        source: common practice
Good:
    findings:
      drain:
        ask: What comes from the drain?
        how: Look.
        values: {nothing: normal, water: abnormal}
        source: common practice
Mend: Give it another id.

switch-off-in-shipped: the shipped rules switch something off

Bad:
    in rules/: switch-off: [milky-oil]
Good:
    in SITE/rules/: switch-off: [milky-oil]
Mend: Do it in the site's rules.

switch-off-which: an id to switch off that is the id of several things

Bad:
    causes:
      milky-oil:
        title: Milky oil
        how-common: rare
        if-left: It wears.
        put-right: [{who: maintenance, do: Change it.}]
        source: common practice
    switch-off: [milky-oil]
Good:
    switch-off: [rule milky-oil]
Mend: Write the kind before the id.

unknown-cause: a cause that is not defined

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        causes: {jacket-leek: usually}
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        causes: {jacket-leak: usually}
        source: common practice
Mend: Use the name offered, or define the cause.

unknown-caution: a caution that is not defined

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        caution: water-in-the-oil
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        caution: water-in-oil
        source: common practice
Mend: Use the name offered, or define the caution.

unknown-feature: a feature that is not defined

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        needs: [sentinel]
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        needs: [sentinel-valve]
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Use the name offered, or define the feature.

unknown-finding: a finding or condition that is not defined

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-levle: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Use the name offered, or define it.

unknown-key: a key that does not belong there

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        action: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Use the key offered.

unknown-machine: a machine that the site does not have

Bad:
    machine: BFP-22
Good:
    machine: BFP-2
Mend: Use the name offered.

unknown-rating: a rating that machines do not have

Bad:
    rules:
      - rule: some-rule
        when:
          - {reading: exhaust-pressure, above: machine.rated-exhaust}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        when:
          - {reading: exhaust-pressure, above: machine.rated-exhaust-pressure}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Use the name offered.

unknown-section: a section that rules files do not have

Bad:
    rule:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Use the section offered.

unknown-source: a short name that is not registered

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        caution: water-in-oil
        source: oil-book
Good:
    sources:
      oil-book: The book of oils
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        caution: water-in-oil
        source: oil-book
Mend: Register it under 'sources', or name the document.

unknown-switch-off: an id to switch off that nothing has

Bad:
    switch-off: [milky-oill]
Good:
    switch-off: [milky-oil]
Mend: Use the name offered.

unknown-value: a value that the finding does not have

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: lo}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Use the value offered, or add it to the finding.

unknown-word: a word that is not one of those allowed

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operater, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Use one of the words offered.
"""

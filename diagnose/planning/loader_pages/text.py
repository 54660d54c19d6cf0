"""How a file is written: characters, YAML, keys."""

__all__ = ["PAGES"]

PAGES = """\
alias: a '*' that repeats a part from elsewhere

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: *tell}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Write the part out; quote the text if '*' is meant.

anchor: an '&' that names a part for use elsewhere

Bad:
    rules:
      - rule: some-rule
        symptom: &low {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Delete the name; quote the text if '&' is meant.

control-character: a character that cannot be seen

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the super\u200bvisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Delete it.

directive: a line that begins with %

Bad:
    %YAML 1.1
    ---
    rules:
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
Mend: Delete the line.

duplicate-key: one key written twice

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        caution: water-in-oil
        source: from memory
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        caution: water-in-oil
        source: common practice
Mend: Delete one of them, or join them.

empty: a key with nothing behind it

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        caution: water-in-oil
        source:
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        caution: water-in-oil
        source: common practice
Mend: Write what belongs there, or delete the key.

file-ending: a file that ends in .yml

Bad:
    oil.yml
Good:
    oil.yaml
Mend: Rename it to end in .yaml.

item-too-far-in: an item of a list that YAML would take for more of the item above

Bad:
    rules:
      - rule: some-rule
        phases:
          - loaded
            - shutdown
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        phases:
          - loaded
          - shutdown
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Line it up with the other items.

key-not-a-word: a key that is no word

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
        [a, b]: c
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Put a word before the colon.

merge-key: '<<', which merges a part from elsewhere

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
        <<: {reason: Seen so}
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
        reason: Seen so
Mend: Write it out.

missing-key: something needed is not there

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Add the key named.

not-utf-8: a file that is not UTF-8 text

Bad:
    a file saved in another encoding
Good:
    a file saved as UTF-8
Mend: Save it as UTF-8 in your editor.

not-yaml: text that cannot be read from a place on

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Note: tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: "Note: tell the supervisor."}]
        source: common practice
Mend: Follow the mend; it names the likely slip.

several-documents: a second document in one file

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
    ---
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Delete the line '---'.

stands-twice: one item twice in a list

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        phases: [loaded, loaded]
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        phases: [loaded]
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Delete one.

tab: a tab

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
    \t    actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Use spaces, two for each step of indentation.

tag: a '!' that gives a type

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: !tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Delete it; quote the text if '!' is meant.

text-cut-at-hash: a '#' that cuts a text off

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions:
          - who: operator
            do: Read gauge #3
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: "Read gauge #3."}]
        source: common practice
Mend: Put the whole text in quotes.

too-deep: nesting that is too deep, or a file that holds too much

Bad:
    any-of inside any-of, twenty times over
Good:
    two rules
Mend: Split it.

too-few: a list with fewer items than it needs

Bad:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        phases: []
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        phases: [loaded]
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Add what is missing, or delete the key.

too-large: a file that is too large

Bad:
    one file of six megabytes
Good:
    one file a subsystem
Mend: Split it; one file a subsystem.

unreadable-file: a file that cannot be read

Bad:
    a file without permission to read
Good:
    a file with it
Mend: Check its permissions.

wrong-ending: a question without its question mark

Bad:
    findings:
      drain:
        ask: What comes from the drain.
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
Mend: End it as the mend says.

wrong-shape: a list where keys are wanted, or the like

Bad:
    rules:
      - rule: some-rule
        symptom: oil-level low
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Good:
    rules:
      - rule: some-rule
        symptom: {oil-level: low}
        actions: [{who: operator, do: Tell the supervisor.}]
        source: common practice
Mend: Write it in the shape named.
"""

"""Two hundred slips, one a file, as planners make them in real rule files.

Each row: the file, what stood there, what was written instead with a mark (§) on the line that has to be named, and
a pattern that the right mend (the words of the first problem) must match. They were written before they were tried.
"""

import re
from pathlib import Path
from typing import NamedTuple

FOLDER = Path(__file__).parent / "rules"


class Breakage(NamedTuple):
    """One slip."""

    kind: str
    file: str
    old: str
    new: str
    mend: str

    @property
    def name(self):
        """Tell which it is, for the list of those that fail."""
        return f"{self.kind}: {self.new.strip()[:60]}"

    def texts(self):
        """Give all files, this one broken, and the number of the line to be named."""
        texts = {f"rules/{path.name}": path.read_text() for path in sorted(FOLDER.glob("*.yaml"))}
        whole = texts[f"rules/{self.file}"]
        assert self.old in whole, self.name
        marked = whole.replace(self.old, self.new, 1)
        line = marked[: marked.index("§")].count("\n") + 1
        texts[f"rules/{self.file}"] = marked.replace("§", "")
        return texts, line


E, W, C = "exhaust.yaml", "cooling-water.yaml", "cautions.yaml"
LINE_UP = "line the keys up|further in or out"
QUOTES = "put the text in quotes"


def broken(kind, *rows):
    """Give the breakages of one kind."""
    return [Breakage(kind, *row) for row in rows]


INDENT = broken(
    "indent",
    (
        E,
        "    how: Read the thermometer in the exhaust line",
        "   §how: Read the thermometer in the exhaust line",
        LINE_UP,
    ),
    (
        E,
        "    reading: {unit: C, plausible: [40, 500], accuracy: 4}",
        "     §reading: {unit: C, plausible: [40, 500], accuracy: 4}",
        LINE_UP,
    ),
    (
        E,
        "    values: {fully-open: normal, shut-or-throttled: abnormal}",
        "  §values: {fully-open: normal, shut-or-throttled: abnormal}",
        "key|further|indent",
    ),
    (
        E,
        "    hazard: live steam\n    also-called:\n      - sentinel blowing",
        "      §hazard: live steam\n    also-called:\n      - sentinel blowing",
        LINE_UP,
    ),
    (E, "      - sentinal valve", "     §- sentinal valve", LINE_UP),
    (E, "      - exhaust whistle", "        §- exhaust whistle", "[Ll]ine it up|further|list"),
    (E, "  sentinel-record:\n", " §sentinel-record:\n", LINE_UP),
    (E, "  exhaust-pressure-level:\n    title", "§exhaust-pressure-level:\n    title", "section|" + LINE_UP),
    (E, "    how-common: common\n", "   §how-common: common\n", LINE_UP),
    (
        E,
        '    put-right:\n      - {who: operator, do: "Trip or shut',
        '   §put-right:\n      - {who: operator, do: "Trip or shut',
        LINE_UP,
    ),
    (
        E,
        '        do: "Prove the exhaust pressure on a second gauge, report',
        '       §do: "Prove the exhaust pressure on a second gauge, report',
        LINE_UP,
    ),
    (
        E,
        "        procedure: exhaust header\n      - {who: supervisor, do: Have the make-up",
        "      §procedure: exhaust header\n      - {who: supervisor, do: Have the make-up",
        LINE_UP + "|list",
    ),
    (
        E,
        '    conclude: {exhaust-pressure-level: high}\n    source: "API',
        '      §conclude: {exhaust-pressure-level: high}\n    source: "API',
        LINE_UP + "|list",
    ),
    (
        E,
        "  - rule: exhaust-pressure-well-above-usual",
        " §- rule: exhaust-pressure-well-above-usual",
        LINE_UP + "|list",
    ),
    (
        E,
        "  - rule: exhaust-pressure-well-below-usual",
        "    §- rule: exhaust-pressure-well-below-usual",
        LINE_UP + "|list",
    ),
    (E, "      pressure-gauge-wrong: usually", "    §pressure-gauge-wrong: usually", "key|further|indent|Write|shape"),
    (
        E,
        "    symptom: {exhaust-gauge-check: disagrees}\n    causes:",
        "    symptom: {exhaust-gauge-check: disagrees}\n     §causes:",
        LINE_UP,
    ),
    (E, "      nozzle-or-blade-erosion: about half", "       §nozzle-or-blade-erosion: about half", LINE_UP),
    (
        E,
        "    otherwise: almost never\n    caution: instrument-doubt",
        "      §otherwise: almost never\n    caution: instrument-doubt",
        "cause|otherwise|further",
    ),
    (
        E,
        '    caution: exhaust-not-open\n    actions:\n      - {who: operator, do: "Keep',
        '  §caution: exhaust-not-open\n    actions:\n      - {who: operator, do: "Keep',
        LINE_UP + "|list|- ",
    ),
    (
        W,
        "    title: Cooling-water supply pressure low for everyone",
        "     §title: Cooling-water supply pressure low for everyone",
        LINE_UP,
    ),
    (W, "    severity: minor\n", "  §severity: minor\n", "key|further|id|stand"),
    (W, "        do: Tell the supervisor.\n", "          §do: Tell the supervisor.\n", LINE_UP),
    (
        W,
        "        do: Ask the neighbours and whoever runs the water.",
        "      §do: Ask the neighbours and whoever runs the water.",
        LINE_UP + "|list",
    ),
    (
        W,
        "      - {cooling-water-flow: little-or-none}\n    caution: cooling-lost\n",
        "      - {cooling-water-flow: little-or-none}\n      §caution: cooling-lost\n",
        LINE_UP + "|list",
    ),
    (
        W,
        "          - {oil-supply-temperature-level: high}",
        "         §- {oil-supply-temperature-level: high}",
        LINE_UP,
    ),
    (C, "    say: ", "      §say: ", LINE_UP),
    (C, "    do: ", "   §do: ", LINE_UP),
)

COLON = broken(
    "colon",
    (
        E,
        "    ask: What does the exhaust thermometer read?",
        "    §ask What does the exhaust thermometer read?",
        "colon",
    ),
    (E, "    effort: 1 min\n    misread: seldom", "    §effort 1 min\n    misread: seldom", "colon"),
    (E, "    misread: seldom", "    §misread:seldom", "colon"),
    (E, "  exhaust-gauge-check:\n", "  §exhaust-gauge-check\n", "colon"),
    (E, "    also-called: [exhaust temp,", "    §also-called [exhaust temp,", "colon"),
    (
        E,
        "    how: Look and listen from a distance, out of line with its outlet.",
        "    §how: Look and listen: from a distance, out of line with its outlet.",
        QUOTES,
    ),
    (
        E,
        "    if-left: Nothing warns before the casing is over-pressured.",
        "    §if-left: Nothing warns: the casing is over-pressured.",
        QUOTES,
    ),
    (
        E,
        "    title: Warning valve leaks or is set too low",
        "    §title: Warning valve: leaks or is set too low",
        QUOTES,
    ),
    (
        E,
        "    settled-by: Bench test of the warning valve.",
        "    §settled-by: Maintenance: bench test of the warning valve.",
        QUOTES,
    ),
    (E, "conditions:\n", "§conditions\n", "colon"),
    (E, "causes:\n  exhaust-block", "§causes\n  exhaust-block", "colon"),
    (E, "rules:\n  - rule: exhaust-pressure-over", "§rules\n  - rule: exhaust-pressure-over", "colon"),
    (E, "  - rule: exhaust-pressure-as-usual", "  - §rule exhaust-pressure-as-usual", "colon"),
    (
        E,
        "    when:\n      - {reading: exhaust-pressure, above: 120",
        "    §when\n      - {reading: exhaust-pressure, above: 120",
        "colon",
    ),
    (
        E,
        "{reading: exhaust-pressure, above: machine.exhaust-pressure-max}",
        "{§reading exhaust-pressure, above: machine.exhaust-pressure-max}",
        "colon|Write|finding",
    ),
    (E, "    conclude: {exhaust-pressure-level: low}", "    conclude: {§exhaust-pressure-level low}", "colon|Write"),
    (E, "    symptom: {exhaust-pressure-level: high}", "    symptom: §{exhaust-pressure-level:high}", "colon|Write"),
    (
        E,
        "    otherwise: rarely\n    caution: exhaust-not-open",
        "    §otherwise rarely\n    caution: exhaust-not-open",
        "colon",
    ),
    (E, "    caution: sentinel-sounding\n", "    caution:§sentinel-sounding\n", "colon"),
    (E, "      hand-nozzle-valve-wrong: sometimes", "      §hand-nozzle-valve-wrong sometimes", "colon"),
    (E, "      water-in-exhaust-line: about half", "      §water-in-exhaust-line:about half", "colon"),
    (W, "    how: Done stopped, isolated, under permit.", "    §how: Done stopped: isolated, under permit.", QUOTES),
    (W, "        do: Look at the flow and the valve.", "        §do: Look: the flow and the valve.", QUOTES),
    (
        W,
        "      - who: operator\n        do: Look at the oil for water",
        "      - §who operator\n        do: Look at the oil for water",
        "colon",
    ),
    (
        W,
        "    source: from memory, of API 611, general cooling-water table\n\n  water-cooling",
        "    §source: from memory: API 611, general cooling-water table\n\n  water-cooling",
        QUOTES,
    ),
    (C, "    rank: call-supervisor", "    §rank call-supervisor", "colon"),
    (C, "    source: ", "    §source ", "colon"),
)

QUOTE = broken(
    "quote",
    (
        E,
        '    source: "NAVEDTRA 14076, symptoms of operational casualties"\n\n  exhaust-temperature',
        '    §source: "NAVEDTRA 14076, symptoms of operational casualties\n\n  exhaust-temperature',
        "never closed",
    ),
    (
        E,
        '    how: "From a step away: outlet free, no scale, paint, plug or wire on it. Touch nothing; it may lift."',
        '    §how: "From a step away: outlet free, no scale, paint, plug or wire on it. Touch nothing; it may lift.',
        "never closed",
    ),
    (E, '    how: "From a step away: outlet free,', "    §how: From a step away: outlet free,", QUOTES),
    (
        E,
        "    ask: Is the warning valve's test tag or record in date?",
        "    §ask: 'Is the warning valve's test tag or record in date?'",
        "double quotes",
    ),
    (
        E,
        "    ask: Did the relief valve shut tight after it last lifted?",
        '    §ask: "Did the relief valve "shut tight" after it last lifted?"',
        "single quotes",
    ),
    (
        E,
        "    how: Call the control room or the boiler house.",
        '    §how: "Call" the control room or the boiler house.',
        "single quotes|quotes",
    ),
    (
        E,
        "    if-left: People get used to its noise and no longer heed it.",
        "    §if-left: 'People get used to the valve's noise and no longer heed it.'",
        "double quotes",
    ),
    (
        E,
        'do: "Trip or shut the steam inlet first; then open the exhaust fully.", procedure',
        'do: §"Trip or shut the steam inlet first; then open the exhaust fully., procedure',
        "never closed|quote",
    ),
    (
        E,
        'do: "Have the line-up checked, tagged and logged before the next start."',
        "do: §Have the line-up checked, tagged and logged before the next start.",
        "comma|quotes",
    ),
    (
        E,
        'do: "Test, reset or renew the warning valve."',
        "do: §Test, reset or renew the warning valve.",
        "comma|quotes",
    ),
    (
        E,
        'do: "Put the trap, drain or sagging pipe right."',
        "do: §'Put the trap, drain or sagging pipe right.",
        "never closed|quote",
    ),
    (
        E,
        'do: "Report it; do not free, strike or clean it."',
        'do: §"Report it; do not "free", strike or clean it."',
        "single quotes|quote",
    ),
    (
        E,
        'source: "API Std 611 (2008), definition of maximum exhaust pressure"',
        'source: §"API Std 611 (2008), definition of "maximum exhaust pressure""',
        "single quotes",
    ),
    (
        E,
        '    source: "API Std 611 (2008), definition of maximum exhaust casing pressure"\n\n  - rule: exhaust-pressure-said',
        '    §source: "API Std 611 (2008), definition of maximum exhaust casing pressure\n\n  - rule: exhaust-pressure-said',
        "never closed",
    ),
    (
        E,
        '    source: "turbine-book-1909, importance of relief valves"',
        "    §source: \"turbine-book-1909, importance of relief valves'",
        "never closed",
    ),
    (
        E,
        'do: "Gauge and warning valve agree: unload now and be ready to trip."',
        "do: §Gauge and warning valve agree: unload now and be ready to trip.",
        "quotes",
    ),
    (
        E,
        'source: "NAVEDTRA 14076, symptoms of operational casualties"}\n      driven',
        "source: §NAVEDTRA 14076, symptoms of operational casualties}\n      driven",
        "comma|quotes",
    ),
    (
        E,
        'source: "MIL-HDBK-1003/7, table 8, with IAPWS R7-97"}\n      nozzle',
        "source: §MIL-HDBK-1003/7, table 8, with IAPWS R7-97}\n      nozzle",
        "comma|quotes",
    ),
    (
        W,
        "    ask: Does cooling water run from the bearing jackets or oil cooler?",
        "    §ask: @ Does cooling water run from the bearing jackets or oil cooler?",
        "@",
    ),
    (
        W,
        "    ask: How warm is the cooling water coming in?",
        "    §ask: `How warm is the cooling water coming in?",
        "`",
    ),
    (
        W,
        "    how: Read the supply gauge at the machine or the header.",
        "    §how: % Read the supply gauge at the machine or the header.",
        "%",
    ),
    (W, "    title: Cooling water comes in too warm", '    §title: "Cooling water" comes in too warm', "quotes"),
    (
        W,
        'source: "NAVEDTRA 14075, chapter 3, heat exchangers"}\n      oil-cooler-fouled: {seen: some',
        'source: §"NAVEDTRA 14075, chapter 3, heat exchangers}\n      oil-cooler-fouled: {seen: some',
        "never closed|quote",
    ),
    (W, "        do: Tell the supervisor.\n", "        §do: 'Don't touch it, tell the supervisor.'\n", "double quotes"),
    (
        W,
        "        do: Mend a valve that will not open, mark its position.",
        "        §do: Mend valve #2 that will not open, mark its position.",
        "quotes",
    ),
    (
        E,
        "    title: Exhaust relief valve leaks at normal pressure",
        "    §title: Exhaust relief valve #1 leaks at normal pressure",
        "quotes",
    ),
)

TAB = broken(
    "tab",
    (E, "    ask: What does the exhaust pressure gauge", "§\task: What does the exhaust pressure gauge", "spaces"),
    (
        E,
        "    effort: 3 min\n    can-tell: about half\n    also-called: [second",
        "§\t\teffort: 3 min\n    can-tell: about half\n    also-called: [second",
        "spaces",
    ),
    (E, "      - sentinel blowing", "§\t\t\t- sentinel blowing", "spaces"),
    (E, "    severity: dangerous", "  §\tseverity: dangerous", "spaces"),
    (
        E,
        '      - {who: supervisor, do: "Have header users',
        '    §\t- {who: supervisor, do: "Have header users',
        "spaces",
    ),
    (E, "    needs: [relief-valve]\n    settled-by", "    §needs:\t[relief-valve]\n    settled-by", "spaces"),
    (
        E,
        "    conclude: {exhaust-temperature-level: high}",
        "    §conclude:\t{exhaust-temperature-level: high}",
        "spaces",
    ),
    (W, "    values: {dry: normal, sweating: abnormal}", "§\tvalues: {dry: normal, sweating: abnormal}", "spaces"),
    (W, "      cooling-water-off: almost always", "    §\t  cooling-water-off: almost always", "spaces"),
    (W, "  cooling-supply-warmth:\n", "§\tcooling-supply-warmth:\n", "spaces"),
    (C, "    rank: call-supervisor", "§    rank: call-supervisor\t", "spaces"),
)

BRACKET = broken(
    "bracket",
    (
        E,
        "    phases: [loaded]\n    effort: 1 min\n    hazard: hot",
        "    §phases: [loaded\n    effort: 1 min\n    hazard: hot",
        "\\]",
    ),
    (
        E,
        "    values: {agrees: normal, disagrees: abnormal}",
        "    §values: {agrees: normal, disagrees: abnormal",
        "\\}",
    ),
    (
        E,
        "    needs: [sentinel-valve]\n    effort: 1 min\n    hazard: live steam\n    can-tell",
        "    §needs: sentinel-valve]\n    effort: 1 min\n    hazard: live steam\n    can-tell",
        "feature|\\[|bracket",
    ),
    (
        E,
        "    values: {silent: normal, comes-and-goes: abnormal, blows",
        "    §values: {silent: normal comes-and-goes: abnormal, blows",
        "comma",
    ),
    (
        E,
        "    values: {in-date: normal, overdue-or-unknown: abnormal}",
        "    §values: [in-date: normal, overdue-or-unknown: abnormal]",
        "keys|\\{|brace|stand",
    ),
    (E, "    judged-from: [exhaust-pressure]", "    §judged-from: [exhaust-pressure}", "\\]"),
    (
        E,
        "    conclude: {exhaust-pressure-level: high}\n    source: common",
        "    §conclude: {exhaust-pressure-level: high]\n    source: common",
        "\\}",
    ),
    (
        E,
        "      - {exhaust-pressure-level: high}\n      - {unknown",
        "      - §exhaust-pressure-level: high}\n      - {unknown",
        "value|\\{|brace",
    ),
    (E, "    symptom: {sentinel-valve: sounding}", "    §symptom: (sentinel-valve: sounding)", "braces|finding"),
    (
        E,
        "    caution: [casing-pressure-high, sentinel-sounding]",
        "    §caution: [casing-pressure-high sentinel-sounding]",
        "caution|comma",
    ),
    (W, "    phases: [run-up, loaded, shutdown]", "    §phases: run-up, loaded, shutdown", "word|list|\\["),
    (W, "    excludes: {water-cooling: not-fitted}", "    §excludes: {water-cooling: not-fitted", "\\}"),
    (W, "      sight flow stopped, cw off\n    ]", "      §sight flow stopped, cw off", "\\]"),
)

TYPO = broken(
    "typo",
    (E, "subsystem: Exhaust", "§subsytem: Exhaust", "subsystem"),
    (E, "findings:\n", "§finding:\n", "findings"),
    (E, "conditions:\n", "§condition:\n", "conditions"),
    (E, "causes:\n  exhaust-block", "§cause:\n  exhaust-block", "causes"),
    (E, "rules:\n  - rule: exhaust-pressure-over", "§rule:\n  - rule: exhaust-pressure-over", "rules"),
    (E, "    ask: What does the exhaust thermometer read?", "    §aks: What does the exhaust thermometer read?", "ask"),
    (E, "    how: Look and listen from a distance", "    §hwo: Look and listen from a distance", "how"),
    (
        E,
        "    values: {silent: normal, sounding: abnormal}",
        "    §value: {silent: normal, sounding: abnormal}",
        "values",
    ),
    (E, "    also-called: [exhaust temp,", "    §also-caled: [exhaust temp,", "also-called"),
    (E, "    also-called: [sentinel on and off,", "    §also called: [sentinel on and off,", "also-called"),
    (E, "    can-tell: usually\n    misread: sometimes", "    §can_tell: usually\n    misread: sometimes", "can-tell"),
    (
        E,
        "    hazard: hot surfaces\n    can-tell: usually\n    also-called: [exhaust temp",
        "    §hazzard: hot surfaces\n    can-tell: usually\n    also-called: [exhaust temp",
        "hazard",
    ),
    (
        E,
        "    reading: {unit: C, plausible: [40, 500], accuracy: 4}",
        "    §reading: {unit: C, plausable: [40, 500], accuracy: 4}",
        "plausible",
    ),
    (E, "    judged-from: [exhaust-pressure]", "    §judged-form: [exhaust-pressure]", "judged-from"),
    (E, "    judged-from: [exhaust-temperature]", "    §judged-from: [exhaust-temprature]", "exhaust-temperature"),
    (E, "    how-common: seldom", "    §how-comon: seldom", "how-common"),
    (E, "    severity: dangerous", "    §serverity: dangerous", "severity"),
    (E, "    if-left: Water hammer", "    §if left: Water hammer", "if-left"),
    (
        E,
        '    put-right:\n      - who: operator\n        do: "Keep away',
        '    §putright:\n      - who: operator\n        do: "Keep away',
        "put-right",
    ),
    (E, "    settled-by: Exhaust line traps", "    §setled-by: Exhaust line traps", "settled-by"),
    (E, '      - {who: maintenance, do: "Put the trap', '      - {§whom: maintenance, do: "Put the trap', "who"),
    (
        E,
        "    conclude: {exhaust-temperature-level: high}",
        "    §concludes: {exhaust-temperature-level: high}",
        "conclude",
    ),
    (
        E,
        "    symptom: {exhaust-block-valve: shut-or-throttled}",
        "    §symptoms: {exhaust-block-valve: shut-or-throttled}",
        "symptom",
    ),
    (
        E,
        "    symptom: {exhaust-block-valve: shut-or-throttled}",
        "    symptom: {§exhaust-blok-valve: shut-or-throttled}",
        "exhaust-block-valve",
    ),
    (
        E,
        "    symptom: {exhaust-block-valve: shut-or-throttled}",
        "    symptom: {exhaust-block-valve: §shut-or-throtled}",
        "shut-or-throttled",
    ),
    (
        E,
        "    otherwise: almost never\n    caution: sentinel-sounding",
        "    §otherwize: almost never\n    caution: sentinel-sounding",
        "otherwise",
    ),
    (E, "    caution: sentinel-sounding", "    §caution: sentinal-sounding", "sentinel-sounding"),
    (E, "    caution: relief-passing", "    §cautions: relief-passing", "caution"),
    (
        E,
        "    actions:\n      - {who: operator, do: Take the high",
        "    §action:\n      - {who: operator, do: Take the high",
        "actions",
    ),
    (
        E,
        "      relief-valve-passing: {seen: usually, source: safety-valve-guide}",
        "      §relief-valve-pasing: {seen: usually, source: safety-valve-guide}",
        "relief-valve-passing",
    ),
    (
        E,
        "      water-in-exhaust-line: {seen: rarely, source: common practice}",
        "      §water-in-exhaust-lines: {seen: rarely, source: common practice}",
        "water-in-exhaust-line",
    ),
    (
        E,
        "      relief-valve-passing: {seen: almost always, source: safety-valve-guide}",
        "      relief-valve-passing: {§sen: almost always, source: safety-valve-guide}",
        "seen",
    ),
    (
        E,
        "      sentinel-valve-silent-when-high: usually",
        "      §sentinel-valve-silent-when-hihg: usually",
        "sentinel-valve-silent-when-high",
    ),
    (
        E,
        "    source: naval-auxiliary-exhaust\n\n  - rule: exhaust-header-report-low",
        "    §source: naval-auxilliary-exhaust\n\n  - rule: exhaust-header-report-low",
        "naval-auxiliary-exhaust",
    ),
    (
        E,
        "      - {reading: exhaust-temperature, above: machine.normal-exhaust-temperature + 20 K}",
        "      - {§reding: exhaust-temperature, above: machine.normal-exhaust-temperature + 20 K}",
        "reading",
    ),
    (
        E,
        "      - {reading: exhaust-temperature, below: machine.normal-exhaust-temperature - 20 K}",
        "      - {reading: §exhaust-temperatur, below: machine.normal-exhaust-temperature - 20 K}",
        "exhaust-temperature",
    ),
    (
        E,
        "      - {reading: exhaust-pressure, at-least: machine.exhaust-casing-pressure-max}",
        "      - {reading: exhaust-pressure, §atleast: machine.exhaust-casing-pressure-max}",
        "at-least",
    ),
    (
        E,
        "      - {reading: exhaust-pressure, above: machine.normal-exhaust-pressure + 0.3 bar}",
        "      - {reading: exhaust-pressure, above: §machine.normal-exhaust-presure + 0.3 bar}",
        "exhaust-pressure",
    ),
    (W, "    needs: [jacket-cooling]", "    §needs: [jacket-coolling]", "jacket-cooling"),
    (W, "    needs: [jacket-cooling]", "    §need: [jacket-cooling]", "needs"),
    (W, "    phases: [run-up, loaded, shutdown]", "    §phases: [run-up, loaded, shut-down]", "shutdown"),
    (W, "    phases: [run-up]\n", "    §phases: [runup]\n", "run-up"),
    (W, "          - {feature: oil-cooler}", "          - {feature: §oil-coolers}", "oil-cooler"),
    (W, "      - any-of:\n          - {feature", "      - §any-off:\n          - {feature", "any-of"),
    (W, "    excludes: {water-cooling: not-fitted}", "    §exludes: {water-cooling: not-fitted}", "excludes"),
    (W, "    conclude: {water-cooling: fitted}", "    conclude: {water-cooling: §fited}", "fitted"),
    (C, "    rank: call-supervisor", "    §rank: call-supervisors", "call-supervisor"),
    (C, "    say: ", "    §says: ", "say"),
)

WORD = broken(
    "wrong word",
    (E, "    misread: seldom", "    §misread: rarely", "seldom"),
    (E, "    can-tell: about half", "    §can-tell: half the time", "about half"),
    (E, "    can-tell: usually\n    misread: sometimes", "    §can-tell: mostly\n    misread: sometimes", "usually"),
    (E, "    who: maintenance", "    §who: fitter", "maintenance"),
    (E, "    values: {agrees: normal, disagrees: abnormal}", "    §values: {agrees: good, disagrees: bad}", "normal"),
    (E, "    how-common: common\n", "    §how-common: often\n", "common"),
    (E, "    how-common: seldom", "    §how-common: rarely", "seldom|rare"),
    (E, "    severity: dangerous", "    §severity: high", "dangerous"),
    (E, "    severity: minor", "    §severity: low", "minor"),
    (
        E,
        "    phases: [loaded]\n    source: common practice\n\n  sentinel-when",
        "    §phases: [running]\n    source: common practice\n\n  sentinel-when",
        "loaded",
    ),
    (E, "    phases: [pre-start, shutdown]", "    §phases: [before start, shutdown]", "pre-start"),
    (
        E,
        '      - {who: supervisor, do: "Have header users',
        '      - {who: §foreman, do: "Have header users',
        "supervisor",
    ),
    (E, "      nozzle-or-blade-erosion: about half", "      §nozzle-or-blade-erosion: half", "about half"),
    (E, "      internal-rub: rarely", "      §internal-rub: seldom", "rarely"),
    (E, "      pump-lost-prime: sometimes", "      §pump-lost-prime: 0.2", "sometimes"),
    (E, "      pump-below-minimum-flow: sometimes", "      §pump-below-minimum-flow: occasionally", "sometimes"),
    (
        E,
        "      sentinel-valve-out-of-adjustment: almost always",
        "      §sentinel-valve-out-of-adjustment: always",
        "almost always",
    ),
    (
        E,
        "    otherwise: rarely\n    caution: exhaust-not-open",
        "    §otherwise: never\n    caution: exhaust-not-open",
        "almost never",
    ),
    (E, "    symptom: {sentinel-valve: sounding}", "    symptom: {sentinel-valve: §blowing}", "sounding"),
    (E, "    symptom: {relief-valve: lifting}", "    symptom: {relief-valve: §open}", "lifting"),
    (E, "    symptom: {exhaust-pressure-level: low}", "    symptom: {exhaust-pressure-level: §too low}", "low"),
    (E, "    conclude: {sentinel-when-high: sounds}", "    conclude: {sentinel-when-high: §sounding}", "sounds"),
    (
        E,
        "      - {exhaust-pressure-level: high}\n      - {unknown",
        "      - {exhaust-pressure: §high}\n      - {unknown",
        "exhaust-pressure-level",
    ),
    (
        W,
        "      cooling-water-supply-low: almost always",
        "      §cooling-water-supply-low: nearly always",
        "almost always",
    ),
    (W, "    symptom: {cooling-valve: wide-open}", "    symptom: {cooling-valve: §open}", "wide-open"),
    (
        W,
        "    symptom: {cooling-water-flow: little-or-none}",
        "    symptom: {cooling-water-flow: §none}",
        "little-or-none",
    ),
    (W, "    how-common: sometimes", "    §how-common: about half", "sometimes|very common"),
    (C, "    rank: call-supervisor", "    §rank: urgent", "call-supervisor"),
)

UNIT = broken(
    "wrong unit",
    (E, "    reading: {unit: bar gauge, plausible", "    §reading: {unit: barg, plausible", "bar gauge"),
    (
        E,
        "    reading: {unit: C, plausible: [40, 500], accuracy: 4}",
        "    §reading: {unit: deg C, plausible: [40, 500], accuracy: 4}",
        "C",
    ),
    (
        E,
        "    reading: {unit: C, plausible: [40, 500], accuracy: 4}",
        "    §reading: {unit: celsius, plausible: [40, 500], accuracy: 4}",
        "C",
    ),
    (E, "    reading: {unit: bar gauge, plausible", "    §reading: {unit: psi, plausible", "bar gauge"),
    (E, "    effort: 1 min\n    misread: seldom", "    §effort: 1\n    misread: seldom", "min"),
    (
        E,
        "    effort: 3 min\n    can-tell: about half\n    also-called: [second",
        "    §effort: 3 metres\n    can-tell: about half\n    also-called: [second",
        "min",
    ),
    (E, "above: machine.normal-exhaust-pressure + 0.3 bar}", "above: §machine.normal-exhaust-pressure + 0.3}", "bar"),
    (E, "above: machine.normal-exhaust-pressure + 0.3 bar}", "above: §machine.normal-exhaust-pressure + 0.3 K}", "bar"),
    (
        E,
        "above: machine.normal-exhaust-temperature + 20 K}",
        "above: §machine.normal-exhaust-temperature + 20 bar}",
        "K|temperature",
    ),
    (E, "below: machine.normal-exhaust-temperature - 20 K}", "below: §machine.normal-exhaust-temperature - 20}", "K"),
    (
        E,
        "{reading: exhaust-pressure, above: 115 % of machine.exhaust-pressure-max}",
        "{reading: exhaust-pressure, above: §2.6 C}",
        "pressure|bar",
    ),
    (
        E,
        "{reading: exhaust-pressure, above: 115 % of machine.exhaust-pressure-max}",
        "{reading: exhaust-pressure, above: §2.6}",
        "bar|unit",
    ),
    (
        E,
        "{reading: exhaust-pressure, above: machine.exhaust-pressure-max}",
        "{reading: exhaust-pressure, above: §2.6 bar}",
        "gauge",
    ),
    (
        E,
        "{reading: exhaust-pressure, above: machine.exhaust-pressure-max}",
        "{reading: exhaust-pressure, above: §machine.rated-speed}",
        "unit",
    ),
    (
        W,
        "    reading: {unit: K, plausible: [-5, 80], accuracy: 1}",
        "    §reading: {unit: Kelvin, plausible: [-5, 80], accuracy: 1}",
        "K",
    ),
    (
        W,
        "      - {reading: cooling-water-rise, above: 17 K}",
        "      - {reading: cooling-water-rise, above: §17 rpm}",
        "K|temperature|difference",
    ),
    (
        W,
        "      - {reading: cooling-water-rise, below: 1.5 K}",
        "      - {reading: cooling-water-rise, below: §1,5,5 K}",
        "number|K",
    ),
    (W, "    effort: 120 min", "    §effort: two hours", "number|min"),
)

COPIED = broken(
    "copied block",
    (E, "  - rule: exhaust-pressure-well-below-usual", "  - rule: §exhaust-pressure-well-above-usual", "[Rr]ename"),
    (
        E,
        "  - rule: exhaust-temperature-well-below-usual",
        "  - rule: §exhaust-temperature-well-above-usual",
        "[Rr]ename",
    ),
    (
        E,
        "  - rule: exhaust-block-valve-shut-running-caution",
        "  - rule: §exhaust-block-valve-shut-before-start-caution",
        "[Rr]ename",
    ),
    (E, "  sentinel-look:\n", "  §sentinel-valve:\n", "Delete one|join"),
    (
        E,
        "  sentinel-valve-silent-when-high:\n    title",
        "  §sentinel-valve-out-of-adjustment:\n    title",
        "Delete one|join",
    ),
    (E, "  exhaust-temperature-level:\n    title", "  §exhaust-pressure-level:\n    title", "Delete one|join"),
    (E, "  relief-test:\n", "  §relief-look:\n", "Delete one|join"),
    (E, "      nozzle-or-blade-deposits: sometimes", "      §nozzle-or-blade-erosion: sometimes", "Delete one|join"),
    (
        E,
        "    if-left: Nothing warns before the casing is over-pressured.",
        "    if-left: Nothing warns.\n    §if-left: Nothing warns before the casing is over-pressured.",
        "Delete one|join",
    ),
    (
        E,
        "  - rule: relief-test-early-or-leaking\n    symptom: {relief-test: early-or-leaking}",
        "  - rule: §relief-test-early\n    symptom: {relief-after-lift: kept-leaking}",
        "[Jj]oin",
    ),
    (W, "  - rule: cooling-supply-warmth-cold", "  - rule: §cooling-supply-warmth-warm", "[Rr]ename"),
    (W, "  cooling-water-too-warm:\n", "  §cooling-water-supply-low:\n", "Delete one|join"),
    (W, "    phases: [run-up, loaded, shutdown]", "    §phases: [run-up, loaded, loaded]", "Delete one"),
)

SWAPPED = broken(
    "swapped",
    (
        E,
        "    ask: What does the exhaust thermometer read?\n    how: Read the thermometer in the exhaust line or at the exhaust flange. Touch no metal.",
        "    §ask: Read the thermometer in the exhaust line or at the exhaust flange. Touch no metal.\n    how: What does the exhaust thermometer read?",
        "\\?",
    ),
    (
        E,
        "    reading: {unit: C, plausible: [40, 500], accuracy: 4}",
        "    §reading: {unit: C, plausible: [500, 40], accuracy: 4}",
        "\\[40, 500\\]",
    ),
    (
        E,
        "    values: {agrees: normal, disagrees: abnormal}",
        "    §values: {normal: agrees, abnormal: disagrees}",
        "normal",
    ),
    (
        E,
        "    values: {silent: normal, sounding: abnormal}",
        "    §values: {silent: abnormal, sounding: abnormal}",
        "[Mm]ark one",
    ),
    (E, "    how-common: common\n    severity: serious", "    §how-common: serious\n    severity: common", "common"),
    (
        E,
        "    severity: minor\n    if-left: Users",
        "    §severity: Users of the exhaust steam go short.\n    if-left: minor",
        "minor",
    ),
    (
        E,
        '      - {who: maintenance, do: "Put the trap, drain or sagging pipe right.", procedure: steam traps}',
        '      - {who: §"Put the trap, drain or sagging pipe right.", do: maintenance, procedure: steam traps}',
        "maintenance",
    ),
    (E, "    symptom: {sentinel-valve: sounding}", "    symptom: {§sounding: sentinel-valve}", "sentinel|finding"),
    (
        E,
        "    conclude: {exhaust-temperature-level: low}",
        "    conclude: {§low: exhaust-temperature-level}",
        "finding|condition",
    ),
    (E, "      nozzle-or-blade-erosion: about half", "      §about half: nozzle-or-blade-erosion", "cause"),
    (
        E,
        "      relief-valve-passing: {seen: usually, source: safety-valve-guide}",
        "      relief-valve-passing: {seen: §safety-valve-guide, source: usually}",
        "usually",
    ),
    (E, "    symptom: {exhaust-gauge-check: disagrees}", "    symptom: §{exhaust-gauge-check: agrees}", "abnormal"),
    (
        E,
        "      - {reading: exhaust-pressure, above: machine.exhaust-pressure-max}\n    conclude",
        "      - {reading: §machine.exhaust-pressure-max, above: exhaust-pressure}\n    conclude",
        "finding|exhaust-pressure",
    ),
    (
        E,
        "    needs: [relief-valve]\n    effort: 1 min\n    hazard: live steam\n    also-called: [safety",
        "    §needs: [live steam]\n    effort: 1 min\n    hazard: relief-valve\n    also-called: [safety",
        "feature",
    ),
    (
        E,
        "    phases: [loaded]\n    effort: 1 min\n    hazard: hot",
        "    §phases: [1 min]\n    effort: loaded\n    hazard: hot",
        "loaded|phase|run-up",
    ),
    (W, "    who: maintenance\n", "    §who: 120 min\n", "maintenance"),
    (W, "    excludes: {water-cooling: not-fitted}", "    §excludes: {not-fitted: water-cooling}", "finding|condition"),
    (W, "          - {feature: jacket-cooling}", "          - {§jacket-cooling: feature}", "feature|finding"),
    (C, "    rank: call-supervisor\n    say: ", "    §rank: ", "call-supervisor"),
)

BREAKAGES = [*INDENT, *COLON, *QUOTE, *TAB, *BRACKET, *TYPO, *WORD, *UNIT, *COPIED, *SWAPPED]


def told(breakage, load):
    """Give whether the right line is named at all, whether the first problem has line and mend right, and its words."""
    texts, line = breakage.texts()
    problems = load(texts)[1]
    named = any(one.place.line == line and one.place.file == f"rules/{breakage.file}" for one in problems)
    first = problems[0] if problems else None
    words = first.line() if first else "nothing"
    right = first is not None and first.place.line == line and re.search(breakage.mend, f"{first.says} {first.mend}")
    return named, bool(right), line, words

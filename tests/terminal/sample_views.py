"""Hand-made views of an invented machine, for tests of what is shown."""

from diagnose.consultation.view import (
    ActionRow,
    AnsweredRow,
    CauseRow,
    CautionRow,
    Choice,
    Contradiction,
    Question,
    ReferredCheck,
    View,
    Weight,
    WhyAsked,
)

CALL = CautionRow(
    caution="casing-pressure-high",
    rank="call-supervisor",
    say="Pressure in the exhaust casing may be too high. Stand clear of the relief outlet.",
    do="Follow the local procedure for high exhaust pressure; tell the supervisor now.",
    procedure="exhaust pressure high (OP-114)",
    because=("Exhaust pressure: 2.9 bar gauge",),
    source="common practice",
)
STOP = CautionRow(
    caution="overspeed",
    rank="stop-now",
    say="The speed is above the trip setting.",
    do="Trip by hand now, from the side. Call the supervisor. Do not reset.",
    procedure="overspeed (OP-101)",
    because=("Speed: 4100 rpm",),
    source="common practice",
)
WATCH = CautionRow(
    "water-in-oil", "watch", "Water may be in the oil.", "Look again each hour.", "", (), "common practice"
)

LOOK = Question(
    finding="bearing-oil-look",
    ask="What does a small sample of bearing oil look like?",
    how="Draw a little from the drain into a clean glass; let it stand a minute.",
    hazard="hot oil",
    minutes=3,
    choices=(
        Choice("clear", "clear", normal=True),
        Choice("milky", "milky", normal=False),
        Choice("foamy", "foamy", normal=False),
        Choice("dark", "dark", normal=False),
    ),
    unit="",
    usual="clear",
    why=WhyAsked(
        settles_stop=False,
        separates=("Cooling jacket leaks", "Oil is overfilled"),
        bits=0.61,
        minutes=3,
        expected=(("milky", 0.5), ("clear", 0.4)),
    ),
)
PRESSURE = Question(
    finding="exhaust-pressure",
    ask="What does the exhaust pressure gauge at the casing read?",
    how="Read it square on; tap nothing.",
    hazard="hot surfaces",
    minutes=1,
    choices=(
        Choice("normal", "normal", normal=True),
        Choice("high", "high", normal=False),
        Choice("low", "low", normal=False),
    ),
    unit="bar gauge",
    usual="2.0 bar gauge",
    why=WhyAsked(settles_stop=True, separates=(), bits=0.2, minutes=1, expected=()),
)
LEAK = CauseRow(
    cause="cooling-jacket-leak",
    title="Cooling water leaks from the jacket into the bearing housing",
    probability=0.712,
    words="likely",
    severity="serious",
    subsystem="bearings",
    weights=(Weight("bearing-oil-look", "milky", 14.2), Weight("oiler-level", "falling", -3.4)),
    if_left="The bearing loses its oil film.",
    settled_by="Pressure test of the jacket.",
    source="common practice",
)
FAILING = CauseRow(
    cause="thrust-failing",
    title="Thrust bearing is failing",
    probability=0.21,
    words="unlikely",
    severity="dangerous",
    subsystem="bearings",
    weights=(Weight("bearing-oil-look", "milky", -6.0),),
    if_left="The wheel strikes the casing.",
    settled_by="",
    source="from memory",
)
NOT_COVERED = CauseRow("", "Something these rules do not cover", 0.078, "very unlikely", "", "", (), "", "", "")
SAID = AnsweredRow("bearing-oil-look", LOOK.ask, "milky", "", sure=True, cannot_tell=False, machine="")
READ = AnsweredRow("exhaust-pressure", PRESSURE.ask, "2.9 bar gauge", "high", sure=True, cannot_tell=False, machine="")
ELSEWHERE = AnsweredRow("exhaust-pressure", PRESSURE.ask, "high", "", sure=True, cannot_tell=False, machine="FDF-1")

ASKING = View(
    machine="BFP-2",
    machine_title="Boiler feed pump turbine",
    phase="loaded",
    question=LOOK,
    standing="asking",
    ranking=(LEAK, FAILING, NOT_COVERED),
    cautions=(CALL,),
    answered=(READ,),
    actions=(),
    procedures=(),
    contradictions=(),
    referred=(),
    refer=(),
    conflict=0.0,
    put_right=(),
    supervisor=("", "", ""),
    revision="1f2e",
)
ENDED = ASKING._replace(
    question=None,
    standing="settled",
    answered=(READ, SAID, ELSEWHERE),
    actions=(
        ActionRow("maintenance", "Test the jacket under pressure.", "", "Cooling jacket leaks"),
        ActionRow("operator", "Tell the supervisor.", "bearing oil (OP-120)", "Cooling jacket leaks"),
    ),
    procedures=("bearing oil (OP-120)", "exhaust pressure high (OP-114)"),
    contradictions=(Contradiction("Exhaust pressure level", ("Exhaust pressure: high", "Casing gauge: normal")),),
    referred=(ReferredCheck("oil-sample", "What does the laboratory find in the oil?", "maintenance", 0.5),),
    refer=("dangerous-cause",),
    put_right=("Oil is overfilled",),
    supervisor=(
        "BFP-2, loaded: oil milky.",
        "Most likely: jacket leaks (71%).",
        "Please decide whether it keeps running.",
    ),
)
NOTHING_YET = ASKING._replace(question=None, standing="no-symptom", ranking=(), cautions=(), answered=())

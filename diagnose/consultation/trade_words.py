"""Words that mean the same on the shop floor, and their stems: what an operator types becomes meanings to compare.

Meanings are for looking things up only; no rule and no screen rests on them. Words stand here when two people would
use them for the same thing or state; words that tell two findings apart (warm and hot apart, pass and leak together)
were settled by how often the right finding comes first over the ``also-called`` phrases of the shipped rules.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache

__all__ = ["NORMAL", "NOT", "meanings", "stem", "told_by"]

_SHORT = 3  # letters that a stem keeps at least

# Said in several words, or run together: replaced before the words are parted.
_SAID_TOGETHER = {
    # one part or quantity, written in different ways
    "back pressure": "exhaust pressure",
    "backpressure": "exhaust pressure",
    "outlet steam": "exhaust steam",
    "leak off": "leakoff",
    "check valve": "checkvalve",
    "non return valve": "checkvalve",
    "nonreturn valve": "checkvalve",
    "safety valve": "relief valve",
    "sight glass": "glass",
    "gauge glass": "glass",
    "gage glass": "glass",
    "bulls eye": "glass",
    "hand wheel": "handwheel",
    "trip and throttle valve": "trip valve",
    "trip throttle valve": "trip valve",
    "blow off": "blowoff",
    "anti surge": "antisurge",
    "min flow": "minflow",
    "minimum flow": "minflow",
    "hold down": "holddown",
    "end float": "endfloat",
    "end play": "endfloat",
    "infra red": "infrared",
    "ir gun": "infrared gun",
    "white metal": "babbitt",
    "acid number": "acid",
    "delta t": "temperature rise",
    "delta p": "pressure drop",
    "next door": "neighbour",
    # one state
    "than normal": "than",
    "than usual": "than",
    "than it should be": "than",
    "bit by bit": "slowly",
    "little by little": "slowly",
    "up and down": "swinging",
    "back and forth": "swinging",
    "all at once": "suddenly",
    "gone up": "higher",
    "goes up": "higher",
    "way up": "higher",
    "gone down": "lower",
    "came on": "cut in",
    "kicked in": "cut in",
    "by itself": "itself",
    "on its own": "itself",
    "come up to": "reach",
    "comes up to": "reach",
    "blocked in": "shut",
    "goes away": "eases",
    "went away": "eases",
    "go away": "eases",
    "hard to": "stiff",
    "do nothing": "no response",
    "does nothing": "no response",
    "did nothing": "no response",
    "no effect": "no response",
    "leaking by": "passing",
    "leaks by": "passing",
    "one end": "oneend",
    "both ends": "bothends",
}

# meaning: words for it. The meaning is itself one of the words.
_ALIKE = {
    # abbreviations of the log sheet
    "bearing": "brg brgs journal",
    "oil": "lube lubricating lubrication lubricant lo",
    "temperature": "temp temps",
    "pressure": "press psi psig psia kpa bar barg mpa",
    "speed": "rpm rev revs",
    "vibrate": "vibration vib vibes shake shaky judder tremble",
    "governor": "gov guv",
    "exhaust": "exh lp",
    "header": "main manifold",
    "tachometer": "tach tacho strobe",
    "standby": "aux auxiliary spare",
    "differential": "dp",
    "mils": "mil um micron microns proximity",
    "velocity": "mm/s ips in/s",
    "relief": "prv psv srv",
    # parts under other names
    "ring": "slinger flinger",
    "glass": "sightglass bullseye",
    "oiler": "bubbler bottle cup",
    "warning": "sentinel sentinal",
    "thermometer": "thermocouple rtd",
    "pickup": "probe sensor transducer",
    "damper": "vane vanes louvre louver",
    "lagging": "insulation cladding",
    "bedplate": "baseplate soleplate foundation",
    "linkage": "lever rod rods link links",
    "adjuster": "changer knob",
    "recycle": "antisurge blowoff bypass",
    "minflow": "recirc recirculation",
    "trip": "emergency",
    "inlet": "admission supply",
    "gauge": "gage needle",
    "float": "endfloat axial",
    "vent": "breather",
    "tag": "lock lockout label",
    # states
    "low": "lower drop dropped fall fallen sag sink dip",
    "high": "higher",
    "rise": "rising risen climb creep crept",
    "slow": "slowly gradual gradually sluggish",
    "sudden": "suddenly abruptly step jump shot",
    "swing": "swung fluctuate oscillate hunt bounce flicker cycle pulsate unsteady pulse pulsing surge",
    "shut": "close closed",
    "jerk": "jerky",
    "stiff": "tight",
    "stick": "stuck seize jam freeze frozen froze bind bound",
    "block": "plug clog choke foul restrict",
    "leak": "drip weep seep pass",
    "spray": "throw threw thrown slung sling fling flung",
    "milk": "milky emulsify emulsion cloudy cream creamy mayonnaise mayo white coffee cappuccino latte hazy",
    "foam": "foamy froth frothy bubble bubbly aerate suds",
    "dark": "black brown",
    "metal": "babbitt babbit flake sliver shaving glitter shiny",
    "dirt": "dirty muddy grit sand rusty sludge",
    "deposit": "scale crust",
    "hot": "warm hotter warmer overheat boil lukewarm tepid",
    "bang": "hammer thump thud slam",
    "rub": "scrape grind graze",
    "squeal": "squeak screech howl scream whine growl rumble grumble shriek",
    "rattle": "clatter chatter",
    "noise": "noisy sound hear",
    "whistle": "chirp",
    "burn": "burnt scorch acrid",
    "smell": "stink odour odor reek",
    "smoke": "fume fumes smoulder",
    "loose": "slack slop sloppy play backlash",
    "break": "broke broken snap snapped rupture burst",
    "bend": "bent",
    "disagree": "differ different mismatch dontmatch",
    "turn": "spin rotate revolve",
    "overspeed": "runaway race",
    "heavy": "big large huge badly",
    "load": "power output",
    "overdue": "expired lapse",
    "neighbour": "adjacent",
    "false": "spurious nuisance",
    "water": "moisture",
    "sweat": "condensation droplet",
    "carryover": "prime",
    "refit": "alignment align rebuild overhaul",
    "full": "over overfill",
    "none": "no nothing empty nil without",
    "not": "wont cant cannot dont doesnt didnt never isnt wouldnt couldnt fail refuse forgot forget unable",
    "reset": "relatch",
    "latch": "engage",
}

_SMALL = frozenset(
    """
    a an and are as at be been being by can come comes coming did do does for from get gets getting got going
    goes gone had has have i if in into is it its just keep keeps kept like me my now of on one or our really
    seem seems so some than that the their them there they this to too very was we were what when where which
    while will with would you your after today yesterday somebody someone again still look looks much many
    """.split()  # noqa: SIM905 - a list of words reads better so
)
NORMAL = ("normal", "ok", "fine", "good", "usual", "healthy")
NOT = "not"
_UNITS_AFTER_NUMBER = {"c": "temperature", "f": "temperature", "deg": "temperature", "degc": "temperature"}


# For telling values only: a value's word, and what also tells it once the finding is known.
_TELL = {
    "high": "up above over rise overspeed",
    "low": "down below short none",
    "large": "high up heavy",
    "heavy": "high",
    "above": "high over full",
    "below": "low early",
    "fast": "sudden quick",
    "grew": "rise slow worse",
    "climbing": "away",
    "milky": "water",
    "stopped": "stick not none",
    "violent": "heavy",
    "severe": "heavy",
    "swinging": "jerky",
    "stiff": "not",
    "creeps": "slow",
    "longer": "long age",
    "dark": "burn",
}


def meanings(text: str) -> tuple[str, ...]:
    """Return the meanings in a text, in order: no small words, no bare numbers, one spelling for what means the same.

    >>> meanings("The BRG is running at 190 F!")
    ('bear', 'run', 'temperatur')
    """
    joined = " ".join(_parted(text))
    words = _said_together().sub(lambda said: _SAID_TOGETHER[said.group()], joined).split()
    return tuple(
        meaning
        for before, word in zip(["", *words], words, strict=False)
        if (meaning := _meaning(word, after_number=before.isdigit()))
    )


def _parted(text: str) -> list[str]:
    joined = re.sub("[\u2019']", "", text.lower())
    return re.findall(r"[a-z]+/[a-z]+|\d+x\b|[a-z]+|\d+", joined)


@cache
def _said_together() -> re.Pattern[str]:
    longest_first = sorted(_SAID_TOGETHER, key=len, reverse=True)
    return re.compile(rf"\b(?:{'|'.join(longest_first)})\b")


@lru_cache(4096)
def _meaning(word: str, *, after_number: bool) -> str:
    if after_number and word in _UNITS_AFTER_NUMBER:
        word = _UNITS_AFTER_NUMBER[word]
    if word.isdigit() or word in _SMALL or (len(word) == 1 and word.isalpha()):
        return ""
    return _alike().get(stem(word), stem(word))


@cache
def told_by() -> dict[str, frozenset[str]]:
    """Return, for the meaning of a value's word, the other meanings that tell it once the finding is known."""
    return {_meaning(word, after_number=False): frozenset(meanings(words)) for word, words in _TELL.items()}


@cache
def _alike() -> dict[str, str]:
    return {stem(word): stem(meaning) for meaning, words in _ALIKE.items() for word in [meaning, *words.split()]}


def stem(word: str) -> str:
    """Cut the endings off a word, so that leaking, leaks and leaked are one.

    >>> stem("dripping"), stem("valves"), stem("noisy"), stem("bearings"), stem("speed")
    ('drip', 'valv', 'nois', 'bear', 'speed')
    """
    if word.endswith("s") and not word.endswith("ss") and len(word) > _SHORT:
        word = word.removesuffix("s")
    for ending in ("ingly", "ing", "ied", "ed", "ie", "ly", "y"):
        root = word.removesuffix(ending)
        if root != word and len(root) >= _SHORT and not word.endswith("eed"):
            doubled = len(root) > _SHORT and root[-1] == root[-2] and root[-1] not in "sl"
            return root[:-1] if doubled else root
    return word.removesuffix("e") if len(word) > _SHORT + 1 else word

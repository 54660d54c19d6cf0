"""The units people write, what each measures, and conversion between them.

Conversions come from ``pint`` with definitions of our own, imported only when a unit is not the canonical one.
Factors: exact by definition of the inch, pound, US gallon and standard gravity (NIST SP 811, appendix B).
"""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = ["CANONICAL", "DIMENSIONS", "Unit", "convert", "difference_unit", "dimension", "parse", "spellings"]


class Unit(NamedTuple):
    """A unit as written: what it measures, the expression to convert by, and its reference.

    ``reference`` is gauge, absolute, vacuum or difference for a pressure; rms or peak for a vibration velocity;
    p-p or peak for a displacement; empty when none was written.
    """

    kind: str
    expression: str
    reference: str


CANONICAL: Mapping[str, Unit] = {
    "bar gauge": Unit("pressure", "bar", "gauge"),
    "bar absolute": Unit("pressure", "bar", "absolute"),
    "bar": Unit("pressure", "bar", "difference"),
    "C": Unit("temperature", "degC", ""),
    "K": Unit("temperature difference", "kelvin", ""),
    "rpm": Unit("rotation", "1/minute", ""),
    "Hz": Unit("rotation", "1/second", ""),
    "mm/s rms": Unit("velocity", "millimeter/second", "rms"),
    "um p-p": Unit("length", "micrometer", "p-p"),
    "mm": Unit("length", "millimeter", ""),
    "s": Unit("time", "second", ""),
    "min": Unit("time", "minute", ""),
    "%": Unit("share", "percent", ""),
    "ppm": Unit("share", "ppm", ""),
    "m3/h": Unit("flow", "meter**3/hour", ""),
    "l/min": Unit("flow", "liter/minute", ""),
    "kg/h": Unit("mass flow", "kilogram/hour", ""),
    "kW": Unit("power", "kilowatt", ""),
    "mm2/s": Unit("viscosity", "millimeter**2/second", ""),
    "mg KOH/g": Unit("acid number", "mgkoh", ""),
    "A": Unit("current", "ampere", ""),
    "kJ/kg": Unit("heat", "kilojoule/kilogram", ""),
    "kg/kWh": Unit("steam rate", "kilogram/kilowatthour", ""),
}

DIMENSIONS: Mapping[str, str] = {
    "bar gauge": "pressure",
    "bar absolute": "absolute-pressure",
    "bar": "pressure-difference",
    "C": "temperature",
    "K": "temperature-difference",
    "rpm": "speed",
    "Hz": "frequency",
    "mm/s rms": "vibration-velocity",
    "um p-p": "vibration-displacement",
    "mm": "length",
    "s": "time",
    "min": "time",
    "%": "percentage",
    "ppm": "concentration",
    "m3/h": "flow",
    "l/min": "flow",
    "kg/h": "mass-flow",
    "kW": "power",
    "mm2/s": "viscosity",
    "mg KOH/g": "acid-number",
    "A": "current",
    "kJ/kg": "specific-enthalpy",
    "kg/kWh": "steam-rate",
}

# What is measured -> spelling, lower case without blanks, dots, brackets or hyphens -> expression.
_SPELLINGS: Mapping[str, Mapping[str, str]] = {
    "pressure": {
        **dict.fromkeys(("bar", "bars"), "bar"),
        **dict.fromkeys(("mbar", "millibar"), "millibar"),
        **dict.fromkeys(("psi", "lb/in2", "lbf/in2", "pounds", "lbs", "lb"), "psi"),
        "kpa": "kilopascal",
        "mpa": "megapascal",
        "pa": "pascal",
        **dict.fromkeys(("kg/cm2", "kgf/cm2", "ksc"), "kgf/centimeter**2"),
        "inhg": "inhg",
        "mmhg": "mmhg",
        **dict.fromkeys(("inh2o", "inwc", "inwg"), "inh2o"),
        **dict.fromkeys(("mmh2o", "mmwc", "mmwg"), "mmh2o"),
    },
    "temperature": {
        **dict.fromkeys(("c", "degc", "celsius", "centigrade"), "degC"),
        **dict.fromkeys(("f", "degf", "fahrenheit"), "degF"),
    },
    "temperature difference": {
        **dict.fromkeys(("k", "kelvin"), "kelvin"),
        **dict.fromkeys(("fdifference", "degfdifference", "fdiff", "deltaf"), "delta_F"),
    },
    "rotation": {
        **dict.fromkeys(("rpm", "r/min", "rev/min", "cpm", "1/min"), "1/minute"),
        **dict.fromkeys(("hz", "hertz", "rps", "1/s"), "1/second"),
    },
    "velocity": {
        **dict.fromkeys(("mm/s", "mm/sec", "mmps"), "millimeter/second"),
        **dict.fromkeys(("in/s", "in/sec", "ips", "inch/s"), "inch/second"),
    },
    "length": {
        **dict.fromkeys(("um", "micron", "microns", "micrometer", "micrometre"), "micrometer"),
        **dict.fromkeys(("mil", "mils", "thou"), "mil"),
        **dict.fromkeys(("mm", "millimeter", "millimetre"), "millimeter"),
        **dict.fromkeys(("in", "inch", "inches"), "inch"),
        "cm": "centimeter",
    },
    "time": {
        **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), "second"),
        **dict.fromkeys(("min", "mins", "minute", "minutes"), "minute"),
        **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), "hour"),
    },
    "share": {
        **dict.fromkeys(("%", "percent", "pct"), "percent"),
        "ppm": "ppm",
    },
    "flow": {
        **dict.fromkeys(("m3/h", "m3/hr", "m3h", "cmh"), "meter**3/hour"),
        **dict.fromkeys(("l/min", "lpm", "liter/min", "litre/min"), "liter/minute"),
        "l/s": "liter/second",
        **dict.fromkeys(("gpm", "usgpm", "gal/min"), "gallon/minute"),
    },
    "mass flow": {
        **dict.fromkeys(("kg/h", "kg/hr"), "kilogram/hour"),
        "kg/s": "kilogram/second",
        **dict.fromkeys(("t/h", "t/hr", "tph"), "tonne/hour"),
        **dict.fromkeys(("lb/h", "lb/hr", "pph"), "pound/hour"),
    },
    "power": {"kw": "kilowatt", "mw": "megawatt", "w": "watt", **dict.fromkeys(("hp", "bhp"), "horsepower")},
    "viscosity": {**dict.fromkeys(("mm2/s", "cst", "centistoke", "centistokes"), "millimeter**2/second")},
    "acid number": {**dict.fromkeys(("mgkoh/g", "tan"), "mgkoh")},
    "current": {**dict.fromkeys(("a", "amp", "amps", "ampere", "amperes"), "ampere")},
    "heat": {"kj/kg": "kilojoule/kilogram", "btu/lb": "btu/pound"},
    "steam rate": {
        "kg/kwh": "kilogram/kilowatthour",
        "lb/kwh": "pound/kilowatthour",
        **dict.fromkeys(("lb/hph", "lb/hphr"), "pound/horsepowerhour"),
    },
}

_REFERENCES: Mapping[str, Mapping[str, str]] = {
    "pressure": {
        **dict.fromkeys(("g", "ga", "gauge", "gage"), "gauge"),
        **dict.fromkeys(("a", "abs", "absolute"), "absolute"),
        **dict.fromkeys(("v", "vac", "vacuum"), "vacuum"),
        **dict.fromkeys(("d", "diff", "difference", "differential"), "difference"),
    },
    "velocity": {"rms": "rms", **dict.fromkeys(("peak", "pk", "p", "0p", "0pk"), "peak")},
    "length": {
        **dict.fromkeys(("pp", "ptp", "pkpk", "peaktopeak"), "p-p"),
        **dict.fromkeys(("peak", "pk", "0p", "0pk"), "peak"),
    },
}

_SIGNS = str.maketrans(
    {"°": "", "º": "", "µ": "u", "μ": "u", "²": "2", "³": "3", "^": "", ".": "", "(": "", ")": "", "-": ""}
)

_DEFINITIONS = """
meter = [length]
second = [time]
kilogram = [mass]
kelvin = [temperature]; offset: 0
ampere = [current]
percent = [share]
mgkoh = [acid]
ppm = 1e-4 * percent
degC = kelvin; offset: 273.15
degF = 5 / 9 * kelvin; offset: 255.3722222222222
delta_F = 5 / 9 * kelvin
minute = 60 * second
hour = 3600 * second
millimeter = 1e-3 * meter
centimeter = 1e-2 * meter
micrometer = 1e-6 * meter
inch = 0.0254 * meter
mil = 1e-3 * inch
liter = 1e-3 * meter ** 3
gallon = 231 * inch ** 3
pound = 0.45359237 * kilogram
tonne = 1000 * kilogram
kgf = 9.80665 * kilogram * meter / second ** 2
pascal = kilogram / meter / second ** 2
kilopascal = 1e3 * pascal
megapascal = 1e6 * pascal
bar = 1e5 * pascal
millibar = 1e2 * pascal
psi = pound * 9.80665 * meter / second ** 2 / inch ** 2
mmhg = 133.3224 * pascal
inhg = 3386.389 * pascal
mmh2o = 9.80665 * pascal
inh2o = 249.0889 * pascal
watt = kilogram * meter ** 2 / second ** 3
kilowatt = 1e3 * watt
megawatt = 1e6 * watt
horsepower = 745.6999 * watt
kilojoule = 1e3 * kilogram * meter ** 2 / second ** 2
btu = 1.05505585262 * kilojoule
kilowatthour = 3600 * kilojoule
horsepowerhour = 745.6999 * watt * 3600 * second
"""


def parse(text: str) -> Unit | None:
    """Read a unit as people write it, such as ``psig``, ``°F``, ``mm/s rms``; None when it is not known.

    >>> parse("psig")
    Unit(kind='pressure', expression='psi', reference='gauge')
    """
    squeezed = "".join(text.split()).translate(_SIGNS)
    plain = squeezed.lower()
    for kind, spelt in _SPELLINGS.items():
        if plain in spelt:
            return Unit(kind, spelt[plain], "")
    return _with_reference(plain)


def spellings() -> tuple[str, ...]:
    """Every spelling known, for finding the nearest."""
    return tuple(spelling for spelt in _SPELLINGS.values() for spelling in spelt)


def dimension(unit: str) -> str:
    """Give what a canonical unit measures, as the key of a site's preferred units: ``pressure``, ``temperature``..."""
    return DIMENSIONS[unit]


def difference_unit(unit: str) -> str:
    """Give the unit in which two values of this canonical unit differ: ``bar`` for pressures, ``K`` for ``C``."""
    return {"bar gauge": "bar", "bar absolute": "bar", "C": "K"}.get(unit, unit)


def convert(value: float, given: str, wanted: str) -> float:
    """Convert between two expressions of one kind, such as ``psi`` and ``bar``; pint is imported if they differ."""
    if given == wanted:
        return value
    return float(_registry().convert(value, given, wanted))


def _with_reference(plain: str) -> Unit | None:
    for kind, references in _REFERENCES.items():
        for spelling, expression in _SPELLINGS[kind].items():
            rest = plain[len(spelling) :]
            if plain.startswith(spelling) and rest in references:
                return Unit(kind, expression, references[rest])
    return None


@functools.cache
def _registry() -> Any:  # noqa: ANN401  pint's registry has no type of its own to name here
    import pint  # 0.2 s, and seldom needed

    registry: Any = pint.UnitRegistry(None)
    registry.load_definitions(_DEFINITIONS.strip().splitlines())
    return registry

"""From a vibration number, a spectrum or phase notes: conversion, zones, the site's limits first, and the order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.calculations import vibration
from diagnose.calculations.vibration_order import order_by_phase, order_of, ordered_lines
from diagnose.consultation.worked_out.result import Mark, Result, Worked, usual
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from diagnose.knowledge.model import Machine

__all__ = ["order_results", "phase_results", "vibration_results"]

_SINE = "a sine at one frequency only; textbook"
_ZONES = {
    "A": "as new",
    "B": "fit for long running",
    "C": "for a short time only: plan the work",
    "D": "may do damage",
}
_HOUSING = "vibration of the bearing housing"
_CHARTS = "textbook vibration charts, common practice; a hint for maintenance, no verdict"


def vibration_results(
    numbers: Mapping[str, float], machine: Machine | None = None, *, power: float | None = None, flexible: bool = False
) -> Worked:
    """Judge ``vibration-velocity`` (mm/s rms), ``displacement`` of the housing and ``shaft-vibration`` (um p-p).

    ``frequency`` (rpm) is the one to convert at, the machine's rated speed unless said. The site's limits come before
    the standard's zones. Raises DiagnoseError when a speed is wanted and nothing tells it.
    """
    speed = numbers.get("frequency", usual(machine, "rated-speed"))
    results: list[Result] = []
    facts: dict[str, str] = {}
    complaints: tuple[str, ...] = ()
    velocity = numbers.get("vibration-velocity")
    if "displacement" in numbers:
        converted = vibration.velocity(numbers["displacement"], _known(speed))
        results.append(Result("velocity of that displacement", converted, "mm/s rms", "pi f D / sqrt(2)", _SINE))
        velocity = converted if velocity is None else velocity
    elif velocity is not None and speed:
        width = vibration.displacement(velocity, speed)
        results.append(Result("displacement of that velocity", width, "um p-p", "sqrt(2) v / (pi f)", _SINE))
    if velocity is not None:
        facts["vibration-velocity"] = f"{velocity:.6g} mm/s rms"
        results += _housing(velocity, machine)
        power = power or usual(machine, "rated-power")
        if power is None:
            complaints = ("The zones go by the machine's power: say --power, such as '220 kW', or name a --machine.",)
        else:
            results += _zones(velocity, machine, power, flexible=flexible)
    if "shaft-vibration" in numbers:
        facts["shaft-vibration"] = f"{numbers['shaft-vibration']:.6g} um p-p"
        results += _shaft(numbers["shaft-vibration"], _known(speed), machine)
    return Worked(tuple(results), facts, complaints)


def order_results(spectrum: Sequence[tuple[float, float]], speed: float, vanes: int = 0, blades: int = 0) -> Worked:
    """Name the lines of a spectrum (Hz, amplitude) and the order that the rules know as ``vibration-order``."""
    lines = ordered_lines(spectrum, speed, vanes, blades)
    results = [
        Result(f"line at {line.frequency:.4g} Hz", f"{line.order:.3g} x running speed", "", "60 f / N", _CHARTS, (),
               _MEANS[line.meaning])
        for line in lines[:6]
    ]  # fmt: skip
    word = order_of(spectrum, speed, vanes, blades)
    results.append(_order(word, "largest line, its like and what stands beside it"))
    return Worked(tuple(results), {} if word == "other" else {"vibration-order": word})


def phase_results(across: float) -> Worked:
    """Name what the phase across the coupling, in degrees, speaks for."""
    word = order_by_phase(across)
    result = Result(
        "phase across the coupling", f"{across:.0f} degrees", "", "180 give or take 30: against each other", _CHARTS
    )
    facts = {} if word == "other" else {"vibration-order": word}
    return Worked((result, _order(word, "phase of the running-speed line")), facts)


_MEANS = {
    "half-or-under": "just under half: oil whirl, or a rolling bearing's cage",
    "half": "half: a rub or looseness",
    "once": "once a turn: unbalance or a bend, among others",
    "twice": "twice a turn: misalignment, among others",
    "vane-pass": "vane pass of the driven pump or fan",
    "blade-pass": "blade pass",
    "other": "no multiple with a usual meaning",
}


def _order(word: str, formula: str) -> Result:
    judged = "nothing that the rules tie to causes" if word == "other" else ""
    return Result("order of the vibration", word.replace("-", " "), "", formula, _CHARTS, (), judged)


def _known(speed: float | None) -> float:
    if not speed:
        raise DiagnoseError(
            "At which frequency?", mend="Say --frequency, such as '3560 rpm' or '60 Hz', or name a --machine."
        )
    return speed


def _housing(velocity: float, machine: Machine | None) -> Iterator[Result]:
    alarm, most = usual(machine, "vibration-alarm"), usual(machine, "vibration-max")
    if alarm is not None or most is not None:
        yield _by_site(_HOUSING, velocity, "mm/s rms", (alarm, most))


def _zones(velocity: float, machine: Machine | None, power: float, *, flexible: bool) -> Iterator[Result]:
    zones = vibration.housing_zones(power, flexible=flexible)
    letter = zones.zone(velocity)
    support = "flexible" if flexible else "rigid"
    source = "ISO 20816-3 and ISO 10816-3 annex A, from memory; under 15 kW ISO 10816-1 annex B"
    formula = f"10 to 1000 Hz, {power:.4g} kW on {support} support"
    marks = tuple(
        Mark(f"{ends} at", one) for ends, one in zip(("A/B", "B/C", "C/D"), (zones.ab, zones.bc, zones.cd), strict=True)
    )
    yield Result(
        f"{_HOUSING}, zone {letter}", velocity, "mm/s rms", formula, source, marks, _ZONES[letter], letter in "CD"
    )
    own = usual(machine, "normal-vibration-velocity")
    if own is not None:
        moved = vibration.changed(velocity, own, zones)
        judged = "changed: worth a look even inside A or B" if moved else "no change that counts"
        source = "ISO 20816-3, criterion II, from memory"
        marks = (Mark("this machine's own", own), Mark("counts from a change of", 0.25 * zones.bc))
        yield Result(
            "change from its own normal",
            velocity - own,
            "mm/s rms",
            "over 25 % of B/C, up or down",
            source,
            marks,
            judged,
            moved,
        )


def _shaft(width: float, speed: float, machine: Machine | None) -> Iterator[Result]:
    alarm, most = usual(machine, "shaft-vibration-alarm"), usual(machine, "shaft-vibration-max")
    name = "shaft vibration"
    if alarm is not None or most is not None:
        yield _by_site(name, width, "um p-p", (alarm, most))
    zones = vibration.shaft_zones(speed)
    letter = zones.zone(width)
    marks = tuple(
        Mark(f"{ends} at", one) for ends, one in zip(("A/B", "B/C", "C/D"), (zones.ab, zones.bc, zones.cd), strict=True)
    )
    formula = f"4800, 9000 and 13200 / sqrt(N), N {speed:.0f} rpm"
    yield Result(
        f"{name}, zone {letter}",
        width,
        "um p-p",
        formula,
        "ISO 7919-3, from memory",
        marks,
        _ZONES[letter],
        letter in "CD",
    )
    shop = vibration.shaft_purchase_limit(speed)
    source = "API 611, numbers from memory; for a new machine in the shop, no running limit"
    yield Result("shop limit of a new machine", shop, "um p-p", "25.4 sqrt(12000 / N), 50.8 at most", source)


def _by_site(name: str, value: float, unit: str, limits: tuple[float | None, float | None]) -> Result:
    """Judge by what the machine's profile states; it goes before any standard."""
    alarm, most = limits
    marks = tuple(Mark(words, one) for words, one in zip(("alarm", "at most"), limits, strict=True) if one is not None)
    judged = (
        "over the site's limit"
        if most is not None and value > most
        else "over the site's alarm"
        if alarm is not None and value >= alarm
        else "inside the site's limits"
    )
    return Result(
        name, value, unit, "against the machine's profile", "the site", marks, judged, not judged.startswith("inside")
    )

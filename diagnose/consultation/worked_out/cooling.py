"""From cooling water and bearing temperatures: rises against their limits, and the heat that the water carries."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.calculations import cooling
from diagnose.consultation.worked_out.result import Mark, Result, Worked, usual

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from diagnose.knowledge.model import Machine

__all__ = ["BEARINGS", "cooling_results"]

BEARINGS = ("bearing-temperature-drive-end", "bearing-temperature-governor-end")
_WATER = "API general cooling-water table, from memory"


def cooling_results(numbers: Mapping[str, float], machine: Machine | None = None) -> Worked:
    """Work out what is allowed by ``water-in`` and ``water-out`` or ``cooling-water-rise``, and ``water-flow`` (l/min).

    Bearing temperatures and ``ambient`` give rises over the surroundings; ``oil-in`` and ``oil-out`` that of the oil.
    """
    results: list[Result] = []
    facts: dict[str, str] = {}
    water = numbers.get("cooling-water-rise")
    if water is None and "water-in" in numbers and "water-out" in numbers:
        water = cooling.water_rise(numbers["water-out"], numbers["water-in"])
    if water is not None:
        facts["cooling-water-rise"] = f"{water:.6g} K"
        results += _water(water, numbers.get("water-flow"), machine)
    if "oil-in" in numbers and "oil-out" in numbers:
        results.append(_oil(numbers["oil-out"] - numbers["oil-in"]))
    for name in BEARINGS:
        if name in numbers:
            facts[name] = f"{numbers[name]:.6g} C"
            results += _bearing(name, numbers[name], numbers.get("ambient"), machine)
    return Worked(tuple(results), facts)


def _water(rise: float, flow: float | None, machine: Machine | None) -> Iterator[Result]:
    own, most = usual(machine, "normal-cooling-water-rise"), usual(machine, "cooling-water-rise-max")
    limit = cooling.RISE_AT_MOST["cooling water"] if most is None else most
    marks = [Mark("at most", limit), *([Mark("usual here", own)] if own is not None else [])]
    judged = "starved or too warm" if rise > limit else "inside its limit"
    source = _WATER if most is None else f"the site; {_WATER}"
    yield Result("rise of the cooling water", rise, "K", "T out - T in", source, tuple(marks), judged, rise > limit)
    if flow is not None:
        heat = cooling.heat_carried(flow, rise)
        yield Result("heat carried by the water", heat, "kW", "4.19 m dT", "specific heat of water, textbook")
        if own is not None:
            usual_heat = cooling.heat_carried(flow, own)
            yield Result(
                "heat at this flow and the usual rise", usual_heat, "kW", "4.19 m dT", "this machine's own normal"
            )


def _oil(rise: float) -> Result:
    limit = cooling.RISE_AT_MOST["forced oil"]
    judged = "more than a sound bearing gives" if rise > limit else "inside its limit"
    marks = (Mark("at most", limit),)
    return Result(
        "rise of the oil through bearing and housing",
        rise,
        "K",
        "T out - T in",
        "API 612:2014, 10.4.1",
        marks,
        judged,
        rise > limit,
    )


def _bearing(name: str, temperature: float, ambient: float | None, machine: Machine | None) -> Iterator[Result]:
    where = name.removeprefix("bearing-temperature-").replace("-", " ")
    own, most = usual(machine, f"normal-{name}"), usual(machine, "bearing-temperature-max")
    if most is not None:
        marks = (Mark("at most", most), *([Mark("usual here", own)] if own is not None else []))
        over = temperature > most
        judged = "over the site's limit" if over else "inside the site's limit"
        yield Result(
            f"bearing temperature, {where}",
            temperature,
            "C",
            "against the machine's profile",
            "the site",
            marks,
            judged,
            over,
        )
    if own is not None:
        yield Result(
            f"rise over its own normal, {where}", temperature - own, "K", "T - T usual", "this machine's own normal"
        )
    if ambient is not None:
        forced = machine is not None and "forced-lubrication" in machine.features
        rise = cooling.bearing_rise(temperature, ambient)
        if forced:  # the limit for forced oil is on the oil, not over the surroundings
            yield Result(
                f"rise over the surroundings, {where}", rise, "K", "T - T ambient", "no published limit for forced oil"
            )
            return
        limit = cooling.RISE_AT_MOST["ring-oiled sump"]
        judged = "more than a ring-oiled bearing should have" if rise > limit else "inside its limit"
        source = "API 611 habit for ring-oiled sumps, from memory"
        yield Result(
            f"rise over the surroundings, {where}",
            rise,
            "K",
            "T - T ambient",
            source,
            (Mark("at most", limit),),
            judged,
            rise > limit,
        )

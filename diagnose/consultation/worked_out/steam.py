"""From pressures and temperatures at inlet and exhaust: superheat, steam rate, efficiency, and what the power loses."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.calculations import steam
from diagnose.calculations.pressure import absolute, gauge
from diagnose.consultation.worked_out.result import Mark, Result, Worked, usual
from diagnose.reasoning.calculated import inlet_superheat, own_efficiency, stage_efficiency
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from diagnose.knowledge.model import Machine

__all__ = ["READINGS", "steam_results"]

READINGS = ("inlet-pressure", "inlet-temperature", "exhaust-pressure", "exhaust-temperature")
_WET, _IMPOSSIBLE = 10.0, -8.0  # K: under the first water must be reckoned with, under the second a gauge is wrong
_MOIST = 0.03  # common practice for small turbines
_FALLEN = 8.0  # points of efficiency under the machine's own
_PROPERTIES = "IAPWS R7-97(2012)"
_FLOW = "nozzle flow from memory; enthalpies IAPWS R7-97(2012)"


def steam_results(numbers: Mapping[str, float], machine: Machine | None = None) -> Worked:
    """Work out all that the readings allow (canonical units, by their findings' ids; ``power`` in kW).

    The inlet pressure must be among them; without its temperature the steam is taken as dry saturated. Raises
    DiagnoseError where the formulation does not hold or the exhaust is not below the inlet.
    """
    results = [*_inlet(numbers, machine), *_moisture(numbers)]
    if "exhaust-pressure" in numbers:
        if numbers["exhaust-pressure"] >= numbers["inlet-pressure"]:
            mend = "Look which gauge is which."
            raise DiagnoseError("The exhaust pressure is not below the inlet pressure.", mend=mend)
        results += [*_expansion(numbers), *_efficiency(numbers, machine), *_power(numbers, machine)]
    facts = {name: f"{numbers[name]:.6g} {unit}" for name, unit in _UNITS.items() if name in numbers}
    return Worked(tuple(results), facts)


_UNITS = dict(zip(READINGS, ("bar gauge", "C", "bar gauge", "C"), strict=True))


def _inlet(numbers: Mapping[str, float], machine: Machine | None) -> Iterator[Result]:
    boiling = steam.saturation_temperature(absolute(numbers["inlet-pressure"]))
    yield Result("boiling point at the inlet pressure", boiling, "C", "Ts(p)", f"{_PROPERTIES}, equation 31")
    above = inlet_superheat(numbers)
    if above is None:
        return
    rated = {name: one for name in READINGS[:2] if (one := usual(machine, f"rated-{name}")) is not None}
    rated_above = inlet_superheat(rated)
    little = rated_above is not None and rated_above < _WET
    judged = "ample"
    if above < _IMPOSSIBLE:
        judged = "both readings cannot be right: take it as water in the line until a gauge is shown wrong"
    elif above < _WET:
        judged = "this machine is rated on steam with little" if little else "wet steam is near: look at the drains"
    marks = [Mark("ample from", _WET)]
    if rated_above is not None:
        marks.append(Mark("at rated steam", rated_above))
    source = f"{_PROPERTIES}, equation 31; 10 K common practice"
    warns = above < _IMPOSSIBLE or (above < _WET and not little)
    yield Result("superheat of the inlet steam", above, "K", "T - Ts(p)", source, tuple(marks), judged, warns)
    if above < _IMPOSSIBLE:
        wanted = gauge(steam.saturation_pressure(numbers["inlet-temperature"]))
        formula = "ps(T): what the gauge would show if the thermometer were right"
        yield Result("pressure at which water boils there", wanted, "bar gauge", formula, f"{_PROPERTIES}, equation 30")


def _moisture(numbers: Mapping[str, float]) -> Iterator[Result]:
    if "calorimeter" not in numbers:
        return
    wet = steam.wetness(absolute(numbers["inlet-pressure"]), numbers["calorimeter"])
    name, formula, source = (
        "moisture of the inlet steam",
        "1 - (h cal - hf) / hfg",
        "textbook of steam power; 3 % common practice",
    )
    if wet is None:
        judged = "too wet for a throttling calorimeter to tell"
        yield Result(name, "not to be told", "", formula, source, (), judged, warns=True)
    else:
        judged = "wet" if wet > _MOIST else "dry enough"
        yield Result(name, 100 * wet, "%", formula, source, (Mark("wet over", 100 * _MOIST),), judged, wet > _MOIST)


def _expansion(numbers: Mapping[str, float]) -> Iterator[Result]:
    inlet, exhaust = absolute(numbers["inlet-pressure"]), absolute(numbers["exhaust-pressure"])
    ideal = steam.expansion(inlet, numbers.get("inlet-temperature"), exhaust)
    saturated = "" if "inlet-temperature" in numbers else "inlet taken as dry saturated"
    yield Result(
        "heat drop without loss", ideal.drop, "kJ/kg", "h1 - h2s, entropy constant", _PROPERTIES, judged=saturated
    )
    source = "MIL-HDBK-1003/7, table 8 (3412.14 / drop in lb/kWh and Btu/lb)"
    yield Result("theoretical steam rate", steam.steam_rate(ideal.drop), "kg/kWh", "3600 / (h1 - h2s)", source)
    yield Result(
        "boiling point at the exhaust pressure",
        steam.saturation_temperature(exhaust),
        "C",
        "Ts(p)",
        f"{_PROPERTIES}, equation 31",
    )


def _efficiency(numbers: Mapping[str, float], machine: Machine | None) -> Iterator[Result]:
    inlet, exhaust = absolute(numbers["inlet-pressure"]), absolute(numbers["exhaust-pressure"])
    temperature = numbers.get("inlet-temperature")
    own = own_efficiency(machine) if machine else None
    if own is not None:
        expected = steam.exhaust_temperature(inlet, temperature, exhaust, own / 100)
        formula = "h2 = h1 - efficiency (h1 - h2s), at this machine's own efficiency"
        yield Result("exhaust temperature to expect", expected, "C", formula, _PROPERTIES)
    if "exhaust-temperature" not in numbers or temperature is None:
        return
    found = stage_efficiency(numbers)
    formula, name = "(h1 - h2) / (h1 - h2s)", "apparent stage efficiency"
    if found is None:
        yield Result(name, "not to be told: the exhaust is within 3 K of its boiling point", "", formula, _PROPERTIES)
        return
    marks = (Mark("this machine's own", own), Mark("fallen under", own - _FALLEN)) if own is not None else ()
    fallen = own is not None and found < own - _FALLEN
    judged = "" if own is None else "fallen" if fallen else "as usual"
    source = f"{_PROPERTIES}; 8 points from memory"
    yield Result(name, found, "%", formula, source, marks, judged, fallen)
    if found > 0:
        drop = steam.expansion(inlet, temperature, exhaust).drop
        rate = steam.steam_rate(drop, found / 100)
        yield Result("steam rate at this efficiency", rate, "kg/kWh", "3600 / (efficiency (h1 - h2s))", _PROPERTIES)
        power = numbers.get("power", usual(machine, "rated-power"))
        if power:
            yield Result("steam at this rate and power", rate * power, "kg/h", "rate x power", "common practice")


def _power(numbers: Mapping[str, float], machine: Machine | None) -> Iterator[Result]:
    """Yield what is left of the rated power, and what each departure costs alone."""
    rated = [usual(machine, f"rated-{name}") for name in READINGS[:3]]
    if rated[0] is None or rated[2] is None:
        return
    now = [numbers.get(name, one) for name, one in zip(READINGS[:3], rated, strict=True)]
    whole = usual(machine, "rated-power")
    formula = "sqrt(p1 / v1) (h1 - h2s), now over rated; valves and efficiency unchanged"
    left = _share(rated, now)
    yield Result("power left of the rated", 100 * left, "%", formula, _FLOW)
    for name, places in (("inlet steam", (0, 1)), ("exhaust pressure", (2,))):
        alone = [now[at] if at in places else rated[at] for at in range(3)]
        lost = 100 * (1 - _share(rated, alone))
        value, unit = (lost / 100 * whole, "kW") if whole else (lost, "%")
        judged = f"{lost:.3g} % of the rated" if whole else ""
        yield Result(f"power lost by the {name}", value, unit, "1 - the same with the rest as rated", _FLOW, (), judged)


def _share(rated: list[float | None], now: list[float | None]) -> float:
    states = [(absolute(one[0] or 0.0), one[1], absolute(one[2] or 0.0)) for one in (rated, now)]
    return steam.power_share(states[0], states[1])

"""Steam by IAPWS-IF97: saturation, superheat, heat drop, steam rate, apparent stage efficiency.

Pressures in bar absolute, temperatures in C, enthalpy in kJ/kg, entropy in kJ/(kg K). Source of all properties:
IAPWS R7-97(2012), within its regions 1, 2 and 4 (up to 800 C here).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Any

from diagnose.values.problem import DiagnoseError

__all__ = [
    "Expansion",
    "SteamRangeError",
    "enthalpy",
    "exhaust_temperature",
    "expansion",
    "power_share",
    "saturation_pressure",
    "saturation_temperature",
    "stage_efficiency",
    "steam_rate",
    "superheat",
    "wetness",
]

_ENTHALPY, _ENTROPY, _VOLUME, _QUALITY, _PRESSURE, _TEMPERATURE = 4, 5, 3, 15, 0, 1  # the library's property numbers
_LOWEST, _CRITICAL, _HIGHEST = 0.00611213, 220.64, 1000.0  # bar
_COLDEST, _CRITICAL_TEMPERATURE, _HOTTEST = 0.0, 373.946, 800.0  # C
_KJ_PER_KWH = 3600.0


class SteamRangeError(DiagnoseError):
    """The pressure or temperature lies where the formulation does not hold."""


@dataclass(frozen=True, slots=True)
class Expansion:
    """Steam expanded without loss: kJ/kg before and after, their drop, entropy, and the state it ends in.

    ``dryness`` is 1.0 for dry or superheated steam.
    """

    before: float
    after: float
    drop: float
    entropy: float
    temperature: float
    dryness: float


def saturation_temperature(pressure: float) -> float:
    """Ts(p): the boiling point in C at a pressure in bar absolute. Source: IAPWS R7-97, equation 31.

    >>> round(saturation_temperature(10.0) + 273.15, 4)  # table 36: 453.035632 K at 1 MPa
    453.0356
    """
    _within("pressure", pressure, _LOWEST, _CRITICAL, "bar absolute")
    return float(_if97().px(pressure / 10, 0.0, _TEMPERATURE))


def saturation_pressure(temperature: float) -> float:
    """ps(T): the boiling pressure in bar absolute at a temperature in C. Source: IAPWS R7-97, equation 30.

    >>> round(saturation_pressure(500 - 273.15) / 10, 6)  # table 35: 2.63889776 MPa at 500 K
    2.638898
    """
    _within("temperature", temperature, _COLDEST, _CRITICAL_TEMPERATURE, "C")
    return float(_if97().tx(temperature, 0.0, _PRESSURE) * 10)


def superheat(pressure: float, temperature: float) -> float:
    """T - Ts(p) in K. Below zero the readings cannot both be right: such a line holds water or a wrong gauge.

    >>> round(superheat(18.01, 260.0))  # 17 bar gauge, 260 C: boiling point 207 C
    53
    """
    _within("temperature", temperature, _COLDEST, _HOTTEST, "C")
    return temperature - saturation_temperature(pressure)


def enthalpy(pressure: float, temperature: float) -> float:
    """h(p, T) in kJ/kg. Source: IAPWS R7-97, equations 7 and 15.

    >>> round(enthalpy(0.035, 300 - 273.15), 4)  # table 15: 2549.91145 at 0.0035 MPa, 300 K
    2549.9115
    """
    _check_state(pressure, temperature)
    return float(_if97().pt(pressure / 10, temperature, _ENTHALPY))


def expansion(pressure: float, temperature: float | None, exhaust: float) -> Expansion:
    """Expand steam without loss from inlet pressure and temperature to the exhaust pressure: h1 - h2s, s constant.

    Without a temperature the inlet is dry saturated. Raises SteamRangeError when the exhaust is not below the inlet.

    >>> round(expansion(18.25, 287.78, 4.4605).drop, 1)  # 250 psig, 550 F to 50 psig: 296.4 kJ/kg
    296.4
    """
    _within("exhaust pressure", exhaust, _LOWEST, pressure, "bar absolute")
    before, entropy = _inlet(pressure, temperature)
    water = _if97()
    after = float(water.ps(exhaust / 10, entropy, _ENTHALPY))
    dryness = min(1.0, float(water.ps(exhaust / 10, entropy, _QUALITY)))
    end = float(water.ps(exhaust / 10, entropy, _TEMPERATURE))
    return Expansion(before, after, before - after, entropy, end, dryness)


def steam_rate(drop: float, efficiency: float = 1.0) -> float:
    """3600 / (efficiency x drop): kg of steam for a kWh; theoretical with efficiency 1.

    Source: MIL-HDBK-1003/7, table 8, which tabulates 3412.14 / drop in lb/kWh and Btu/lb.

    >>> round(steam_rate(360.0, 0.5), 1)
    20.0
    """
    return _KJ_PER_KWH / (efficiency * drop)


def exhaust_temperature(pressure: float, temperature: float | None, exhaust: float, efficiency: float) -> float:
    """T2 in C from h2 = h1 - efficiency x (h1 - h2s); the boiling point when the exhaust is wet.

    >>> round(exhaust_temperature(18.25, 287.78, 4.4605, 0.40))  # 412 F
    211
    """
    loss_free = expansion(pressure, temperature, exhaust)
    return float(_if97().ph(exhaust / 10, loss_free.before - efficiency * loss_free.drop, _TEMPERATURE))


def stage_efficiency(pressure: float, temperature: float | None, exhaust: float, exhaust_at: float) -> float | None:
    """(h1 - h2) / (h1 - h2s), from the exhaust temperature in C; None when the exhaust is too near wet to tell (3 K).

    Apparent: leakage past the wheel and heat lost from the casing are in it, so compare it with this machine's own.

    >>> round(stage_efficiency(18.25, 287.78, 4.4605, 211.0), 1)
    0.4
    """
    near_wet = 3.0
    if exhaust_at - saturation_temperature(exhaust) < near_wet:
        return None
    loss_free = expansion(pressure, temperature, exhaust)
    return (loss_free.before - enthalpy(exhaust, exhaust_at)) / loss_free.drop


def power_share(
    rated: tuple[float, float | None, float], now: tuple[float, float | None, float], *, same_flow: bool = False
) -> float:
    """Power at hand now over power at rated steam, with valves and efficiency unchanged.

    Each state is inlet pressure, inlet temperature, exhaust pressure. Flow through the open nozzles goes with
    sqrt(p1 / v1) while they are choked (critical flow of a perfect gas), power with flow x drop; with ``same_flow``
    only the drop counts. Source: from memory, textbook nozzle flow.

    >>> round(power_share((14.8, None, 2.05), (14.8, None, 4.46), same_flow=True), 2)  # 200 psig: 15 to 50 psig
    0.63
    """
    drops = expansion(*now).drop / expansion(*rated).drop
    return drops if same_flow else drops * _choked(*now[:2]) / _choked(*rated[:2])


def wetness(pressure: float, calorimeter: float, atmosphere: float = 1.01325) -> float | None:
    """1 - x, from a throttling calorimeter at atmospheric pressure, in C; None when it shows no superheat (too wet).

    x = (h_cal - h_f) / h_fg. Source: textbook of steam power; worked value 150 psig, 252.9 F: x = 0.97.

    >>> round(wetness(11.355, 122.7), 3)
    0.03
    """
    if calorimeter <= saturation_temperature(atmosphere):
        return None
    water = _if97()
    liquid, dry = (float(water.px(pressure / 10, x, _ENTHALPY)) for x in (0.0, 1.0))
    return 1 - (enthalpy(atmosphere, calorimeter) - liquid) / (dry - liquid)


def _inlet(pressure: float, temperature: float | None) -> tuple[float, float]:
    water = _if97()
    if temperature is None:
        return float(water.px(pressure / 10, 1.0, _ENTHALPY)), float(water.px(pressure / 10, 1.0, _ENTROPY))
    state = enthalpy(pressure, temperature)
    return state, float(water.pt(pressure / 10, temperature, _ENTROPY))


def _choked(pressure: float, temperature: float | None) -> float:
    water = _if97()
    volume = water.px(pressure / 10, 1.0, _VOLUME) if temperature is None else None
    return sqrt(pressure / float(volume or water.pt(pressure / 10, temperature, _VOLUME)))


def _check_state(pressure: float, temperature: float) -> None:
    _within("pressure", pressure, _LOWEST, _HIGHEST, "bar absolute")
    _within("temperature", temperature, _COLDEST, _HOTTEST, "C")


def _within(what: str, value: float, low: float, high: float, unit: str) -> None:
    if not low <= value <= high:
        raise SteamRangeError(f"The {what}, {value:g} {unit}, is outside {low:g} to {high:g} {unit}.")


def _if97() -> Any:  # noqa: ANN401  the library is untyped
    import seuif97  # a library in machine code, wanted only where steam is reckoned

    return seuif97

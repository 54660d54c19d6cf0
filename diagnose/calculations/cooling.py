"""Temperatures over their surroundings and heat carried off. Temperatures in C, differences in K."""

from __future__ import annotations

__all__ = ["RISE_AT_MOST", "bearing_rise", "heat_carried", "water_rise"]

RISE_AT_MOST = {"ring-oiled sump": 40.0, "forced oil": 30.0, "cooling water": 17.0}  # K
_WATER = 4.19  # kJ/(kg K)


def bearing_rise(bearing: float, ambient: float) -> float:
    """T_bearing - T_ambient: at most 40 K for a ring-oiled sump, 30 K for oil through a forced set (API 612, 10.4.1).

    >>> bearing_rise(71.0, 28.0)
    43.0
    """
    return bearing - ambient


def water_rise(outlet: float, inlet: float) -> float:
    """T_out - T_in: from 11 to 17 K at full duty. Source: API general cooling water table, from memory.

    >>> water_rise(38.0, 30.0)
    8.0
    """
    return outlet - inlet


def heat_carried(flow: float, rise: float) -> float:
    """Q = 4.19 m dT: kW that a flow in l/min carries off at a rise in K (a litre of water taken as a kg).

    >>> round(heat_carried(12.0, 10.0), 2)
    8.38
    """
    return _WATER * flow / 60 * rise

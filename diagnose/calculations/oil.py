"""Lubricating oil: viscosity with temperature, grade, cleanliness code, and limits in service.

Viscosity in mm2/s, temperature in C, water in ppm, acid number in mg KOH/g.
"""

from __future__ import annotations

from math import ceil, log2, log10

__all__ = [
    "DIRTIEST",
    "GRADES",
    "LIMITS",
    "at_100_for",
    "cleanliness_code",
    "cleanliness_codes",
    "fits_grade",
    "grade_of",
    "judge",
    "viscosity_at",
    "viscosity_index",
    "walther",
]

GRADES = (2, 3, 5, 7, 10, 15, 22, 32, 46, 68, 100, 150, 220, 320, 460, 680, 1000, 1500, 2200, 3200)
LIMITS = {"water": (500.0, 1000.0), "viscosity": (0.05, 0.10), "acid-number": (0.1, 0.3), "rpvot": (0.5, 0.75)}
DIRTIEST = (20, 18, 15)  # common practice: dirtier than this is to be filtered or changed
_ZERO = 273.15
_LEAST = 2.0  # mm2/s: below it the short formula does not hold


def walther(first: tuple[float, float], second: tuple[float, float]) -> tuple[float, float]:
    """Return A and B of lglg(v + 0.7) = A - B lg T, from two points (C, mm2/s). Source: ASTM D341.

    >>> [round(one, 4) for one in walther((40, 32.0), (100, 5.4))]
    [9.5308, 3.7466]
    """
    (t1, v1), (t2, v2) = first, second
    slope = (_double_log(v1) - _double_log(v2)) / (log10(t2 + _ZERO) - log10(t1 + _ZERO))
    return _double_log(v1) + slope * log10(t1 + _ZERO), slope


def viscosity_at(temperature: float, first: tuple[float, float], second: tuple[float, float]) -> float:
    """V = 10^10^(A - B lg T) - 0.7, through two known points (C, mm2/s). Source: ASTM D341, for v above 2 mm2/s.

    >>> round(viscosity_at(80, (40, 32.0), (100, 5.4)), 1)
    8.5
    """
    a, b = walther(first, second)
    return float(10.0 ** (10.0 ** (a - b * log10(temperature + _ZERO))) - 0.7)


def grade_of(at_40: float) -> int | None:
    """Return the grade whose mid-point lies within 10 % of the viscosity at 40 C, or None. Source: ISO 3448.

    >>> grade_of(45.0), grade_of(56.0)
    (46, None)
    """
    return next((grade for grade in GRADES if fits_grade(at_40, grade)), None)


def fits_grade(at_40: float, grade: int) -> bool:
    """Tell whether a viscosity at 40 C lies within 10 % of the grade's mid-point. Source: ISO 3448.

    >>> fits_grade(41.4, 46), fits_grade(41.3, 46)
    (True, False)
    """
    return abs(at_40 - grade) <= 0.1 * grade + 1e-9


def viscosity_index(at_40: float, at_100: float) -> float:
    """VI up to 100: 100 (L - U) / (L - H); above: (10^N - 1) / 0.00715 + 100, N = (lg H - lg U) / lg Y.

    L and H by the formulas for Y of 70 mm2/s and more at 100 C, and for 2 to 70 by a smooth fit to the table's
    values (within 1 %). Source: ASTM D2270, ISO 2909, from memory.

    >>> round(viscosity_index(73.30, 8.86))  # the standard's own example
    92
    """
    low, high = _reference_oils(at_100)
    if at_40 >= high:
        return 100 * (low - at_40) / (low - high)
    power = (log10(high) - log10(at_40)) / log10(at_100)
    return float((10.0**power - 1) / 0.00715 + 100)


def at_100_for(at_40: float, index: float) -> float:
    """Return the viscosity at 100 C of an oil whose viscosity index is this, by halving; to a ten-thousandth.

    >>> round(at_100_for(46.0, 100), 1), round(at_100_for(32.0, 100), 1)
    (6.8, 5.4)
    """
    low, high = 2.0, min(at_40, 69.9)
    while high - low > 1e-4:  # noqa: PLR2004
        middle = (low + high) / 2
        low, high = (middle, high) if viscosity_index(at_40, middle) < index else (low, middle)
    return (low + high) / 2


def cleanliness_code(count: float) -> int:
    """Return the code for particles a mL: counts double from code to code, code n reaching 2^n / 100.

    The standard's rounded steps differ by up to 3 %, so a count within 3 % above a step keeps the lower code.
    Source: ISO 4406, table 1.

    >>> cleanliness_code(2500), cleanliness_code(640), cleanliness_code(80), cleanliness_code(81)
    (18, 16, 13, 13)
    """
    return max(0, ceil(log2(count * 100 / 1.03))) if count > 0 else 0


def cleanliness_codes(text: str) -> tuple[int, int, int]:
    """Read ``18/16/13`` (or ``18/15``, the old two, with -1 in front). Raises ValueError when it is neither.

    >>> cleanliness_codes("20/18/15"), cleanliness_codes("18/15")
    ((20, 18, 15), (-1, 18, 15))
    """
    codes = [int(part) for part in text.split("/")]
    two, three = 2, 3
    if len(codes) not in (two, three) or not all(0 <= code <= 30 for code in codes):  # noqa: PLR2004
        raise ValueError(text)
    first, second, last = codes if len(codes) == three else [-1, *codes]
    return first, second, last


def judge(measured: str, value: float, new: float | None = None) -> str:
    """Return ``good``, ``watch`` or ``act`` for a property of oil in service, by LIMITS; ``new`` is its value when new.

    water ppm: watch over 500, act over 1000; viscosity at 40 C: 5 % and 10 % off new; acid number: 0.1 and 0.3 over
    new; rpvot: under half and under a quarter of new. Sources: ASTM D4378 warning levels; the outer viscosity
    fence and the inner acid and rpvot steps from memory. Raises KeyError for an unknown property, ValueError when
    the value of new oil is wanted.

    >>> judge("water", 700), judge("viscosity", 41, new=46), judge("acid-number", 0.45, new=0.1)
    ('watch', 'act', 'act')
    """
    watch, act = LIMITS[measured]
    if measured == "water":
        return _step(value, watch, act)
    if new is None:
        raise ValueError(f"Without its value in new oil {measured} cannot be judged.")
    if measured != "acid-number" and new <= 0:
        raise ValueError(f"'{measured}' of new oil cannot be {new:g}.")
    change = value - new if measured == "acid-number" else value / new - 1
    return _step({"viscosity": abs(change), "acid-number": change, "rpvot": -change}[measured], watch, act)


def _step(value: float, watch: float, act: float) -> str:
    return "act" if value > act else "watch" if value > watch else "good"


def _double_log(viscosity: float) -> float:
    if viscosity <= _LEAST:
        raise ValueError(f"A viscosity of {viscosity:g} mm2/s is below what the formula holds for.")
    return log10(log10(viscosity + 0.7))


def _reference_oils(at_100: float) -> tuple[float, float]:
    y = at_100
    if y >= 70:  # noqa: PLR2004
        return 0.8353 * y * y + 14.67 * y - 216, 0.1684 * y * y + 11.85 * y - 97
    for least, most, a, b, c, d, e, f in _FITS:
        if least <= y < most:
            return a * y * y + b * y + c, d * y * y + e * y + f
    raise ValueError(f"A viscosity of {y:g} mm2/s at 100 C is below what the index is defined for.")


_FITS = (  # Y from, to, then L = a Y2 + b Y + c and H = d Y2 + e Y + f; ASTM D2270, annex
    (2.0, 3.8, 1.14673, 1.7576, -0.109, 0.84155, 1.5521, -0.077),
    (3.8, 4.4, 3.38095, -15.4952, 33.196, 0.78571, 1.7929, -0.183),
    (4.4, 5.0, 2.5, -7.2143, 13.812, 0.82143, 1.5679, 0.119),
    (5.0, 6.4, 0.10100, 16.6350, -45.469, 0.04985, 9.1613, -18.557),
    (6.4, 7.0, 3.35714, -23.5643, 78.466, 0.22619, 7.7369, -16.656),
    (7.0, 7.7, 0.01191, 21.4750, -72.870, 0.79762, -0.7321, 14.610),
    (7.7, 9.0, 0.41858, 16.1558, -56.040, 0.05794, 10.5156, -28.240),
    (9.0, 12.0, 0.88779, 7.5527, -16.600, 0.26665, 6.7015, -10.810),
    (12.0, 15.0, 0.76720, 10.7972, -38.180, 0.20073, 8.4658, -22.490),
    (15.0, 18.0, 0.97305, 5.3135, -2.200, 0.28889, 5.9741, -4.930),
    (18.0, 22.0, 0.97256, 5.2500, -0.980, 0.24504, 7.4160, -16.730),
    (22.0, 28.0, 0.91413, 7.4759, -21.820, 0.20323, 9.1267, -34.230),
    (28.0, 40.0, 0.87031, 9.7157, -50.770, 0.18411, 10.1015, -46.750),
    (40.0, 55.0, 0.84703, 12.6752, -133.310, 0.17029, 11.4866, -80.620),
    (55.0, 70.0, 0.85921, 11.1009, -83.190, 0.17130, 11.3680, -76.940),
)

"""From speeds read or logged: regulation, variation, speed rise, trip, each against the governor classes; hunting."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.calculations import speed
from diagnose.calculations.hunting import swing_of
from diagnose.calculations.speed_log import load_lost, sag, swing_width
from diagnose.consultation.worked_out.result import Mark, Result, Worked, usual
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from diagnose.knowledge.model import Machine

__all__ = ["SPEEDS", "log_results", "speed_results"]

SPEEDS = {
    "no-load": "with no load, the speed setting left alone",
    "full-load": "at rated load, the speed setting left alone",
    "highest": "highest at one load and setting",
    "lowest": "lowest at one load and setting",
    "peak": "highest after the full load was lost at once",
    "trip": "at which it tripped, or is set to trip",
}
_SM23 = "NEMA SM 23, governor classes A to D"
_RISE = "NEMA SM 23, governor classes A to D; class B's rise is given as 7 % and as 10 %, the smaller is used"
_TEST = {"good": "within-tolerance", "trend": "scattered"}  # three trips -> what the finding on the test calls it


def speed_results(
    speeds: Mapping[str, float],
    machine: Machine | None = None,
    *,
    rated: float | None = None,
    letter: str = "",
    trips: Sequence[float] = (),
) -> Worked:
    """Grade speeds in rpm, named as in SPEEDS, by the class of the governor; ``trips`` are successive test trips.

    ``rated`` and ``letter`` go before the machine's own. Raises DiagnoseError without a rated speed.
    """
    rated = rated or usual(machine, "rated-speed")
    if not rated:
        raise DiagnoseError("The rated speed is not known.", mend="Say it with --rated, or name a --machine.")
    letter = letter or (machine.governor_class if machine else "")
    setting = usual(machine, "trip-speed")
    results = [
        *_graded(speeds, rated, letter),
        *_expected(speeds, rated, letter),
        *_trip(speeds, rated, setting, letter),
    ]
    facts: dict[str, str] = {}
    if "highest" in speeds and "lowest" in speeds:
        facts["speed-swing"] = f"{speeds['highest'] - speeds['lowest']:.6g} rpm"
    if trips:
        test = _tested(trips, setting or speeds.get("trip"))
        results.append(test[0])
        facts |= test[1]
    return Worked(tuple(results), facts)


def log_results(
    speeds: Sequence[float], loads: Sequence[float], step: float, machine: Machine | None, rated: float, letter: str
) -> Worked:
    """Grade a logged series, one sample every ``step`` seconds, loads in % of rated; and look for hunting in it."""
    letter = letter or (machine.governor_class if machine else "")
    found: dict[str, float] = {}
    results: list[Result] = []
    width = swing_width(speeds, loads)
    if width is not None:
        found["variation"] = 100 * width / (2 * rated)
    line = sag(speeds, loads)
    if line is not None:
        found["regulation"] = -100 * line.slope * 100 / rated
    lost = load_lost(speeds, loads)
    if lost is not None:
        found["rise"] = speed.rise(lost.peak, rated)
    results += [_against_class(name, found[name], letter) for name in _FORMULAS if name in found]
    results += _classes(found, letter)
    if lost is not None:
        share = Result(
            "load lost at once", lost.share, "%", "largest fall within three samples", "our own reading of a log"
        )
        results.append(share)
    hunt, facts = _hunting(speeds, loads, step)
    return Worked((*results, hunt), facts)


_FORMULAS = {
    "regulation": ("steady-state regulation", "100 (N no load - N rated load) / Nr"),
    "variation": ("speed variation, plus and minus", "100 (N highest - N lowest) / (2 Nr)"),
    "rise": ("speed rise", "100 (N peak - Nr) / Nr"),
}


def _graded(speeds: Mapping[str, float], rated: float, letter: str) -> Iterator[Result]:
    found: dict[str, float] = {}
    if "no-load" in speeds and "full-load" in speeds:
        found["regulation"] = speed.regulation(speeds["no-load"], speeds["full-load"], rated)
    if "highest" in speeds and "lowest" in speeds:
        found["variation"] = speed.variation(speeds["highest"], speeds["lowest"], rated)
    if "peak" in speeds:
        found["rise"] = speed.rise(speeds["peak"], rated)
    for name, value in found.items():
        if value < 0:
            words = {
                "regulation": "no-load below full-load",
                "variation": "highest below lowest",
                "rise": "peak below rated",
            }
            raise DiagnoseError(f"The speeds are the wrong way round: {words[name]}.", mend="Look which is which.")
        yield _against_class(name, value, letter)
    yield from _classes(found, letter)


def _expected(speeds: Mapping[str, float], rated: float, letter: str) -> Iterator[Result]:
    """Yield the speed to expect at a load (``load``, % of rated), from the speed without load and the regulation."""
    if "load" not in speeds or "no-load" not in speeds:
        return
    sag = speed.CLASSES[letter].regulation if letter else None
    if "full-load" in speeds:
        sag = speed.regulation(speeds["no-load"], speeds["full-load"], rated)
    if sag is not None:
        value = speed.expected_speed(speeds["no-load"], sag, rated, speeds["load"] / 100)
        title = f"speed to expect at {speeds['load']:.3g} % load"
        by = "as measured" if "full-load" in speeds else f"the most that class {letter} allows"
        yield Result(
            title, value, "rpm", "N no load - (R / 100) Nr L", _SM23, (), f"with a regulation of {sag:.3g} %, {by}"
        )


def _against_class(name: str, value: float, letter: str) -> Result:
    title, formula = _FORMULAS[name]
    allowed = {one: float(getattr(limits, name)) for one, limits in speed.CLASSES.items()}
    shown = [letter] if letter else list(allowed)
    marks = tuple(Mark(f"class {one} at most", allowed[one]) for one in shown)
    beyond = bool(letter) and value > allowed[letter]
    judged = "" if not letter else f"beyond class {letter}" if beyond else f"within class {letter}"
    return Result(title, value, "%", formula, _RISE if name == "rise" else _SM23, marks, judged, beyond)


def _classes(found: Mapping[str, float], letter: str) -> Iterator[Result]:
    if not found:
        return
    met = speed.classes_met(regulated=found.get("regulation"), varied=found.get("variation"), risen=found.get("rise"))
    judged = "" if not letter or letter in met else f"not {letter}, which the profile states"
    name = f"classes that hold {' and '.join(found)}"
    yield Result(name, ", ".join(met) or "none", "", "each at most its class's figure", _SM23, (), judged, bool(judged))


def _trip(speeds: Mapping[str, float], rated: float, setting: float | None, letter: str) -> Iterator[Result]:
    trip = speeds.get("trip", setting)
    if trip is None:
        return
    source = "NEMA SM 23; API 611"
    marks = (Mark(f"class {letter}", speed.CLASSES[letter].trip),) if letter else ()
    share = speed.trip_share(trip, rated)
    high = bool(letter) and share > speed.CLASSES[letter].trip + 1.0
    judged = "over what the class allows: the maker's and the site's setting decide" if high else ""
    yield Result("trip, share of rated speed", share, "%", "100 N trip / Nr", source, marks, judged, high)
    if "peak" in speeds:
        margin = speed.trip_margin(trip, speeds["peak"], rated)
        judged = "losing the load trips the machine" if margin <= 0 else "there is room"
        formula = "100 (N trip - N peak) / Nr"
        yield Result(
            "margin from peak to trip", margin, "%", formula, source, (Mark("over", 0.0),), judged, margin <= 0
        )


def _tested(trips: Sequence[float], setting: float | None) -> tuple[Result, dict[str, str]]:
    """Judge successive test trips; above the setting is told apart from below it."""
    if setting is None:
        raise DiagnoseError("The trip setting is not known.", mend="Say it with --trip, or name a --machine.")
    word = speed.trip_test(trips, setting)
    judged = {
        "good": "within 1 % of the setting, no trend",
        "trend": "inside 1 %, but climbing or falling at every trial: a sticking mechanism",
        "too-few": "three successive trips are wanted",
        "outside": "outside 1 % of the setting: not to be returned to service before it is put right",
    }[word]
    source = "API 611, three successive trips; 1 % from memory"
    listed = ", ".join(f"{one:.0f}" for one in trips)
    result = Result(
        "overspeed trips",
        f"{listed} rpm",
        "",
        f"each within 1 % of {setting:.0f} rpm",
        source,
        (),
        judged,
        word != "good",
    )
    furthest = max(trips, key=lambda one: abs(one - setting))
    value = _TEST.get(word) or ("above-setting" if furthest > setting else "below-setting")
    return result, {} if word == "too-few" else {"overspeed-test": value}


def _hunting(speeds: Sequence[float], loads: Sequence[float], step: float) -> tuple[Result, dict[str, str]]:
    swing = swing_of(speeds, step, loads, accuracy=2.0)
    words = {
        "hunting": "the governor hunts",
        "load-swing": "the speed gives way to a swinging load",
        "swing": "a regular swing; without the load in the log, hunting or load cannot be told",
        "drift": "the speed drifts; no regular swing",
        "noise": "no regular swing",
        "too-short": "too few samples: 64 are wanted",
    }
    source = "chance by the F ratio of the spectrum (Percival and Walden 1993, chapter 10); phase from memory"
    formula = "highest spectral peak over the noise beside it"
    if not swing.period:
        return Result("hunting", words[swing.kind], "", formula, source), {}
    told = f"{swing.width:.0f} rpm from top to bottom every {swing.period:.3g} s"
    sure = f"{words[swing.kind]} ({min(swing.confidence, 0.999):.1%} sure that it is no noise)"
    facts = {}
    if swing.kind != "load-swing":
        facts = {"speed-swing": f"{swing.width:.6g} rpm", "speed-behaviour": "regular-swing"}
    return Result("hunting", told, "", formula, source, (), sure, swing.kind != "load-swing"), facts

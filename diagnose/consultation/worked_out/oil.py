"""From oil's viscosity, a few drops' water or a laboratory's report: grade, viscosity when warm, limits in service."""

from __future__ import annotations

from typing import TYPE_CHECKING

from diagnose.calculations import oil
from diagnose.calculations.laboratory import UNITS
from diagnose.consultation.worked_out.result import Mark, Result, Worked
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from diagnose.calculations.laboratory import OilReport, OilResult

__all__ = ["oil_results", "report_results"]

_INDEX = 100.0  # viscosity index of an ordinary turbine oil, common practice
_D341 = "ASTM D341, lg lg(v + 0.7) = A - B lg T"
_IN_SERVICE = {
    "water": "ASTM D4378, table 3; 500 ppm common practice",
    "viscosity": "ASTM D4378, table 3; 10 % from memory",
    "acid-number": "ASTM D4378, table 3; 0.1 from memory",
    "rpvot": "ASTM D4378, table 3; half from memory",
    "particles": "ISO 4406; 20/18/15 common practice",
}
_TITLES = {
    "water": "water in oil",
    "viscosity": "viscosity at 40 C",
    "acid-number": "acid number",
    "rpvot": "oxidation life (RPVOT)",
}
_VERDICTS = {
    "good": "good",
    "watch": "watch it",
    "act": "act on it",
    "not-judged": "not judged without its value in new oil",
}


def oil_results(
    numbers: Mapping[str, float], *, grade: int | None = None, at: float | None = None, particles: str = ""
) -> Worked:
    """Judge ``viscosity`` at 40 C, ``viscosity-100`` (mm2/s), ``water`` (ppm), ``acid-number`` and ``acid-new``.

    ``grade`` is the ISO grade it should be, ``at`` the temperature (C) for which the viscosity is wanted, ``particles``
    a code such as 18/16/13. Without a viscosity the grade's mid-point is used, without one at 100 C an index of 100.
    Raises DiagnoseError when nothing can be made of them.
    """
    results: list[Result] = []
    viscosity = numbers.get("viscosity", float(grade) if grade else None)
    if viscosity is not None and "viscosity" in numbers:
        results.append(_grade(viscosity, grade))
    if viscosity is not None:
        results += _warm(viscosity, numbers.get("viscosity-100"), at)
    elif at is not None:
        raise DiagnoseError(
            "The viscosity is not known.", mend="Say --grade, such as 46, or --viscosity, such as '45 cSt'."
        )
    verdicts: dict[str, str] = {}
    for measured, new in (("water", None), ("acid-number", numbers.get("acid-new"))):
        if measured in numbers:
            value = numbers[measured]
            verdict = oil.judge(measured, value, new) if measured == "water" or new is not None else "not-judged"
            verdicts[measured] = verdict
            results.append(_in_service(measured, value, new, verdict))
    if particles:
        verdicts["particles"] = _particle_verdict(particles)
        results.append(_particles(particles, verdicts["particles"]))
    if viscosity is not None and grade and "viscosity" in numbers:
        verdicts["viscosity"] = "good" if oil.fits_grade(viscosity, grade) else "act"
    return Worked(tuple(results), _facts(verdicts))


def report_results(report: OilReport) -> Worked:
    """Give each line of a laboratory's report as a result, and the finding that it amounts to."""
    results = tuple(_reported(one) for one in report.results)
    judged = [one for one in report.results if one.verdict != "not-judged"]
    return Worked(results, {"oil-lab-report": report.word} if judged else {}, report.complaints)


def _grade(viscosity: float, grade: int | None) -> Result:
    found = oil.grade_of(viscosity)
    is_wrong = grade is not None and not oil.fits_grade(viscosity, grade)
    marks = (Mark("from", 0.9 * grade), Mark("to", 1.1 * grade)) if grade else ()
    named = f"ISO VG {found}" if found else "between the grades"
    judged = f"{named}: not the {grade} that was wanted" if is_wrong else named
    return Result(
        "viscosity at 40 C", viscosity, "mm2/s", "within 10 % of the grade", "ISO 3448", marks, judged, is_wrong
    )


def _warm(viscosity: float, hot: float | None, at: float | None) -> Iterator[Result]:
    judged = ""
    if hot is None:
        hot, judged = oil.at_100_for(viscosity, _INDEX), f"taken: an index of {_INDEX:.0f}, as ordinary turbine oil has"
    else:
        index = oil.viscosity_index(viscosity, hot)
        yield Result(
            "viscosity index", f"{index:.0f}", "", "by L and H of the reference oils", "ASTM D2270, from memory"
        )
    if at is not None:
        value = oil.viscosity_at(at, (40.0, viscosity), (100.0, hot))
        yield Result(f"viscosity at {at:.4g} C", value, "mm2/s", "10^10^(A - B lg T) - 0.7", _D341, (), judged)


def _in_service(measured: str, value: float, new: float | None, verdict: str) -> Result:
    watch, act = oil.LIMITS[measured]
    ends = {
        "water": (("watch over", watch), ("act over", act)),
        "acid-number": () if new is None else (("new", new), ("watch over", new + watch), ("act over", new + act)),
        "viscosity": ()
        if new is None
        else (("new", new), ("act under", new * (1 - act)), ("act over", new * (1 + act))),
        "rpvot": ()
        if new is None
        else (("new", new), ("watch under", new * (1 - watch)), ("act under", new * (1 - act))),
    }[measured]
    marks = tuple(Mark(words, number) for words, number in ends)
    formula = "as measured" if measured == "water" else "against new oil"
    return Result(
        _TITLES[measured],
        value,
        UNITS[measured],
        formula,
        _IN_SERVICE[measured],
        marks,
        _VERDICTS[verdict],
        verdict == "act",
    )


def _particle_verdict(code: str) -> str:
    try:
        codes = oil.cleanliness_codes(code)
    except ValueError as error:
        raise DiagnoseError(
            f"'{code}' is not a particle code.", mend="Write it as 18/16/13, or 18/15 in the old way."
        ) from error
    return "act" if any(a > b for a, b in zip(codes, oil.DIRTIEST, strict=True)) else "good"


def _particles(code: str, verdict: str) -> Result:
    worst = "/".join(map(str, oil.DIRTIEST))
    formula = f"over 4, 6 and 14 um; each code doubles the count; dirtier than {worst} is to be filtered"
    return Result(
        "particle code", code, "", formula, _IN_SERVICE["particles"], (), _VERDICTS[verdict], verdict == "act"
    )


def _reported(one: OilResult) -> Result:
    if one.value is None:
        return _particles(one.reported, one.verdict)
    return _in_service(one.measured, one.value, one.new, one.verdict)


def _facts(verdicts: Mapping[str, str]) -> dict[str, str]:
    """Return the finding of the rules: its worst line, water first, as in a laboratory's report."""
    words = {"water": "water", "particles": "particles-high", "viscosity": "viscosity-off", "acid-number": "acid-high"}
    told = [verdict for verdict in verdicts.values() if verdict != "not-judged"]
    worst = next((word for measured, word in words.items() if verdicts.get(measured) == "act"), "normal")
    return {"oil-lab-report": worst} if told else {}

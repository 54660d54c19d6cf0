"""Are the percentages shown right? Cases simulated from the shipped rules, and the published cases.

    python tests/benchmarks/calibration.py --cases 20000 --picture calibration.svg

Each case is asked by the consultation's own questions (`simulated.py`), at most eight. Every row of the final ranking
that would be shown is a forecast: it comes true when that cause is there (the row of what is not covered: when the
cause is none of those listed). Told are the expected calibration error (Naeini, Cooper, Hauskrecht 2015; ten bins of
equal width) of the first rows and of all rows shown, each beside the same figure for forecasts as sure as these that
are right by construction (outcomes drawn at these very percentages, 200 times), for no sample, however well
calibrated, comes out at nought. `--world` names a world that differs from what the rules believe.
"""

from __future__ import annotations

import argparse
import sys
from itertools import islice
from pathlib import Path
from random import Random
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import reliability_picture
from simulated import NOT_LISTED, WORLDS, Case, Context, Operator, consult, run, shipped

from diagnose.belief.scoring import brier, calibration_error, equal_bins, reliability
from diagnose.consultation.compose import MOST_ROWS, WORTH_SHOWING
from diagnose.consultation.replay import MOST_QUESTIONS, replay
from diagnose.knowledge import library

SEED, BINS, BOOTSTRAPS = 20_000, equal_bins(10), 200


class Forecast(NamedTuple):
    """A percentage shown, whether it came true, and whether it was the first row."""

    share: float
    true: bool
    first: bool


def main() -> None:
    """Simulate, replay, and tell."""
    options = _arguments()
    done = run(forecasts_of, SEED, range(options.cases), options.world, options.processes)
    rows = [row for case in done for row in case]
    print(f"{len(done):,} cases simulated from the shipped rules, world: {options.world}\n")
    pictured = [tell("the first row of each case", [row for row in rows if row.first])]
    pictured.append(tell("every row shown", rows))
    known = published()
    print(f"{sum(row.first for row in known)} published cases\n")
    tell("the first row of each published case", [row for row in known if row.first])
    tell("every row shown of the published cases", known)
    if options.picture:
        options.picture.write_text(reliability_picture.svg(pictured), encoding="utf-8")
        print(f"picture: {options.picture}")


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cases", type=int, default=20_000)
    parser.add_argument("--world", choices=WORLDS, default="as believed")
    parser.add_argument("--picture", type=Path, help="where to write the reliability diagram, as SVG")
    parser.add_argument("--processes", type=int, default=2)
    return parser.parse_args()


def forecasts_of(context: Context, case: Case, operator: Operator) -> list[Forecast]:
    """Put the consultation's own questions, and return what is shown at the end."""
    for _ in islice(consult(context, operator), MOST_QUESTIONS):
        pass
    return forecasts(context.desk.ranking(), case.truths)


def forecasts(ranking: list[tuple[str, float]], right: frozenset[str]) -> list[Forecast]:
    """Return the rows of a ranking that are shown, as forecasts."""
    shown = [row for row in ranking if row[1] >= WORTH_SHOWING or row[0] == NOT_LISTED][:MOST_ROWS]
    shown += [row for row in ranking if row[0] == NOT_LISTED and row not in shown]
    return [Forecast(min(share, 1.0), cause in right, at == 0) for at, (cause, share) in enumerate(shown)]


def published() -> list[Forecast]:
    """Return the forecasts of the published cases; any cause that a case accepts as its truth counts as true."""
    knowledge = shipped()
    cases, _ = library.load_cases([library.shipped_cases() / "published"], knowledge)
    rows: list[Forecast] = []
    for case in cases:
        right = (case.true_causes or frozenset([NOT_LISTED])).union(*case.accept)
        rows += forecasts(list(replay(case, knowledge).ranking), right)
    return rows


def tell(what: str, rows: list[Forecast]) -> reliability_picture.Panel:
    """Print the reliability table of these forecasts and their error; return them as they are to be drawn."""
    shares, came = [row.share for row in rows], [row.true for row in rows]
    bins = reliability(shares, came, BINS)
    error, chance = calibration_error(shares, came, BINS), by_chance(shares)
    print(f"{what}\n  shown        forecasts   mean shown   came true")
    for one in bins:
        span = f"{one.low:4.0%} to {one.high:4.0%}"
        print(f"  {span} {one.count:9,}   {one.confidence:10.3f}   {one.frequency:9.3f}")
    middle, high = chance[len(chance) // 2], chance[int(0.95 * len(chance))]
    print(f"  expected calibration error {error:.4f}; of a perfect forecaster {middle:.4f} (95 % below {high:.4f})")
    print(f"  Brier score {brier(shares, came):.4f}; of a perfect forecaster {_mean_variance(shares):.4f}\n")
    return reliability_picture.Panel(what, error, middle, tuple(bins))


def by_chance(shares: list[float]) -> list[float]:
    """Return, in order, the errors of forecasts like these whose outcomes were drawn at just these percentages."""
    random = Random(SEED)
    drawn = ([random.random() < share for share in shares] for _ in range(BOOTSTRAPS))
    return sorted(calibration_error(shares, came, BINS) for came in drawn)


def _mean_variance(shares: list[float]) -> float:
    return sum(share * (1.0 - share) for share in shares) / len(shares)


if __name__ == "__main__":
    main()

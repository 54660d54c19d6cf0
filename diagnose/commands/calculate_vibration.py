"""``diagnose calculate vibration``: conversion, zones and limits; the order from a spectrum or from phase."""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING

from diagnose.commands.calculate_results import Wanted, add_readings, amount, lines_of, needs, read_one
from diagnose.consultation.worked_out.result import Worked, usual
from diagnose.consultation.worked_out.vibration import order_results, phase_results, vibration_results
from diagnose.values.problem import DiagnoseError

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from diagnose.knowledge.model import Knowledge, Machine

__all__ = ["WANTED", "add_arguments", "work"]

WANTED = (
    Wanted("vibration-velocity", "mm/s rms", "velocity at the bearing housing", 0, 50),
    Wanted("displacement", "um p-p", "displacement at the bearing housing", 0, 2000),
    Wanted("shaft-vibration", "um p-p", "what the shaft probes show", 0, 500),
    Wanted("frequency", "rpm", "frequency to convert at, rpm or Hz (default: the rated speed)", 1, 200_000),
)
_SPEED = Wanted("speed", "rpm", "running speed for spectrum and phase (default: the rated speed)", 1, 20_000)
_POWER = Wanted("power", "kW", "rated power (default: the machine's)", 0, 50_000)


def add_arguments(parser: ArgumentParser) -> None:
    """Declare the options."""
    add_readings(
        parser,
        (
            _SPEED,
            _POWER,
        ),
    )
    support = "flexible: its lowest natural frequency is less than 25 %% above the running frequency"
    parser.add_argument("--support", choices=("rigid", "flexible"), default="rigid", help=f"{support} (default rigid)")
    parser.add_argument("--spectrum", metavar="CSV", help="two columns, frequency in Hz and amplitude")
    parser.add_argument(
        "--line", action="append", default=[], metavar="HZ=AMPLITUDE", help="a line of the spectrum, as read"
    )
    parser.add_argument("--vanes", type=int, default=0, metavar="N", help="vanes of the driven pump or fan")
    parser.add_argument("--blades", type=int, default=0, metavar="N", help="blades of the wheel")
    parser.add_argument(
        "--phase-across",
        type=amount,
        metavar="DEGREES",
        help="phase between both sides of the coupling, at running speed",
    )


def work(
    arguments: Namespace, numbers: dict[str, float], knowledge: Knowledge, machine: Machine | None
) -> tuple[Worked, Machine | None]:
    """Work it out; it is bad news over a limit, in zone C or D, or after a change that counts."""
    spectrum = _spectrum(arguments)
    phase = arguments.phase_across
    needs(
        set(numbers) - {"frequency"} or spectrum or phase is not None,
        "No vibration is given.",
        "vibration --machine BFP-2 --vibration-velocity '3.1 mm/s'",
    )
    power = read_one(arguments.power, _POWER, knowledge) if arguments.power else None
    parts = [vibration_results(numbers, machine, power=power, flexible=arguments.support == "flexible")]
    if phase is not None:
        parts.append(phase_results(phase))
    if spectrum:
        speed = read_one(arguments.speed, _SPEED, knowledge) if arguments.speed else usual(machine, "rated-speed")
        if not speed:
            raise DiagnoseError("At which speed did it run?", mend="Say --speed, or name a --machine.")
        parts.append(order_results(spectrum, speed, arguments.vanes, arguments.blades))
    results = tuple(one for part in parts for one in part.results)
    facts = {name: text for part in parts for name, text in part.facts.items()}
    complaints = tuple(one for part in parts for one in part.complaints)
    return Worked(results, facts, complaints), machine


def _spectrum(arguments: Namespace) -> list[tuple[float, float]]:
    lines = [_pair(text.partition("=")[::2], f"--line {text}") for text in arguments.line]
    if arguments.spectrum:
        for at, row in enumerate(csv.reader(lines_of(arguments.spectrum)), 1):
            if at == 1 and not row[0].strip()[:1].isdigit():
                continue  # the names of the columns
            if any(cell.strip() for cell in row):
                lines.append(_pair(row[:2], f"{arguments.spectrum}:{at}"))
        if len(lines) == len(arguments.line):
            raise DiagnoseError("The spectrum holds no lines.", where=arguments.spectrum)
    return lines


def _pair(cells: list[str] | tuple[str, ...], where: str) -> tuple[float, float]:
    try:
        frequency, amplitude = (float(cell) for cell in cells)
    except ValueError as error:
        mend = "Write a frequency in Hz and an amplitude, such as 60=4.2 or a row 60,4.2."
        raise DiagnoseError("Not a line of a spectrum.", where=where, mend=mend) from error
    return frequency, amplitude

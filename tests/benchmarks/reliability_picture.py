"""A reliability diagram as SVG: how often what was shown came true, bin by bin, beside the line of the perfect."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from diagnose.belief.scoring import Bin

SIDE, MARGIN, GAP = 320, 60, 70


class Panel(NamedTuple):
    """One diagram: what of, its calibration error, that of a perfect forecaster, and its bins."""

    title: str
    error: float
    perfect: float
    bins: tuple[Bin, ...]


def svg(panels: list[Panel]) -> str:
    """Return one picture with the panels side by side."""
    width = 2 * MARGIN + len(panels) * SIDE + (len(panels) - 1) * GAP
    height = 2 * MARGIN + SIDE
    drawn = "\n".join(_panel(panel, MARGIN + at * (SIDE + GAP)) for at, panel in enumerate(panels))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" '
        f'font-family="sans-serif" font-size="12">\n<rect width="100%" height="100%" fill="white"/>\n{drawn}\n</svg>\n'
    )


def _panel(panel: Panel, left: int) -> str:
    parts = [
        f'<g transform="translate({left} {MARGIN})">',
        f'<text x="0" y="-26" font-weight="bold">{escape(panel.title)}</text>',
        f'<text x="0" y="-10">calibration error {panel.error:.4f} (perfect forecaster {panel.perfect:.4f})</text>',
        f'<rect width="{SIDE}" height="{SIDE}" fill="none" stroke="#555"/>',
        f'<line x1="0" y1="{SIDE}" x2="{SIDE}" y2="0" stroke="#999" stroke-dasharray="5 4"/>',
    ]
    for tenth in range(0, 11, 2):
        at = SIDE * tenth / 10
        parts.append(f'<text x="{at:.1f}" y="{SIDE + 16}" text-anchor="middle">{tenth * 10}</text>')
        parts.append(f'<text x="-8" y="{SIDE - at + 4:.1f}" text-anchor="end">{tenth * 10}</text>')
    most = max(one.count for one in panel.bins)
    for one in panel.bins:  # how many forecasts fell in each bin, as a bar from below
        low, span, high = SIDE * one.low, SIDE * (one.high - one.low), SIDE * 0.3 * one.count / most
        parts.append(
            f'<rect x="{low + 1:.1f}" y="{SIDE - high:.1f}" width="{span - 2:.1f}" height="{high:.1f}" fill="#dde6f0">'
            f"<title>{one.count} forecasts</title></rect>"
        )
    points = [(SIDE * one.confidence, SIDE * (1 - one.frequency)) for one in panel.bins]
    line = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    parts.append(f'<polyline points="{line}" fill="none" stroke="#1f4e79" stroke-width="2"/>')
    parts += [f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4" fill="#1f4e79"/>' for x, y in points]
    parts.append(f'<text x="{SIDE / 2}" y="{SIDE + 36}" text-anchor="middle">shown, %</text>')
    parts.append(
        f'<text transform="translate(-38 {SIDE / 2}) rotate(-90)" text-anchor="middle">came true, %</text>\n</g>'
    )
    return "\n".join(parts)

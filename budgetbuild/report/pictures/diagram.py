"""The wiring picture of a build: above what carries sound, from the source to the speakers; below what carries power.

Both bands stand in columns, and connections run only in the gaps between columns and rows, so that none crosses a text;
every text is wrapped to its box, and a box grows with its text. A row of the upper band is one location: the section of
the amplifier that drives it, its cable, its speakers.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.pictures.connections import described
from budgetbuild.report.pictures.drawing import LINE_HEIGHT, Run, document, draw_rule, draw_run, draw_text
from budgetbuild.report.pictures.lettering import text_width
from budgetbuild.report.pictures.power_band import power_band
from budgetbuild.report.pictures.signal_band import WIDTH, signal_band

if TYPE_CHECKING:
    from budgetbuild.report.pictures.wiring import Wiring

MARGIN = 1.0
BANDS_APART = 30.0
TITLE = 14.0
"""From the top of a band to the baseline of its title."""
TITLE_HEIGHT = 24.0
KEYS = {
    Run.SIGNAL: "signal",
    Run.AERIAL: "aerial lead",
    Run.SPEAKER: "speaker cable",
    Run.POWER: "power",
    Run.EARTH: "earth",
}
SAMPLE, KEY_GAP = 30.0, 16.0
"""Length of a sample in the key, and what stands between two of them."""


def render_diagram(name: str, title: str, told: Wiring) -> str:
    """The picture as an SVG element.

    Args:
        name: Distinguishes it from other pictures in one page.
        title: What it shows.
        told: The connections.
    """
    signal = signal_band(told, MARGIN + TITLE_HEIGHT)
    body = [*_title("Signal and speakers", MARGIN), *signal.pieces]
    bottom = signal.bottom
    if told.power:
        top = bottom + BANDS_APART
        power = power_band(told.power, top + TITLE_HEIGHT)
        body += [*_title("Power and earth", top), *power.pieces]
        bottom = power.bottom
    if key := _key(told, bottom + BANDS_APART):
        body += key
        bottom += BANDS_APART + LINE_HEIGHT
    return document(name, (WIDTH, bottom + MARGIN), title, described(told), body)


def _title(words: str, top: float) -> list[str]:
    """The title of a band, with a rule that runs on from it."""
    middle = top + TITLE - 4
    return [
        draw_text(MARGIN, top + TITLE, words, bold=True),
        draw_rule((MARGIN + text_width(words) + 12, middle), (WIDTH - MARGIN, middle)),
    ]


def _key(told: Wiring, top: float) -> list[str]:
    """What the lines mean, those that the picture has; nothing where it has none."""
    there = {
        Run.SIGNAL: bool(told.converter or told.amplifiers or told.powered),
        Run.AERIAL: bool(told.aerial),
        Run.SPEAKER: bool(told.internal or told.amplifiers),
        Run.POWER: bool(told.power),
        Run.EARTH: bool(told.power),
    }
    runs = [run for run, is_there in there.items() if is_there]
    if not runs:
        return []
    baseline, x = top + 12, MARGIN
    pieces: list[str] = []
    for run in runs:
        pieces.append(draw_run(run, [(x, baseline - 4), (x + SAMPLE, baseline - 4)]))
        pieces.append(draw_text(x + SAMPLE + 6, baseline, KEYS[run], quiet=True))
        x += SAMPLE + 6 + text_width(KEYS[run], bold=False) + KEY_GAP
    words = "solid box: part; dashed box: cable"
    return [*pieces, draw_text(WIDTH - MARGIN, baseline, words, anchor="end", quiet=True)]

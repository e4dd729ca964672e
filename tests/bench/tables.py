"""What a run of the benchmarks came to, as tables."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from tests.bench.machine import in_words

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

ROWS = {
    "mere": "merely reading every cell, fastest reader (c)",
    "read": "read: workbook to raw rows",
    "check": "check: raw rows to a sound catalogue",
    "prune": "prune: candidates, 2 briefs",
    "model": "model: the integer programs, 2 briefs",
    "solve": "solve: 6 builds proven, the curve saying where to look",
    "audit": "audit of the 6 builds",
    "curve": "whole budget curve of 1 brief, every point audited",
    "advice": "advice on the 6 builds",
    "render": "render: all outputs, saved",
    "total": "**total: `budgetbuild build`, imports and all**",
    "one": "1 build from catalogue to proof: prune, model, solve",
    "flat": "the same build, flat program, HiGHS (a)",
    "other": "the same build, flat program, CP-SAT on all processors (b)",
}
"""Rows of seconds, and what each is."""
FROM = 2_000
"""The exponent is that from so many products on."""
FIRST_COLUMN = "seconds"

Table = list[list[str]]
"""Rows of cells, the first of them the heads."""


def tables(run: Mapping[str, Any]) -> list[Table]:
    """The table of times, and the one of ratios."""
    sizes = run["sizes"]
    heads = [f"{int(size):,} products" for size in sizes]
    times = [[name, *(_seconds(sizes[size].get(stage), run) for size in sizes)] for stage, name in ROWS.items()]
    memory = [_megabytes(one) for one in sizes.values()]
    ratios = [[name, *(ratio(one) for one in sizes.values())] for name, ratio in RATIOS.items()]
    return [[[FIRST_COLUMN, *heads], *times, ["peak memory of the total, all its processes", *memory]],
            [["how many times", *heads], *ratios]]  # fmt: skip


def _seconds(one: Mapping[str, Any] | None, run: Mapping[str, Any]) -> str:
    if one is None:
        return "left out"
    return f">= {run['limit']:g}" if one.get("stopped") else _short(one["seconds"])


def _short(seconds: float) -> str:
    """To the hundredth; of less than a tenth to the thousandth."""
    return f"{seconds:.{3 if seconds < 0.1 else 2}f}"


def _megabytes(size: Mapping[str, Any]) -> str:
    return f"{size['total']['megabytes']:,.0f} MB"


def _ratio(above: str, *below: str) -> Any:  # noqa: ANN401 - a function of one size
    """How many times longer one takes than others together; at least so many where it was stopped."""

    def of(size: Mapping[str, Any]) -> str:
        if above not in size:
            return ""
        times = size[above]["seconds"] / sum(size[name]["seconds"] for name in below)
        return f"{'>= ' if size[above].get('stopped') else ''}{times:.3g}"

    return of


RATIOS = {
    "flat program (a) / 1 build here": _ratio("flat", "one"),
    "flat program (b) / 1 build here": _ratio("other", "one"),
    "flat program (a), 1 build / total here, 6 builds and all outputs": _ratio("flat", "total"),
    "reading and checking / merely reading (c)": lambda size: (
        f"{(size['read']['seconds'] + size['check']['seconds']) / size['mere']['seconds']:.3g}"
    ),
    "solving 6 builds / reading and checking": _ratio("solve", "read", "check"),
    "whole curve / 1 build": _ratio("curve", "one"),
}


def exponent(run: Mapping[str, Any], stage: str) -> float | None:
    """How a stage's time grows with the products: as their number to this power, by least squares of the logarithms.

    `None` where fewer than two sizes say so.
    """
    found = [(int(size), one[stage]["seconds"]) for size, one in run["sizes"].items() if int(size) >= FROM]
    return slope([(math.log(size), math.log(seconds)) for size, seconds in found]) if len(found) > 1 else None


def slope(points: Sequence[tuple[float, float]]) -> float:
    """Slope of the straight line that has the least squares of its distances upright.

    >>> slope([(0, 1), (1, 3), (2, 5)])
    2.0
    """
    x_mean = sum(x for x, _ in points) / len(points)
    y_mean = sum(y for _, y in points) / len(points)
    return sum((x - x_mean) * (y - y_mean) for x, y in points) / sum((x - x_mean) ** 2 for x, _ in points)


def notes(run: Mapping[str, Any]) -> list[str]:
    """What belongs beside the tables."""
    grown = {name: exponent(run, name) for name in ("total", "solve", "curve")}
    said = ", ".join(f"{name} {power:.2f}" for name, power in grown.items() if power is not None)
    quote = run["quote"]
    measured = (
        f"Measured {run['when'][:10]} on {in_words(run['machine'])}. Every row in a process of its own, invented price "
        f"lists, 3 tiers x 2 briefs; medians of {run['runs']}, from 20,000 products on of one run; `--counter "
        f"{run['counter']}`. The flat program, without dominance and without fixing of columns, looks for the highest "
        "score only, gaps 0, its making not counted; where both end, they agree with the build here."
    )
    return [
        f"Quote on the sample, cold: {quote['seconds']:.2f} s, of which imports {quote['imports']:.2f} s.",
        *([f"From {FROM:,} products on, time grows as products to the power of: {said}."] if said else []),
        measured,
    ]


def as_markdown(run: Mapping[str, Any]) -> str:
    """Both tables and the notes as Markdown."""
    parts = ["\n".join(_markdown(table)) for table in tables(run)] + notes(run)
    return "\n" + "\n\n".join(parts) + "\n\n"


def _markdown(table: Table) -> list[str]:
    heads, *rows = table
    lines = [heads, [":--", *["--:"] * (len(heads) - 1)], *rows]
    return ["| " + " | ".join(cells) + " |" for cells in lines]


def as_text(run: Mapping[str, Any]) -> str:
    """The same for a terminal."""
    return "\n".join("\n".join(_text(table)) + "\n" for table in tables(run)) + "\n" + "\n".join(notes(run))


def _text(table: Table) -> list[str]:
    plain = [[cell.replace("**", "").replace("`", "") for cell in cells] for cells in table]
    first, *others = [max(map(len, column)) for column in zip(*plain, strict=True)]
    return [
        "  ".join([name.ljust(first), *(cell.rjust(width) for cell, width in zip(cells, others, strict=True))])
        for name, *cells in plain
    ]

"""Ratings from specifications, reckoned from the rule's words on plain rows; shares no code with the package.

Ten times the points earned over the most of all columns listed, to two decimals, halves upwards. A number earns in a
straight line from worst to best, and no less or more outside; a word earns what its row gives it, or nothing.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import random
    from collections.abc import Mapping

Cells = dict[str, Any]
"""A row of a sheet, by header."""
MEANT_BY_BLANK = {"Internal W": 0, "Digital radio": "no", "Channels": 0, "Coils": 1}
"""Columns in which a blank cell stands for something; a blank in any other leaves the product unrated."""
RATED = ("Head units", "Converters", "Speakers", "Subwoofers", "Amplifiers", "Deadening")
NO_CRITERIA = {"SKU", "Model", "Price", "Rating", "Cost", "Stock", "Family", "Link", "Note", "Active", "Price high"}


def rating(product: Cells, points: list[Cells]) -> float | None:
    """The rating of a product by the rows of its sheet; `None` where a cell that it needs is blank."""
    earned, most = Fraction(0), Fraction(0)
    for column in dict.fromkeys(row["Column"] for row in points):
        rows = [row for row in points if row["Column"] == column]
        cell = product.get(column)
        cell = MEANT_BY_BLANK.get(column) if cell is None else cell
        if cell is None:
            return None
        most += max(Fraction(str(row["Points"])) for row in rows)
        earned += sum((_earned(cell, row) for row in rows), Fraction(0))
    with localcontext() as context:
        context.prec = 60
        exact = Decimal(10 * earned.numerator * most.denominator) / Decimal(earned.denominator * most.numerator)
        return float(exact.quantize(Decimal("0.01"), ROUND_HALF_UP))


def _earned(cell: Any, row: Cells) -> Fraction:  # noqa: ANN401 - whatever a cell holds
    """What one row gives a cell."""
    points = Fraction(str(row["Points"]))
    if row.get("Value") is not None:
        return points if _plain(cell) == _plain(row["Value"]) else Fraction(0)
    value, worst, best = (Fraction(str(number)) for number in (cell, row["Worst"], row["Best"]))
    if worst > best:
        value, worst, best = -value, -worst, -best
    if value <= worst:
        return Fraction(0)
    return points if value >= best else points * (value - worst) / (best - worst)


def _plain(cell: Any) -> str:  # noqa: ANN401 - whatever a cell holds
    """A cell as words are compared."""
    return f"{cell:g}" if isinstance(cell, int | float) else " ".join(str(cell).lower().split())


def random_points(rng: random.Random, tables: Mapping[str, list[Cells]]) -> list[Cells]:
    """Points for some of the columns of every product sheet that is rated, worst above best now and then."""
    found: list[Cells] = []
    for sheet in RATED:
        rows = tables.get(sheet, [])
        columns = sorted({column for row in rows for column in row} - NO_CRITERIA)
        usable = [column for column in columns if any(row.get(column) is not None for row in rows)]
        for column in rng.sample(usable, min(len(usable), rng.randint(1, 3))):
            found += [{"Sheet": sheet, "Column": column, **row} for row in _rows(rng, [row[column] for row in rows])]
    return found


def _rows(rng: random.Random, cells: list[Any]) -> list[Cells]:
    """The rows about one column."""
    filled = [cell for cell in cells if cell is not None]
    points = (0.5, 1, 1.5, 2, 3, 5)
    if all(isinstance(cell, int | float) for cell in filled) and rng.random() < 0.8:
        low, high = min(filled), max(filled)
        worst, best = low + rng.choice((-1, 0, 0.5)), high + rng.choice((-0.25, 0, 3)) + (low == high)
        worst, best = (worst, best) if worst != best else (worst, best + 1)
        if rng.random() < 0.4:
            worst, best = best, worst
        return [{"Worst": worst, "Best": best, "Points": rng.choice(points)}]
    words = sorted(set(filled), key=str)
    some = rng.sample(words, rng.randint(1, len(words)))
    return [{"Value": word, "Points": rng.choice(points)} for word in some]

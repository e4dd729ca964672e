"""What is wrong with one cell, before anybody knows where the cell stands."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING

from budgetbuild.catalogue.schema import Column, Kind
from budgetbuild.catalogue.units import OUT_OF_TEN
from budgetbuild.faults import Severity

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, slots=True)
class Problem:
    """What was expected in a cell, and how to mend it; see `faults.Fault`."""

    code: str
    expected: str
    mend: str
    severity: Severity = Severity.FAULT


SAVE_ONCE = "open and save it once in your spreadsheet program"
MORE_THAN_FEW = 8
_WORDS = {
    Kind.MONEY: "an amount of money",
    Kind.WHOLE: "a whole number",
    Kind.NUMBER: "a number",
    Kind.PERCENT: "a percentage",
    Kind.SHARE: "a share or a percentage",
    Kind.YES_NO: "yes or no",
    Kind.NAMES: "names separated by ;",
    Kind.AWG: "a wire gauge such as 4 or 1/0",
    Kind.SKU: "a SKU",
    Kind.CURRENCY: "a currency code of three letters",
    Kind.PROSE: "a paragraph of text",
    Kind.LOCALE: "a language and a country, such as en_GB",
    Kind.DATE: "a date",
    Kind.TEXT: "text",
}


def wanted(column: Column) -> str:
    """What a column holds, in words.

    >>> wanted(Column(header="Size mm", field="size_mm", kind=Kind.NUMBER, unit="mm", positive=True, help=""))
    'a number in mm, greater than 0'
    """
    if column.kind is Kind.CHOICE:
        return "one of " + ", ".join(column.choices)
    return f"{_WORDS[column.kind]}{measure(column)}{_range(column)}"


def measure(column: Column) -> str:
    """The measure of a column's numbers, to stand behind a number; empty where there is none."""
    if column.unit == OUT_OF_TEN:
        return f" {OUT_OF_TEN}"
    return f" in {column.unit}" if column.unit else ""


def _range(column: Column) -> str:
    """The range of a numeric column, in words."""
    if column.kind is Kind.AWG:
        return ""
    high = "" if column.high is None else f" to {column.high:g}"
    if column.positive:
        return f", greater than 0{high and f' and up{high}'}"
    if column.low is not None:
        return f", {column.low:g}{high}" if high else f", {column.low:g} or more"
    return ""


def did_you_mean(word: str, names: Iterable[str]) -> str:
    """A hint at the nearest names, or the whole list where it is short, or nothing.

    >>> did_you_mean("copr", ["copper", "CCA"])
    'did you mean copper?'
    >>> did_you_mean("zzz", ["copper", "CCA"])
    'known: copper, CCA'
    """
    originals = {name.casefold(): name for name in names}
    near = get_close_matches(word.casefold(), originals, n=3, cutoff=0.6)
    if near:
        return f"did you mean {' or '.join(originals[name] for name in near)}?"
    few = sorted(originals.values()) if len(originals) <= MORE_THAN_FEW else []
    listed = [name for name in originals.values() if name in few]
    return f"known: {', '.join(listed)}" if listed else "look up the name"

"""How a label in the `Settings` sheet is matched: by its words, in any order, with or without the unit."""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from typing import TYPE_CHECKING

from budgetbuild.catalogue.setting_rows import SETTINGS

if TYPE_CHECKING:
    from budgetbuild.catalogue.schema import Column

Words = frozenset[str]

_SAME = {
    word: names.split()[0]
    for names in (
        "most max maximum greatest highest upper",
        "least min minimum lowest lower",
        "amplifier amplifiers amp amps",
        "labour labor",
        "earth ground",
        "metre m metres meter meters",
        "w watt watts",
        "v volt volts voltage",
        "share percent percentage",
        "allowed allow allows",
        "run runs",
        "pair pairs",
        "speaker speakers",
        "run length",
        "point points",
        "cca copperclad",
        "code iso",
        "spare extra",
        "loss losses",
    )
    for word in names.split()
}
"""Words that say the same in a label."""
_UNSAID = frozenset(
    {
        "the",
        "of",
        "a",
        "an",
        "in",
        "for",
        "at",
        "by",
        "is",
        "and",
        "our",
        "default",
        "unknown",
        "where",
        "assumed",
    }
    | {"per", "hour", "h", "hr"}
)
"""Words that do not tell labels apart."""
_UNITS = {"m": "metre", "W": "w", "V": "v", "C": "c", "mm": "mm", "m2": "m2", "points": "point"}
"""The unit that a label may leave out, as the word for it."""


def words_of_label(label: str) -> Words:
    """The words of a label that tell it apart, without order.

    >>> words_of_label("Max. amplifiers") == words_of_label("amps (maximum)")
    True
    >>> sorted(words_of_label("Allowed drop (V)"))
    ['allowed', 'drop', 'v']
    """
    folded = unicodedata.normalize("NFKC", label).casefold().replace("copper-clad", "cca").replace("copper clad", "cca")
    spoken = re.findall(r"[^\W_]+", folded)
    return frozenset(_SAME.get(word, word) for word in spoken) - _UNSAID


@cache
def _known() -> dict[Words, Column]:
    """Every setting by the words of each of its names, with and without its unit."""
    known: dict[Words, Column] = {}
    for column in SETTINGS:
        unit = {_UNITS[column.unit]} if column.unit in _UNITS else set()
        for name in (column.header, *column.aliases):
            known.setdefault(words_of_label(name), column)
            known.setdefault(words_of_label(name) | unit, column)
            known.setdefault(words_of_label(name) - unit, column)
    return known


def setting_of(label: str) -> Column | None:
    """The setting that a label names, if any.

    >>> setting_of("Drop allowed").header, setting_of("Boot spare cm") is None
    ('Allowed drop V', True)
    """
    return _known().get(words_of_label(label))


def counts_in_percent(label: str) -> bool:
    """Whether a label says that its value counts in percent.

    >>> counts_in_percent("Tax rate %"), counts_in_percent("Tax rate")
    (True, False)
    """
    return "%" in label or "percent" in label.casefold()

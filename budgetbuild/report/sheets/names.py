"""Names of sheets: legal, unique, and ending cleanly where they had to be cut."""

from __future__ import annotations

import re

LONGEST = 31
"""Most UTF-16 units in the name of a sheet."""
LEAST_KEPT = 16
"""A name is cut between two words where at least this much of it stays."""
DANGLING = " '\u2019\"\u201c,;:.&+-\u2013\u2014_|=("
"""Marks that no name should end in."""


def sheet_name(wanted: str, taken: set[str]) -> str:
    """A legal sheet name like the one wanted, not among those taken (folded).

    >>> sheet_name("Tier [1]: a/b", set()), sheet_name("'Loud'", {"loud"}), sheet_name("History", set())
    ('Tier (1) a b', 'Loud 2', 'History 2')
    >>> sheet_name("Starter Keep own;", set()), sheet_name("Middle Replace the head unit (no bass)", set())
    ('Starter Keep own', 'Middle Replace the head unit')
    """
    clean = wanted.replace("[", "(").replace("]", ")")
    clean = re.sub(r"[\x00-\x1f\x7f:*?/\\\ud800-\udfff\ufffe\uffff]", " ", clean)
    clean = _tidy(" ".join(clean.split())) or "Build"
    name, count = _cut(clean, LONGEST), 1
    while name.casefold() in taken or name.casefold() == "history":
        count += 1
        name = f"{_cut(clean, LONGEST - len(str(count)) - 1)} {count}"
    return name


def _cut(name: str, length: int) -> str:
    """A name cut to so many UTF-16 units, as spreadsheets count, between two words where there is room for that."""
    short = name
    while len(short.encode("utf-16-le")) // 2 > length:
        short = short[:-1]
    if short != name and not name[len(short)].isspace() and short.rfind(" ") >= LEAST_KEPT:
        short = short[: short.rfind(" ")]
    return _tidy(short)


def _tidy(name: str) -> str:
    """A name without a bracket that nothing closes, and without marks that only join it to what is gone."""
    opened = name.rfind("(")
    if opened > 0 and ")" not in name[opened:]:
        name = name[:opened]
    return name.lstrip("' ").rstrip(DANGLING)

"""How names are compared."""

from __future__ import annotations


def fold(name: str) -> str:
    r"""A name as names are compared: case, surrounding and repeated spaces ignored.

    >>> fold("  Kestrel\u00a0 HATCH ") == fold("kestrel hatch")
    True
    """
    return " ".join(name.split()).casefold()

"""How catalogue text and lists of words are written on a page, and money in data files; figures: see `notation`."""

from __future__ import annotations

import unicodedata

from budgetbuild.catalogue.names import fold, visible

LABEL_LENGTH = 160
"""Most characters of one catalogue text on a page; the workbook and the data file carry it whole."""

SLUG_LENGTH = 60


def decimal_money(cents: int) -> str:
    """Whole cents as a decimal string with two places.

    >>> decimal_money(129850), decimal_money(-5)
    ('1298.50', '-0.05')
    """
    whole, part = divmod(abs(cents), 100)
    return f"{'-' if cents < 0 else ''}{whole}.{part:02d}"


def counted(count: int, one: str, many: str = "") -> str:
    """A count with its noun.

    >>> counted(1, "lead"), counted(2, "lead"), counted(2, "box", "boxes")
    ('1 lead', '2 leads', '2 boxes')
    """
    return f"{count} {one if count == 1 else many or one + 's'}"


def listed(words: list[str] | tuple[str, ...], last: str = "and") -> str:
    """Words as a list that one would say.

    >>> listed(["front", "rear", "bass"]), listed(["front"]), listed([])
    ('front, rear and bass', 'front', '')
    """
    if len(words) < 2:  # noqa: PLR2004 - nothing to join
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def capital(sentence: str) -> str:
    """A sentence with its first letter large, the rest as it was.

    >>> capital("front speakers by HALDOR")
    'Front speakers by HALDOR'
    """
    return sentence[:1].upper() + sentence[1:]


def label(text: str) -> str:
    r"""Catalogue text as one line that may stand on a page.

    What nobody can see is left out (see `visible`); very long text is cut and says so with an ellipsis.

    >>> label("  Front\nset \u202e2000 ")
    'Front set 2000'
    """
    line = visible(text)
    return line if len(line) <= LABEL_LENGTH else f"{line[: LABEL_LENGTH - 1].rstrip()}…"


def slug(text: str) -> str:
    """A short name that is safe as an anchor: letters a to z, digits and hyphens.

    >>> slug("1300 / Keep factory!"), slug("ⅨÆ")
    ('1300-keep-factory', 'ix')
    """
    plain = unicodedata.normalize("NFKD", fold(text))
    kept = "".join(mark if mark.isascii() and mark.isalnum() else " " for mark in plain)
    return "-".join(kept.split())[:SLUG_LENGTH].strip("-")

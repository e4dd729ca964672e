"""How money, scores, figures and catalogue text are written: one place for all outputs.

Money comes in whole cents and scores in whole thousandths of a point, so nothing here rounds twice.
"""

from __future__ import annotations

import unicodedata
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING

from budgetbuild.catalogue.names import fold

if TYPE_CHECKING:
    from budgetbuild.catalogue.items import PowerKit, SpeakerCable

SYMBOLS = {"EUR": "€", "GBP": "£", "USD": "$", "JPY": "¥"}
"""Signs that readers know; every other currency is written by its code."""

LABEL_LENGTH = 160
"""Most characters of one catalogue text on a page; the workbook and the data file carry it whole."""

SLUG_LENGTH = 60

_BIDI_CONTROLS = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def symbol(currency: str) -> str:
    """The sign of a currency, or its code where it has no sign of its own here.

    >>> symbol("EUR"), symbol("sek")
    ('€', 'SEK')
    """
    code = currency.strip().upper()
    return SYMBOLS.get(code, code)


def money(cents: int, currency: str) -> str:
    r"""Whole cents as one reads them, sign and amount held together by a no-break space.

    >>> money(129850, "EUR"), money(-5, "GBP"), money(100, "")
    ('€\xa01,298.50', '-£\xa00.05', '1.00')
    """
    whole, part = divmod(abs(cents), 100)
    sign = "-" if cents < 0 else ""
    mark = symbol(currency)
    return f"{sign}{mark}\u00a0{whole:,}.{part:02d}" if mark else f"{sign}{whole:,}.{part:02d}"


def decimal_money(cents: int) -> str:
    """Whole cents as a decimal string with two places.

    >>> decimal_money(129850), decimal_money(-5)
    ('1298.50', '-0.05')
    """
    whole, part = divmod(abs(cents), 100)
    return f"{'-' if cents < 0 else ''}{whole}.{part:02d}"


def points(thousandths: int) -> str:
    """A score with two decimals, rounded half up.

    >>> points(71425), points(71424), points(100000)
    ('71.43', '71.42', '100.00')
    """
    hundredths = (thousandths + 5) // 10
    return f"{hundredths // 100}.{hundredths % 100:02d}"


def number(value: float, digits: int = 2) -> str:
    """A figure with at most so many decimals, half up as it prints, without idle zeros.

    >>> number(2.0), number(1.256), number(0.125), number(1234.5, 0), number(0.6899999999999999, 3)
    ('2', '1.26', '0.13', '1,235', '0.69')
    """
    step = Decimal(1).scaleb(-digits)
    text = f"{Decimal(repr(value)).quantize(step, ROUND_HALF_UP):,f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def measure(value: float, unit: str, digits: int = 2) -> str:
    r"""A figure with its unit, held together by a no-break space.

    >>> measure(4.0, "ohm"), measure(19.84, "A", 1)
    ('4\xa0ohm', '19.8\xa0A')
    """
    return f"{number(value, digits)}\u00a0{unit}"


def gauge(cable: PowerKit | SpeakerCable) -> str:
    r"""A cable's gauge as its sheet states it.

    Raises:
        ValueError: It states none; a checked catalogue holds no such cable.

    >>> from budgetbuild.catalogue.items import PowerKit, SpeakerCable
    >>> from budgetbuild.catalogue.kinds import Conductor
    >>> kit = PowerKit(sku="K", price=1, awg=-1, conductor=Conductor.COPPER, length_m=5, fuse_a=100)
    >>> gauge(kit), gauge(SpeakerCable(sku="C", price=1, mm2=2.5, conductor=Conductor.COPPER, metres_per_unit=1))
    ('2/0\xa0AWG', '2.5\xa0mm²')
    """
    if cable.mm2 is not None:
        return measure(cable.mm2, "mm²")
    if cable.awg is None:
        raise ValueError(f"{cable.sku} states no cross-section")
    return f"{cable.awg}\u00a0AWG" if cable.awg > 0 else f"{1 - cable.awg}/0\u00a0AWG"


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

    Control characters and marks that turn the reading direction become spaces, so that no product name can
    rearrange the words beside it; very long text is cut and says so with an ellipsis.

    >>> label("  Front\nset \u202e2000 ")
    'Front set 2000'
    """
    clean = "".join(" " if _unprintable(mark) else mark for mark in text)
    line = " ".join(clean.split())
    return line if len(line) <= LABEL_LENGTH else f"{line[: LABEL_LENGTH - 1].rstrip()}…"


def _unprintable(mark: str) -> bool:
    """Whether a character has no place in a line: controls, halves of pairs, direction marks, no characters at all."""
    code = ord(mark)
    nothing = code & 0xFFFE == 0xFFFE or 0xFDD0 <= code <= 0xFDEF  # noqa: PLR2004 - set aside by Unicode for ever
    return nothing or mark in _BIDI_CONTROLS or unicodedata.category(mark) in {"Cc", "Cs", "Zl", "Zp"}


def slug(text: str) -> str:
    """A short name that is safe as an anchor: letters a to z, digits and hyphens.

    >>> slug("1300 / Keep factory!"), slug("ⅨÆ")
    ('1300-keep-factory', 'ix')
    """
    plain = unicodedata.normalize("NFKD", fold(text))
    kept = "".join(mark if mark.isascii() and mark.isalnum() else " " for mark in plain)
    return "-".join(kept.split())[:SLUG_LENGTH].strip("-")

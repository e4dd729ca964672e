"""How a shop writes money, figures and dates: by its locale, in one place for all outputs.

Money comes in whole cents and scores in whole thousandths of a point, so nothing here rounds twice. The formats are
those of the Unicode Common Locale Data Repository, as Babel carries them; the words around them are English.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from typing import TYPE_CHECKING

from babel import Locale
from babel.dates import format_date
from babel.numbers import format_currency, format_decimal, get_decimal_symbol, get_group_symbol

from budgetbuild.catalogue.shop import LOCALE

if TYPE_CHECKING:
    from budgetbuild.catalogue.items import PowerKit, SpeakerCable

CENTS = Decimal(100)
_LETTER_BESIDE_DIGIT = re.compile(r"(?<=[^\W\d_])(?=-?\d)|(?<=\d)(?=[^\W\d_])")


@dataclass(frozen=True, slots=True)
class Notation:
    """How a shop writes money, figures and dates.

    Attributes:
        currency: Currency code of every amount.
        locale: Language and country, as in `en_GB`.
    """

    currency: str = "EUR"
    locale: str = LOCALE

    @property
    def symbol(self) -> str:
        """The sign of the currency as the locale writes it, or its code.

        >>> Notation("EUR").symbol, Notation("SEK").symbol, Notation("SEK", "sv_SE").symbol
        ('€', 'SEK', 'kr')
        """
        return str(_locale(self.locale).currency_symbols.get(self.currency, self.currency))

    def money(self, cents: int) -> str:
        r"""Whole cents with the sign of the currency, always with two places.

        >>> Notation("EUR").money(129850), Notation("GBP").money(-5), Notation("EUR", "de_DE").money(129850)
        ('€1,298.50', '-£0.05', '1.298,50\xa0€')
        >>> Notation("SEK").money(100), Notation("JPY", "en_US").money(129850)
        ('SEK\xa01.00', '¥1,298.50')
        """
        return _money(cents, self.currency, self.locale)

    def short(self, cents: int) -> str:
        r"""Money without the places that hold nothing, as one says a budget.

        >>> Notation("EUR").short(130000), Notation("EUR", "de_DE").short(130000), Notation("EUR").short(65050)
        ('€1,300', '1.300\xa0€', '€650.50')
        """
        return self.money(cents) if cents % 100 else self.money(cents).replace(f"{self.decimal_mark}00", "", 1)

    def amount(self, cents: int) -> str:
        """Whole cents without the sign of the currency.

        >>> Notation().amount(129850), Notation("EUR", "fr_FR").amount(-5), Notation("INR", "en_IN").amount(12345600)
        ('1,298.50', '-0,05', '1,23,456.00')
        """
        return self._decimal(cents / CENTS, ".00")

    def points(self, thousandths: int) -> str:
        """A score with two decimals, rounded half up.

        >>> Notation().points(71425), Notation().points(71424), Notation("EUR", "nl_NL").points(100000)
        ('71.43', '71.42', '100,00')
        """
        return self._decimal(Decimal((thousandths + 5) // 10) / CENTS, ".00")

    def number(self, value: float, digits: int = 2) -> str:
        """A figure with at most so many decimals, half up as it prints, without idle zeros.

        >>> say = Notation().number
        >>> say(2.0), say(1.256), say(0.125), say(1234.5, 0), say(0.6899999999999999, 3), say(-0.001)
        ('2', '1.26', '0.13', '1,235', '0.69', '0')
        """
        step = Decimal(1).scaleb(-digits)
        rounded = Decimal(repr(value)).quantize(step, ROUND_HALF_UP)
        return self._decimal(rounded or Decimal(0), f".{'#' * digits}" if digits else "")

    def measure(self, value: float, unit: str, digits: int = 2) -> str:
        r"""A figure with its unit, held together by a no-break space.

        >>> Notation().measure(4.0, "ohm"), Notation("EUR", "de_DE").measure(19.84, "A", 1)
        ('4\xa0ohm', '19,8\xa0A')
        """
        return f"{self.number(value, digits)}\u00a0{unit}"

    def date(self, text: str) -> str:
        """A date written as one says it; text that is no ISO date stays as it is.

        >>> Notation().date("2026-11-25"), Notation("EUR", "de_DE").date("2026-11-25"), Notation().date("autumn")
        ('25 November 2026', '25. November 2026', 'autumn')
        """
        try:
            day = date.fromisoformat(text)
        except ValueError:
            return text
        return format_date(day, "long", _locale(self.locale))

    def decimals_in(self, text: str) -> str:
        """A text of ours that holds plain decimals, with them as the locale writes them.

        >>> Notation("EUR", "de_DE").decimals_in("0.4 to 1.5"), Notation().decimals_in("0.4 to 1.5")
        ('0,4 to 1,5', '0.4 to 1.5')
        """
        return re.sub(r"(?<=\d)\.(?=\d)", self.decimal_mark, text)

    @property
    def decimal_mark(self) -> str:
        """What stands before the decimals."""
        return get_decimal_symbol(_locale(self.locale))

    @property
    def grouping_mark(self) -> str:
        """What stands between thousands."""
        return get_group_symbol(_locale(self.locale))

    @property
    def group_sizes(self) -> tuple[int, int]:
        """Digits in the last group before the decimals, and in each group before that.

        >>> Notation().group_sizes, Notation("INR", "en_IN").group_sizes
        ((3, 3), (3, 2))
        """
        last, others = _locale(self.locale).currency_formats["standard"].grouping
        return int(last), int(others)

    @property
    def currency_stands_first(self) -> bool:
        """Whether the sign of the currency stands before the amount."""
        return not self.money(0)[0].isdigit()

    def _decimal(self, value: Decimal, places: str) -> str:
        """A number in the locale's grouping; places after the mark: `.00` always, `.##` where they hold any."""
        return _decimal(value, places, self.locale)


@lru_cache(maxsize=8)
def _locale(name: str) -> Locale:
    return Locale.parse(name)


@lru_cache(maxsize=4096)
def _money(cents: int, currency: str, locale: str) -> str:
    written = format_currency(cents / CENTS, currency, None, _locale(locale), currency_digits=False)
    return _LETTER_BESIDE_DIGIT.sub("\u00a0", written)


@lru_cache(maxsize=4096)
def _decimal(value: Decimal, places: str, locale: str) -> str:
    whole = _locale(locale).decimal_formats[None].pattern.partition(";")[0].partition(".")[0]
    return format_decimal(value, whole + places, _locale(locale), decimal_quantization=False)


def gauge(cable: PowerKit | SpeakerCable, notation: Notation) -> str:
    r"""A cable's gauge as its sheet states it.

    Raises:
        ValueError: It states none; a checked catalogue holds no such cable.

    >>> from budgetbuild.catalogue.items import PowerKit, SpeakerCable
    >>> from budgetbuild.catalogue.kinds import Conductor
    >>> kit = PowerKit(sku="K", price=1, awg=-1, conductor=Conductor.COPPER, length_m=5, fuse_a=100)
    >>> cable = SpeakerCable(sku="C", price=1, mm2=2.5, conductor=Conductor.COPPER, metres_per_unit=1)
    >>> gauge(kit, Notation()), gauge(cable, Notation())
    ('2/0\xa0AWG', '2.5\xa0mm²')
    """
    if cable.mm2 is not None:
        return notation.measure(cable.mm2, "mm²")
    if cable.awg is None:
        raise ValueError(f"{cable.sku} states no cross-section")
    return f"{cable.awg}\u00a0AWG" if cable.awg > 0 else f"{1 - cable.awg}/0\u00a0AWG"

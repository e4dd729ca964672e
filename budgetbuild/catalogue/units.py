"""Spellings of the units and currencies that a cell may carry."""

from __future__ import annotations

import re

OUT_OF_TEN = "out of 10"
"""The measure of a rating."""

SPELLINGS: dict[str, frozenset[str]] = {
    "mm": frozenset({"mm", "millimetre", "millimetres", "millimeter", "millimeters"}),
    "m": frozenset({"m", "mtr", "metre", "metres", "meter", "meters"}),
    "m2": frozenset({"m2", "m^2", "sqm", "sq m", "square metre", "square metres", "square meters"}),
    "mm2": frozenset({"mm2", "mm^2", "qmm", "sqmm", "sq mm"}),
    "l": frozenset({"l", "lt", "ltr", "litre", "litres", "liter", "liters"}),
    "W": frozenset({"w", "watt", "watts", "rms", "w rms", "wrms", "rms w", "watt rms", "watts rms"}),
    "ohm": frozenset({"ohm", "ohms", "ω"}),
    "dB": frozenset({"db", "db/w", "db/w/m", "db/wm", "db 1w/1m", "db/1w/1m", "db (1w/1m)"}),
    "A": frozenset({"a", "amp", "amps", "ampere", "amperes"}),
    "V": frozenset({"v", "volt", "volts"}),
    "C": frozenset({"c", "°c", "deg c", "degrees c", "celsius"}),
    "h": frozenset({"h", "hr", "hrs", "hour", "hours"}),
    "days": frozenset({"d", "day", "days"}),
    "points": frozenset({"pt", "pts", "point", "points"}),
    "pcs": frozenset({"pc", "pcs", "piece", "pieces", "pair", "pairs", "unit", "units"}),
    "pairs": frozenset({"pair", "pairs", "pr"}),
    "channels": frozenset({"ch", "channel", "channels"}),
    OUT_OF_TEN: frozenset({OUT_OF_TEN, "of 10", "/10", "/ 10"}),
    "cm": frozenset({"cm", "centimetre", "centimetres", "centimeter", "centimeters"}),
    "inch": frozenset({'"', "''", "\u2032\u2032", "in", "inch", "inches"}),
    "foot": frozenset({"'", "\u2032", "ft", "foot", "feet"}),
    "cm2": frozenset({"cm2", "cm^2", "sq cm", "sqcm"}),
    "cubic foot": frozenset({"cubic foot", "cubic feet", "cu ft", "cuft", "ft3", "ft^3"}),
    "kW": frozenset({"kw", "kilowatt", "kilowatts"}),
    "mA": frozenset({"ma", "milliampere", "milliamperes"}),
    "": frozenset(),
}
"""Folded spellings of every unit; a column accepts those of its own unit only. No column of the workbook counts in the
last ones: a price list that is imported may."""

CURRENCY_MARKS: dict[str, frozenset[str]] = {
    "€": frozenset({"EUR"}),
    "£": frozenset({"GBP", "EGP", "LBP"}),
    "$": frozenset({"USD", "AUD", "CAD", "NZD", "SGD", "HKD", "MXN", "CLP", "COP", "ARS"}),
    "us$": frozenset({"USD"}),
    "a$": frozenset({"AUD"}),
    "c$": frozenset({"CAD"}),
    "¥": frozenset({"JPY", "CNY"}),
    "₹": frozenset({"INR"}),
    "₺": frozenset({"TRY"}),
    "₽": frozenset({"RUB"}),
    "₴": frozenset({"UAH"}),
    "₩": frozenset({"KRW"}),
    "₪": frozenset({"ILS"}),
    "zł": frozenset({"PLN"}),
    "kč": frozenset({"CZK"}),
    "ft": frozenset({"HUF"}),
    "kr": frozenset({"SEK", "NOK", "DKK", "ISK"}),
    "fr": frozenset({"CHF"}),
    "sfr": frozenset({"CHF"}),
    "lei": frozenset({"RON"}),
    "r": frozenset({"ZAR"}),
    "r$": frozenset({"BRL"}),
    "euro": frozenset({"EUR"}),
    "euros": frozenset({"EUR"}),
}
"""Folded currency marks and the currencies for which each may stand."""

PEAK = re.compile(r"\b(max|maximum|peak|pmpo|pmp|burst|dynamic)\b", re.IGNORECASE)
"""Words that say that a power is not continuous RMS."""


def is_unit(text: str, unit: str) -> bool:
    """Whether text beside a number is a spelling of the unit.

    >>> is_unit("W RMS", "W"), is_unit("kW", "W"), is_unit("Ω", "ohm")
    (True, False, True)
    """
    return text.casefold().rstrip(".") in SPELLINGS[unit]


def marks_currency(text: str, currency: str) -> bool:
    """Whether text beside a price is the code of the currency or one of its marks.

    >>> marks_currency("€", "EUR"), marks_currency("eur", "EUR"), marks_currency("$", "EUR")
    (True, True, False)
    """
    folded = text.casefold().strip(". ")
    return folded == currency.casefold() or currency in CURRENCY_MARKS.get(folded, frozenset())


def is_any_currency(text: str) -> bool:
    """Whether text beside a price looks like a currency at all."""
    folded = text.casefold().strip(". ")
    return folded in CURRENCY_MARKS or (len(text) == 3 and text.isascii() and text.isupper())  # noqa: PLR2004 - ISO 4217

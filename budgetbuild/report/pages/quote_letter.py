"""The customer's quote: what one gets, what it costs with and without tax, until when, and on which terms.

It holds nothing that is the shop's own affair: no cost, no margin, no stock.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from budgetbuild.build import Caution, Status
from budgetbuild.report.pages.templating import fill_html, fill_markdown
from budgetbuild.report.words.cautions import filled
from budgetbuild.report.words.format import capital, label
from budgetbuild.report.words.safety import for_every_job
from budgetbuild.report.words.voice import voice_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date
    from pathlib import Path

    from budgetbuild.build import PricedLine
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Settings
    from budgetbuild.report.shown import Report, ReportBuild
    from budgetbuild.report.words.voice import Voice

TOPIC = "quote"
UNSAID = frozenset({"out-of-stock"})
"""Codes of cautions about the shop's own affairs."""


@dataclass(frozen=True, slots=True)
class Tax:
    """The total shown both ways, in cents: `net + tax` is the total.

    Attributes:
        rate: In percent, as the shop writes it.
        net: Sum of what the lines come to without tax.
    """

    rate: str
    net: int
    tax: int


@dataclass(frozen=True, slots=True)
class QuoteLetter:
    """What a quote says.

    Attributes:
        dated: Its date, as the shop writes it.
        until: The last day on which it holds, as the shop writes it.
        valid: The same in one sentence.
        tax: `None` where the shop states no tax rate.
        about_tax: How tax is reckoned, or that prices include it.
        prices_of: Of when the prices are, empty where that is not known.
        reference: What it rests on, so that it can be found again.
        cautions: What to know, in a customer's words.
    """

    shown: ReportBuild
    shop: str
    address: tuple[str, ...]
    dated: str
    until: str
    valid: str
    lines: tuple[PricedLine, ...]
    tax: Tax | None
    about_tax: str
    prices_of: str
    chosen: str
    reference: str
    cautions: tuple[str, ...]
    terms: tuple[str, ...]
    safety: tuple[str, ...]


def render_quote_html(report: Report, day: date, templates: Path | None = None) -> bytes:
    """A quote as one HTML page without any outside part, UTF-8.

    Args:
        report: With the one build that is quoted.
        day: Date of the quote.
        templates: A shop's own templates; what it lacks comes from the tool.

    Raises:
        UserInputError: A shop's own template or sentence is wrong.
    """
    letter = _letter(report, day, templates)
    return fill_html("quote.html.j2", {"quote": letter}, report.notation, templates, letter.safety)


def render_quote_markdown(report: Report, day: date, templates: Path | None = None) -> bytes:
    """The same as Markdown, UTF-8.

    Args:
        report: With the one build that is quoted.
        day: Date of the quote.
        templates: A shop's own templates; what it lacks comes from the tool.

    Raises:
        UserInputError: A shop's own template or sentence is wrong.
    """
    letter = _letter(report, day, templates)
    return fill_markdown("quote.md.j2", {"quote": letter}, report.notation, templates, letter.safety)


def _letter(report: Report, day: date, templates: Path | None) -> QuoteLetter:
    (shown,) = report.builds
    return quote_letter(shown, report, day, voice_of(report.catalogue.settings, templates))


def quote_letter(shown: ReportBuild, report: Report, day: date, voice: Voice) -> QuoteLetter:
    """What a quote says.

    Args:
        shown: The build that is quoted.
        report: What it stands in.
        day: Date of the quote.
        voice: The shop's sentences.

    Raises:
        ValueError: A caution has no words for customers: a defect in the tool.
        OverflowError: The quote would hold beyond the last year of the calendar.
    """
    settings, write = report.catalogue.settings, voice.notation
    until = write.date((day + timedelta(days=settings.quote_days)).isoformat())
    tax, proven = _tax(shown, settings, voice), shown.build.status is Status.OPTIMAL
    return QuoteLetter(
        shown=shown,
        shop=label(settings.shop_name),
        address=tuple(map(label, settings.shop_address)),
        dated=write.date(day.isoformat()),
        until=until,
        valid=voice.say(TOPIC, "valid", until=until),
        lines=tuple(told.line for told in shown.lines),
        tax=tax,
        about_tax=voice.say(TOPIC, "tax-by-line" if tax else "tax-included"),
        prices_of=voice.say(TOPIC, "prices-of", date=label(write.date(settings.date))) if settings.date else "",
        chosen=voice.say(TOPIC, "chosen" if proven else "chosen-so-far", cap=write.money(shown.build.tier.cap)),
        cautions=tuple(_for_customers(shown, report.products, voice)),
        reference=report.reference,
        terms=tuple(map(_line, settings.quote_terms)),
        safety=for_every_job(voice),
    )


def _tax(shown: ReportBuild, settings: Settings, voice: Voice) -> Tax | None:
    """Tax of the whole, so that what is printed adds up; `None` where no rate is set."""
    if settings.tax_rate is None or shown.net_total is None or shown.tax is None:
        return None
    rate = f"{voice.notation.number(float(100 * settings.tax_rate), 4)}\u00a0%"
    return Tax(rate=rate, net=shown.net_total, tax=shown.tax)


def _for_customers(shown: ReportBuild, products: Mapping[str, Product], voice: Voice) -> Iterator[str]:
    """The cautions in a customer's words: products by name instead of SKU, nothing about the shop's own affairs."""
    for caution in shown.watched:
        if caution.code not in UNSAID:
            told = Caution(caution.code, caution.subject, caution.figures)
            yield capital(filled("quote-cautions", told, voice, products))


def _line(text: str) -> str:
    """A sentence of any length on one line, without characters that have no place on a page."""
    return " ".join(filter(None, map(label, text.split())))

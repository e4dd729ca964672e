"""The fitting bay's pick list: what to take from the shelf for each system, and whether the shelf has it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.build import Role
from budgetbuild.report.pages.templating import fill_html
from budgetbuild.report.words.format import label, listed
from budgetbuild.report.words.voice import voice_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from budgetbuild.build import PricedLine
    from budgetbuild.report.shown import Report, ReportBuild, ToldCaution
    from budgetbuild.report.words.voice import Voice

TOPIC = "pick-list"
MEASURE_FIRST = "measure-first"
OF_NO_USE = frozenset({"out-of-stock", "over-budget", "prices-may-rise"})
"""Codes of cautions that the list itself says, or that are no matter of the fitting bay's."""


@dataclass(frozen=True, slots=True)
class Pick:
    """One product to take.

    Attributes:
        parts: Its places in the system.
        take: How many.
        shelf: How many there are; `None` where the shop does not count them.
    """

    sku: str
    product: str
    parts: tuple[str, ...]
    take: int
    shelf: int | None

    @property
    def short(self) -> int:
        """How many are missing; 0 where enough are there or nobody counts them."""
        return 0 if self.shelf is None else max(0, self.take - self.shelf)


@dataclass(frozen=True, slots=True)
class PickList:
    """What one system takes from the shelf.

    Attributes:
        picks: Each product once, in the order of the lines.
        status: Whether the shelf has it all.
        measure: What to measure before anything is fitted.
        mind: The other cautions that concern fitting.
        work: What is to be done, where the shop fits it.
    """

    shown: ReportBuild
    picks: tuple[Pick, ...]
    status: str
    measure: tuple[ToldCaution, ...]
    mind: tuple[ToldCaution, ...]
    work: tuple[str, ...]


def render_pick_lists(report: Report, templates: Path | None = None) -> bytes:
    """A page for every build that takes something from the shelf, as one HTML file without any outside part, UTF-8.

    Args:
        report: What is to be picked.
        templates: A shop's own templates; what it lacks comes from the tool.

    Raises:
        UserInputError: A shop's own template or sentence is wrong.
    """
    voice = voice_of(report.catalogue.settings, templates)
    shelf = {sku: product.stock for sku, product in report.products.items()}
    lists = [pick_list(shown, shelf, voice) for shown in report.builds]
    values = {
        "report": report,
        "lists": [one for one in lists if one.picks],
        "without": [one.shown for one in lists if not one.picks],
    }
    safety = (sentence.text for one in lists if one.picks for sentence in one.shown.safety)
    return fill_html("pick_list.html.j2", values, report.notation, templates, safety)


def pick_list(shown: ReportBuild, shelf: Mapping[str, int | None], voice: Voice) -> PickList:
    """What a system takes from the shelf.

    Args:
        shown: The build.
        shelf: What there is of each product, by SKU.
        voice: The shop's sentences.
    """
    picks = _picks(shown, shelf)
    watched = [caution for caution in shown.watched if caution.code not in OF_NO_USE]
    return PickList(
        shown=shown,
        picks=picks,
        status=_status(picks, voice),
        measure=tuple(caution for caution in watched if caution.code == MEASURE_FIRST),
        mind=tuple(caution for caution in watched if caution.code != MEASURE_FIRST),
        work=tuple(_work(told.line) for told in shown.lines if told.line.role is Role.LABOUR),
    )


def _picks(shown: ReportBuild, shelf: Mapping[str, int | None]) -> tuple[Pick, ...]:
    """Each product once: one that serves in two places is taken in one go, and the shelf is counted once."""
    return tuple(
        Pick(
            sku=same[0].line.sku,
            product=same[0].line.description,
            parts=tuple(dict.fromkeys(told.line.role.value for told in same)),
            take=sum(told.line.quantity for told in same),
            shelf=shelf.get(same[0].line.sku),
        )
        for same in shown.picked
    )


def _work(line: PricedLine) -> str:
    """A piece of work, and how often it is done where that is more than once."""
    work = label(line.description).removeprefix("Fitting: ")
    return f"{work} ({line.quantity} times)" if line.quantity > 1 else work


def _status(picks: tuple[Pick, ...], voice: Voice) -> str:
    """Whether the shelf has it all, in one sentence."""
    missing = [
        voice.say(TOPIC, "item", count=str(pick.short), product=label(pick.product), sku=label(pick.sku))
        for pick in picks
        if pick.short
    ]
    if missing:
        return voice.say(TOPIC, "short", items=listed(missing))
    uncounted = [label(pick.product) for pick in picks if pick.shelf is None]
    return voice.say(TOPIC, "there-counted" if uncounted else "there", products=listed(uncounted))

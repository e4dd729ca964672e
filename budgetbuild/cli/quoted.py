"""A quote as one reads it to a customer at the counter: text and one table, no more."""

from __future__ import annotations

from typing import IO, TYPE_CHECKING

from budgetbuild.cli.console import print_heading, print_table, print_text
from budgetbuild.report.words.format import label
from budgetbuild.report.words.safety import Topic

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.report.shown import Report, ReportBuild
    from budgetbuild.report.words.notation import Notation

SAID_BY_THE_TOTAL = "over-budget"
"""Code of the caution that the line with the total says as well."""


def print_quote(report: Report, to: IO[str]) -> None:
    """Print every build of a report: what one gets, the list, the total, what to watch, what else there is."""
    for shown in report.builds:
        print_heading(label(shown.build.brief.name), to=to)
        print_text(_asked(shown, report.notation), to=to)
        print_text("", to=to)
        print_text(shown.headline, to=to)
        if shown.audited:
            _print_system(shown, report.notation, to)
        else:
            print_text(f"{shown.reason} {shown.standing}", to=to)
            _print_list("What one change would do", shown.reliefs, to)
    print_text("", to=to)
    print_text(report.reference, to=to)


def _asked(shown: ReportBuild, write: Notation) -> str:
    """Which vehicle, and how much money."""
    tier = shown.build.tier
    most = f"cap {write.money(tier.cap)} ({write.number(float(100 * tier.allowance))} % over)"
    asked = f"{label(shown.build.vehicle.name)}, budget {write.money(tier.budget)}"
    return f"{asked}, {most}" if tier.allowance else asked


def _print_system(shown: ReportBuild, write: Notation, to: IO[str]) -> None:
    print_text("", to=to)
    _print_lines(shown, write, to)
    print_text("", to=to)
    print_text(_total(shown, write), to=to)
    print_text(f"Score {write.points(shown.build.score or 0)} of 100. {shown.standing}", to=to)
    watched = [caution.text for caution in shown.watched if caution.code != SAID_BY_THE_TOTAL]
    _print_list("Watch", watched, to)
    _print_list("Which version to order", shown.alerts, to)
    _print_advice(shown, to)
    _print_list("Safety", [*_safety(shown)], to)


def _print_lines(shown: ReportBuild, write: Notation, to: IO[str]) -> None:
    """The parts list with the running tally; the currency stands in the heading, so that amounts stay narrow."""
    rows = [
        (
            line.role.value,
            label(f"{line.sku}  {line.description}" if line.sku else line.description),
            str(line.quantity),
            write.amount(line.unit_price),
            write.amount(line.line_total),
            write.amount(line.running_total),
        )
        for line in (listed.line for listed in shown.lines)
    ]
    print_table(("part", "product", "qty", f"{write.symbol} each", "total", "running"), rows, right=(2, 3, 4, 5), to=to)


def _total(shown: ReportBuild, write: Notation) -> str:
    """The total, and what it leaves of the budget."""
    total, left = write.money(shown.build.total or 0), shown.left_over
    if left < 0:
        return f"Total {total}: {write.money(-left)} over the budget, within the allowance."
    return f"Total {total}: {write.money(left)} of the budget left." if left else f"Total {total}: the whole budget."


def _print_advice(shown: ReportBuild, to: IO[str]) -> None:
    """A little more, a little less: each with what it changes, role by role."""
    if shown.advice:
        print_text("", to=to)
        print_heading("A little more, a little less", to=to)
    for advice in shown.advice:
        print_text(f"{advice.title}: {advice.text}", to=to, bullet="- ")
        for change in advice.changes:
            print_text(change, to=to, bullet="    ")


def _safety(shown: ReportBuild) -> Iterator[str]:
    """The safety sentences, those of one topic together."""
    for topic in Topic:
        said = " ".join(sentence.text for sentence in shown.safety if sentence.topic is topic)
        if said:
            yield said


def _print_list(heading: str, sentences: Sequence[str], to: IO[str]) -> None:
    """A heading and its points; nothing where there are none."""
    if not sentences:
        return
    print_text("", to=to)
    print_heading(heading, to=to)
    for sentence in sentences:
        print_text(sentence, to=to, bullet="- ")

"""The presenter's running order: what to have on the table, and line by line what to show, say and warn of."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from budgetbuild.build import Role
from budgetbuild.report.pages.templating import fill_markdown
from budgetbuild.report.words.format import capital, label
from budgetbuild.report.words.said_at import caution_line, topic_line
from budgetbuild.report.words.steps import COMPARED
from budgetbuild.report.words.voice import voice_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from budgetbuild.build import PricedLine
    from budgetbuild.report.shown import Report, ReportBuild, ReportLine
    from budgetbuild.report.words.voice import Voice

TOPIC = "rundown"
SAID_BY_THE_CLOSE = "over-budget"
"""Code of the caution that the closing sentence says as well."""


@dataclass(frozen=True, slots=True)
class Step:
    """One part of a system, as it is presented; all fitting work is one step.

    Attributes:
        title: Its place in the system, and what fills it.
        show: What to do with it.
        say: What it is, and why it is there.
        prices: Price and tally after it; a sentence or two for every line.
        warn: Cautions and safety sentences to say here.
        asked: What came second, for whoever asks; empty where nothing did.
    """

    title: str
    show: str
    say: str
    prices: tuple[str, ...]
    warn: tuple[str, ...]
    asked: str


@dataclass(frozen=True, slots=True)
class Rundown:
    """The running order of one system.

    Attributes:
        table: Lines with the products to have ready.
        close: What it comes to.
        more: What a little more buys, each with what it changes.
        warn: Cautions and safety sentences that belong to no line.
    """

    shown: ReportBuild
    table: tuple[PricedLine, ...]
    steps: tuple[Step, ...]
    close: str
    more: tuple[tuple[str, tuple[str, ...]], ...]
    warn: tuple[str, ...]


def render_rundown(report: Report, templates: Path | None = None) -> bytes:
    """The running order of every build as Markdown, UTF-8.

    Args:
        report: What it presents.
        templates: A shop's own templates; what it lacks comes from the tool.

    Raises:
        UserInputError: A shop's own template or sentence is wrong.
    """
    voice = voice_of(report.catalogue.settings, templates)
    values = {"report": report, "rundowns": [rundown(shown, voice) for shown in report.builds]}
    safety = (sentence.text for shown in report.builds if shown.lines for sentence in shown.safety)
    return fill_markdown("rundown.md.j2", values, report.notation, templates, safety)


def rundown(shown: ReportBuild, voice: Voice) -> Rundown:
    """The running order of one build; without any step where it has no system."""
    warn = _warnings(shown)
    return Rundown(
        shown=shown,
        table=tuple(told.line for told in shown.lines if told.line.role is not Role.LABOUR),
        steps=tuple(
            _step(group, warn, shown, replace(voice, turn=turn)) for turn, group in enumerate(_groups(shown.lines))
        ),
        close=_close(shown, voice) if shown.audited else "",
        more=tuple(_more(shown)),
        warn=tuple(warn.get(None, ())),
    )


def _groups(lines: Sequence[ReportLine]) -> list[list[tuple[int, ReportLine]]]:
    """Lines with their places, each on its own; the work of fitting, which comes last, together."""
    placed = list(enumerate(lines))
    labour = [one for one in placed if one[1].line.role is Role.LABOUR]
    parts = [[one] for one in placed if one not in labour]
    return [*parts, labour] if labour else parts


def _step(
    group: Sequence[tuple[int, ReportLine]], warn: dict[int | None, list[str]], shown: ReportBuild, voice: Voice
) -> Step:
    first = group[0][1]
    role, name = first.line.role, label(first.line.description)
    return Step(
        title=capital(_part(role)) if role is Role.LABOUR else f"{capital(_part(role))}: {name}",
        show=voice.say(TOPIC, f"show-{role.value.replace(' ', '-')}", product=name),
        say=" ".join([_lead(group[0][0], first.line, voice), *dict.fromkeys(told.why for _, told in group)]),
        prices=tuple(f"{_price(told.line, voice)} {_tally(told.line, shown, voice)}" for _, told in group),
        warn=tuple(text for place, _ in group for text in warn.get(place, ())),
        asked=first.runner_up,
    )


def _part(role: Role) -> str:
    """A place in the system, as one says it."""
    return COMPARED.get(role, role.value)


def _lead(place: int, line: PricedLine, voice: Voice) -> str:
    """What a part is, before it is said why it is there."""
    name = "lead-labour" if line.role is Role.LABOUR else "lead" if place else "lead-first"
    return voice.say(TOPIC, name, part=_part(line.role), product=label(line.description))


def _price(line: PricedLine, voice: Voice) -> str:
    """What a line costs."""
    name = "price-work" if line.role is Role.LABOUR else "price-several" if line.quantity > 1 else "price"
    return voice.say(
        TOPIC,
        name,
        work=label(line.description),
        quantity=str(line.quantity),
        each=voice.notation.money(line.unit_price),
        price=voice.notation.money(line.line_total),
    )


def _tally(line: PricedLine, shown: ReportBuild, voice: Voice) -> str:
    """What all lines up to this one come to, and what that leaves of the budget."""
    return _held_against("tally", line.running_total, shown, voice)


def _close(shown: ReportBuild, voice: Voice) -> str:
    return _held_against("close", shown.build.total or 0, shown, voice)


def _held_against(name: str, cents: int, shown: ReportBuild, voice: Voice) -> str:
    """An amount against the budget: below it, equal to it, or above it."""
    money, left = voice.notation.money, shown.build.tier.budget - cents
    return voice.say(
        TOPIC,
        f"{name}-{'left' if left > 0 else 'over' if left else 'even'}",
        tally=money(cents),
        total=money(cents),
        left=money(left),
        over=money(-left),
        budget=money(shown.build.tier.budget),
    )


def _warnings(shown: ReportBuild) -> dict[int | None, list[str]]:
    """Every caution and safety sentence once, by the place of the line that it is said at."""
    said: dict[int | None, list[str]] = {}
    for caution in shown.watched:
        if caution.code != SAID_BY_THE_CLOSE:
            said.setdefault(caution_line(caution, shown), []).append(caution.text)
    for sentence in shown.safety:
        said.setdefault(topic_line(sentence.topic, shown), []).append(sentence.text)
    return said


def _more(shown: ReportBuild) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What a little more buys: the next visible step, and the next tier."""
    for step_up in shown.advice[:1]:
        yield step_up.text, step_up.changes
    if shown.next_tier:
        yield shown.next_tier, shown.changes

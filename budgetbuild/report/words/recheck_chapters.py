"""The page "what changed" as chapters: all systems at a glance, then each that needs something done."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from budgetbuild.build import Build, Remedy, Standing, Status
from budgetbuild.report.chapter import Bullets, Chapter, Heading, Kind, Paragraph, Table
from budgetbuild.report.words import recheck as sentences
from budgetbuild.report.words.cautions import no_build_reason, reliefs
from budgetbuild.report.words.drifts import Speaker
from budgetbuild.report.words.format import label, slug
from budgetbuild.report.words.listing import system_blocks
from budgetbuild.report.words.recheck_tables import choice, columns, drift_table, exchange_table, price_table

if TYPE_CHECKING:
    from collections.abc import Iterable

    from budgetbuild.build import Recheck, Rechecked
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.chapter import Block
    from budgetbuild.report.words.voice import Voice

OVERVIEW = "all-systems"


@dataclass(frozen=True, slots=True)
class ChangedPage:
    """The page as values.

    Attributes:
        title: Its heading.
        verdict: Whether the guide still holds, in a sentence.
        notes: What one should know beside it.
        chapters: All systems at a glance, then those that need something done, in the order of the guide.
    """

    title: str
    verdict: str
    notes: tuple[str, ...]
    chapters: tuple[Chapter, ...]


def changed_page(recheck: Recheck, catalogue: Catalogue, voice: Voice) -> ChangedPage:
    """Put a recheck into words."""
    speaker = Speaker(voice, catalogue.by_sku())
    verdict = sentences.verdict(recheck, speaker)
    notes = sentences.notes(recheck, catalogue, speaker)
    overview = Chapter(
        anchor=OVERVIEW,
        title=speaker.say("anchor-overview"),
        sheet=speaker.say("sheet"),
        blocks=(_overview(recheck.builds, speaker),),
    )
    systems = (
        _chapter(number, build, catalogue, speaker)
        for number, build in enumerate(recheck.builds, start=1)
        if build.standing is not Standing.HOLDS or build.drifts
    )
    chapters = (overview, *systems, *_better(recheck.builds, speaker))
    return ChangedPage(sentences.title(catalogue, speaker), verdict, notes, chapters)


def _overview(builds: Iterable[Rechecked], speaker: Speaker) -> Table:
    heads = columns(
        speaker,
        ("system", Kind.TEXT),
        ("true", Kind.TEXT),
        ("do", Kind.TEXT),
        ("total-then", Kind.MONEY),
        ("total-now", Kind.MONEY),
        ("cap", Kind.MONEY),
        ("best", Kind.POINTS_CHANGE),
    )
    rows = tuple(
        (
            sentences.system_name(build.published.tier, build.published.brief, speaker),
            sentences.still_true(build, speaker),
            sentences.to_do(build, speaker),
            build.published.total,
            build.total,
            build.tier.cap,
            _gain(build),
        )
        for build in builds
    )
    return Table(speaker.say("overview"), heads, rows)


def _gain(build: Rechecked) -> int | None:
    """What the best system today scores more than the printed one, in whole thousandths."""
    best = build.best.audited if build.best else None
    return None if best is None or build.published.score is None else best.score - build.published.score


def _better(builds: Iterable[Rechecked], speaker: Speaker) -> list[Chapter]:
    """In one chapter what would be better in the place of systems that may stay."""
    blocks: list[Block] = []
    for build in builds:
        if build.beaten and build.best:
            name = sentences.system_name(build.published.tier, build.published.brief, speaker)
            blocks += [Heading(name), Paragraph(sentences.better_text(build, speaker))]
            blocks += exchange_table(build.best, build, speaker)
    title = speaker.say("better-heading")
    return [Chapter("better-systems", title, title, tuple(blocks))] if blocks else []


def _chapter(number: int, rechecked: Rechecked, catalogue: Catalogue, speaker: Speaker) -> Chapter:
    """One system: what drifted, and what could stand in its place."""
    published = rechecked.published
    name = sentences.system_name(published.tier, published.brief, speaker)
    blocks: list[Block] = [Paragraph(sentences.told(rechecked, speaker)), Paragraph(sentences.caps(rechecked, speaker))]
    blocks += price_table(rechecked, speaker)
    blocks += drift_table(rechecked, speaker)
    if rechecked.standing is Standing.PARTS:
        blocks += choice(rechecked, speaker)
        blocks += _repair(rechecked, catalogue, speaker)
        blocks += _best(rechecked, catalogue, speaker)
        blocks += _none(rechecked, speaker)
    elif rechecked.standing is Standing.POSSIBLE and rechecked.best:
        blocks += _list_of(rechecked.best, rechecked, catalogue, speaker)
    anchor = f"system-{number}-{slug(f'{published.tier} {published.brief}')}".rstrip("-")
    return Chapter(anchor, name, f"{label(published.tier)} {label(published.brief)}", tuple(blocks))


def _repair(rechecked: Rechecked, catalogue: Catalogue, speaker: Speaker) -> list[Block]:
    """The fewest changes, with the whole list as it has to be printed, its versions, cautions and safety."""
    remedy = rechecked.repair
    if remedy is None:
        return []
    blocks: list[Block] = [
        Heading(speaker.say("repair-heading")),
        Paragraph(sentences.remedy_text("repair", remedy, rechecked, speaker)),
    ]
    if sentences.is_best(rechecked):
        blocks.append(Paragraph(speaker.say("repair-is-best")))
    return blocks + exchange_table(remedy, rechecked, speaker) + _list_of(remedy, rechecked, catalogue, speaker)


def _best(rechecked: Rechecked, catalogue: Catalogue, speaker: Speaker) -> list[Block]:
    """The best system today; its whole list only where nothing else stands in the published one's place."""
    remedy = rechecked.best
    if remedy is None or rechecked.no_build or sentences.is_best(rechecked):
        return []
    blocks: list[Block] = [
        Heading(speaker.say("best-heading-late" if sentences.is_late(remedy) else "best-heading")),
        Paragraph(sentences.remedy_text("best", remedy, rechecked, speaker)),
    ]
    if rechecked.repair and rechecked.repair.audited:
        return blocks + exchange_table(remedy, rechecked, speaker)
    return blocks + _list_of(remedy, rechecked, catalogue, speaker)


def _list_of(remedy: Remedy, rechecked: Rechecked, catalogue: Catalogue, speaker: Speaker) -> list[Block]:
    build = _as_build(rechecked, remedy)
    return list(system_blocks(build, catalogue, speaker.voice, speaker.say("repair-list")))


def _as_build(rechecked: Rechecked, remedy: Remedy) -> Build:
    """A remedy as the words that speak of builds take it.

    Raises:
        ValueError: There is nothing to solve it for.
    """
    if rechecked.brief is None or rechecked.vehicle is None:
        raise ValueError(f"{rechecked.published.brief}: a remedy, but no brief or no vehicle")
    return Build(
        tier=rechecked.tier,
        brief=rechecked.brief,
        vehicle=rechecked.vehicle,
        status=remedy.status,
        audited=remedy.audited,
        no_build=rechecked.no_build,
        versions=remedy.versions,
    )


def _none(rechecked: Rechecked, speaker: Speaker) -> list[Block]:
    """Why no system is possible today, and what would make one possible."""
    if rechecked.no_build is None:
        return []
    build = _as_build(rechecked, Remedy(Status.INFEASIBLE))
    blocks: list[Block] = [Heading(speaker.say("none-heading")), Paragraph(no_build_reason(build, speaker.voice))]
    return blocks + [Bullets(some) for some in (reliefs(build, speaker.voice),) if some]

"""Everything that was found beside the builds, chapter by chapter in the order in which the outputs tell it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.report.words.certain import certain_chapter
from budgetbuild.report.words.ladder_chapter import ladder_chapters
from budgetbuild.report.words.promotions import promotion_chapters
from budgetbuild.report.words.promotions_shop import shop_chapter

if TYPE_CHECKING:
    from budgetbuild.build import Beside
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.chapter import Chapter
    from budgetbuild.report.words.voice import Voice


def chapters_of(beside: Beside, catalogue: Catalogue, voice: Voice) -> tuple[Chapter, ...]:
    """The chapters; none where nothing was asked beside the tiers."""
    chapters: list[Chapter] = []
    if beside.certain:
        chapters.append(certain_chapter(beside.certain, catalogue, voice))
    chapters += ladder_chapters(beside.ladders, catalogue, voice)
    if beside.promotions:
        chapters += promotion_chapters(beside.promotions, catalogue, voice)
        chapters.append(shop_chapter(beside.promotions, catalogue, voice))
    return tuple(chapters)

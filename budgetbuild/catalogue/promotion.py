"""What a shop promotes: a bundle for a brief at a price, in so many sets, and how much its parts may be discounted."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from budgetbuild.catalogue.items import NOWHERE
from budgetbuild.catalogue.names import fold

if TYPE_CHECKING:
    from fractions import Fraction

    from budgetbuild.faults import Cell


class Discounted(StrEnum):
    """Kinds of parts that a discount ceiling may name, as the lines of a build are named."""

    ALL = "all"
    HEAD_UNIT = "head unit"
    CONVERTER = "converter"
    FITTING_KIT = "fitting kit"
    AERIAL = "aerial"
    SPEAKERS = "speakers"
    FRONT = "front"
    REAR = "rear"
    ADAPTER = "adapter"
    BASS = "bass"
    BOX = "box"
    AMPLIFIER = "amplifier"
    POWER_KIT = "power kit"
    SIGNAL_LEAD = "signal lead"
    SPEAKER_CABLE = "speaker cable"
    DEADENING = "deadening"


OTHER_WORDS = {
    "everything": Discounted.ALL,
    "any": Discounted.ALL,
    "speaker": Discounted.SPEAKERS,
    "front speakers": Discounted.FRONT,
    "rear speakers": Discounted.REAR,
    "subwoofer": Discounted.BASS,
    "subwoofers": Discounted.BASS,
    "boxes": Discounted.BOX,
    "sound deadening": Discounted.DEADENING,
}
"""Other words for a kind of part; a plural in s is one too."""


def discounted(name: str) -> Discounted | None:
    """The kind of part that a name means; `None` where it means none, so that it is a brand or a SKU.

    >>> discounted("Amplifiers"), discounted("Front speakers"), discounted("Kestrel")
    (<Discounted.AMPLIFIER: 'amplifier'>, <Discounted.FRONT: 'front'>, None)
    """
    word = fold(name)
    for spelling in (word, word.removesuffix("s")):
        if spelling in OTHER_WORDS:
            return OTHER_WORDS[spelling]
        if spelling in set(Discounted):
            return Discounted(spelling)
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Promotion:
    """A bundle that a shop wants to promote. Money in cents; every figure is of one set.

    Attributes:
        brief: Name of the brief that it answers.
        tier: Name of the tier within which it is sold at list prices; empty where `price` is set.
        price: What the whole bundle is sold for, tax and, where the brief is fitted, labour included.
        sets: How many of it the stock must cover.
        floor_share: Least margin, as a share of the parts' revenue without tax; `None` = none is asked.
        floor: Least margin in cents; `None` = none is asked.
        clear: SKUs that the shop wants gone, as written in the sheet.
        clear_least: How many of them must be in it.
    """

    at: Cell = NOWHERE
    name: str
    brief: str
    tier: str = ""
    price: int | None = None
    sets: int = 1
    floor_share: Fraction | None = None
    floor: int | None = None
    clear: tuple[str, ...] = ()
    clear_least: int = 0

    @property
    def has_floor(self) -> bool:
        """Whether a least margin is asked."""
        return self.floor is not None or self.floor_share is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class DiscountCeiling:
    """The most by which some parts may be discounted, as a share of their list price.

    Attributes:
        promotions: Names of the promotions that it is for; empty = all.
        about: A kind of part, a brand, a SKU, or `all`, as written in the sheet.
    """

    at: Cell = NOWHERE
    promotions: tuple[str, ...] = ()
    about: str
    most: Fraction

    @property
    def part(self) -> Discounted | None:
        """The kind of part that it names; `None` where it names a brand or a SKU."""
        return discounted(self.about)

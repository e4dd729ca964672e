"""The points of budget curves as small numbers that name rows of tables, each row written once for the whole page."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field
from itertools import groupby
from typing import TYPE_CHECKING, Generic, TypeVar

from budgetbuild.build import Role
from budgetbuild.catalogue.names import fold
from budgetbuild.report.pages.escape import web_link
from budgetbuild.report.words import safety
from budgetbuild.report.words.cautions import caution_text
from budgetbuild.report.words.format import capital, label, listed
from budgetbuild.report.words.told_apart import ordered_as, version_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from budgetbuild.build import Audited, Curve, Part, PricedLine, ScorePart
    from budgetbuild.catalogue.items import Product
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.words.voice import Voice

Row = TypeVar("Row", bound=Hashable)
Family = tuple[type, str]
"""Products of one sheet that share a `Family`."""

ROLES = tuple(Role)

GROUPS: Mapping[Role, int] = {
    Role.HEAD_UNIT: 0,
    Role.CONVERTER: 0,
    Role.SOURCE_KIT: 0,
    Role.AERIAL: 0,
    Role.FRONT: 1,
    Role.FRONT_ADAPTER: 1,
    Role.REAR: 2,
    Role.REAR_ADAPTER: 2,
    Role.BASS: 3,
    Role.BOX: 3,
    Role.AMPLIFIER: 4,
    Role.POWER_KIT: 5,
    Role.SIGNAL_LEAD: 5,
    Role.SPEAKER_CABLE: 5,
    Role.DEADENING: 6,
    Role.LABOUR: 7,
}
"""Roles whose lines tend to change together, so that one number stands for them all."""

BY_LOCATION = frozenset({"front", "rear", "bass", "amplification", "match"})
"""Parts of the score that are earned at a location; shown location by location."""

MIXED = frozenset({Role.SPEAKER_CABLE, Role.DEADENING})
"""Roles in which several versions of one product are normal."""


@dataclass(frozen=True, slots=True)
class Table(Generic[Row]):
    """Distinct rows, each numbered from 0 in the order in which they come."""

    numbers: dict[Row, int] = field(default_factory=dict)

    def number(self, row: Row) -> int:
        """The number of a row, the next free one where it is new."""
        return self.numbers.setdefault(row, len(self.numbers))

    def rows(self) -> list[Row]:
        """The rows in the order of their numbers."""
        return list(self.numbers)


@dataclass(frozen=True, slots=True)
class Tables:
    """Every table of the page, filled while curves are put in."""

    items: Table[tuple[str, str]] = field(default_factory=Table)
    lines: Table[tuple[int, int, int]] = field(default_factory=Table)
    groups: Table[tuple[int, ...]] = field(default_factory=Table)
    earned: Table[tuple[str, int, int]] = field(default_factory=Table)
    scores: Table[tuple[int, ...]] = field(default_factory=Table)
    sentences: Table[str] = field(default_factory=Table)
    lists: Table[tuple[int, ...]] = field(default_factory=Table)


class Shelf:
    """The products of a catalogue, found by SKU and by family, and the words for them."""

    def __init__(self, catalogue: Catalogue, voice: Voice) -> None:
        self.voice = voice
        self.products: Mapping[str, Product] = catalogue.by_sku()
        self.families: dict[Family, list[Product]] = {}
        for product in self.products.values():
            if product.family:
                self.families.setdefault((type(product), fold(product.family)), []).append(product)

    def sisters(self, product: Product) -> Sequence[Product]:
        """Products of the same family, itself among them; empty where it has none."""
        return self.families.get((type(product), fold(product.family)), ())


def points_of(curve: Curve, tables: Tables, shelf: Shelf) -> dict[str, list[int] | list[list[int]]]:
    """The points of a curve, one list for each thing told of them.

    Raises:
        ValueError: Lines are out of order or no multiple of their unit price, or a caution has no words: a defect.
    """
    return {
        "totals": [point.total for point in curve.points],
        "scored": [point.score for point in curve.points],
        "groups": [_grouped(point.lines, tables) for point in curve.points],
        "scores": [_scored(point.score_parts, tables) for point in curve.points],
        "cautions": [_list(_watched(point, shelf), tables) for point in curve.points],
        "safety": [_list(_safe(point, shelf), tables) for point in curve.points],
    }


def items_of(tables: Tables, shelf: Shelf) -> list[tuple[str, str, str]]:
    """What is sold: SKU, name and web address, each of which may be empty."""
    links = {sku: web_link(product.link) for sku, product in shelf.products.items()}
    return [(label(sku), label(name), links.get(sku, "")) for sku, name in tables.items.rows()]


def _grouped(lines: Sequence[PricedLine], tables: Tables) -> list[int]:
    """Groups of neighbouring lines, each the numbers of its lines with their quantities in turn."""
    places = [ROLES.index(line.role) for line in lines]
    if places != sorted(places):
        raise ValueError("lines that are not in the order of their roles, in which the page adds them up")
    groups = (group for _, group in groupby(lines, key=lambda line: GROUPS[line.role]))
    return [
        tables.groups.number(tuple(number for line in group for number in (_line(line, tables), line.quantity)))
        for group in groups
    ]


def _line(line: PricedLine, tables: Tables) -> int:
    """The number of a line; the page works its total out again, so it must be quantity times unit price."""
    if line.line_total != line.quantity * line.unit_price:
        raise ValueError(f"{line.description}: {line.quantity} x {line.unit_price} is not {line.line_total}")
    item = tables.items.number((line.sku, line.description))
    return tables.lines.number((ROLES.index(line.role), item, line.unit_price))


def _scored(parts: Sequence[ScorePart], tables: Tables) -> list[int]:
    """Groups of the parts of a score: what one location earns stands together."""
    groups: dict[str, list[int]] = {}
    for part in parts:
        place = part.subject if part.part in BY_LOCATION else part.part
        name = capital(part.part) + (f" ({label(part.subject)})" if part.subject not in {"", part.part} else "")
        groups.setdefault(place, []).append(tables.earned.number((name, part.points, part.most)))
    return [tables.scores.number(tuple(group)) for group in groups.values()]


def _list(sentences: Iterable[str], tables: Tables) -> int:
    return tables.lists.number(tuple(tables.sentences.number(sentence) for sentence in sentences))


def _safe(point: Audited, shelf: Shelf) -> Iterator[str]:
    yield from (each.text for each in safety.safety(point, shelf.products, shelf.voice))


def _watched(point: Audited, shelf: Shelf) -> Iterator[str]:
    """Which versions to order, then the cautions that the safety sentences do not already say."""
    parts = point.system.parts
    yield from filter(None, (_version(part, parts, shelf) for part in parts if part.role not in MIXED))
    watched = (each for each in point.cautions if each.code not in safety.SAID)
    yield from (caution_text(each, shelf.voice, shelf.products) for each in watched)


def _version(part: Part, parts: Sequence[Part], shelf: Shelf) -> str:
    """Which version to order, where there are others that the build does not hold in the same role; else empty."""
    product = shelf.products[part.sku]
    family = shelf.sisters(product)
    held = {other.sku for other in parts if other.role is part.role} if len(family) > 1 else set()
    sisters = [sister for sister in family if sister.sku not in held] if held else []
    if not sisters:
        return ""
    write = shelf.voice.notation
    others = listed([ordered_as(sister, version_of(sister, [product], write)) for sister in sisters], "or")
    return shelf.voice.say(
        "versions", "at-the-counter", product=ordered_as(product, version_of(product, sisters, write)), others=others
    )

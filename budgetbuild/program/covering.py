"""One system for several vehicles: which of them it covers, and what it costs in each.

Beside the columns of the candidates that they have in common (see `common`), for each vehicle v:

- c_v = 1 where the system is right for v, 0 where v is left out;
- S_v, the price in v where v is covered, else 0; and H, the highest of them;
- z, a dearer version of a candidate in v, which meets a must-include term there.

Money in whole cents, points in whole thousandths. What binds them stands in `covering_rows`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import ceil, gcd, lcm
from typing import TYPE_CHECKING, NamedTuple

from budgetbuild.build import OWN_ROLES
from budgetbuild.catalogue.kinds import Location
from budgetbuild.program.exact import PRICE_STEP
from budgetbuild.program.goals import Goal
from budgetbuild.program.layout import Column, Device
from budgetbuild.program.options import Cable, Option
from budgetbuild.program.program import Program, formulate
from budgetbuild.program.system import system_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from fractions import Fraction

    from budgetbuild.build import Part, System
    from budgetbuild.program.common import Common, Fits


class Dearer(NamedTuple):
    """A dearer version of a candidate in one vehicle.

    Attributes:
        of: Column of the candidate.
        vehicle: Number of the vehicle.
        option: What fills the slot there.
        extra: What it costs above the cheapest version, in cents.
    """

    of: int
    vehicle: int
    option: Option
    extra: int


@dataclass(frozen=True)
class Covering(Program):
    """The decisions of one system for several vehicles.

    Attributes:
        common: Candidates that the vehicles have in common.
        weights: How much each vehicle counts, in whole numbers.
        covered: For each vehicle the column of whether the system is right for it.
        paid: For each vehicle the column of its price where it is covered.
        highest: Column of the highest price of a vehicle covered.
        dearer: Dearer versions, by column.
    """

    common: Common
    weights: tuple[int, ...]
    covered: tuple[int, ...]
    paid: tuple[int, ...]
    highest: int
    dearer: Mapping[int, Dearer]

    @cached_property
    def slots(self) -> list[list[int]]:
        """Columns of which no choice takes more than one, slot by slot; a candidate may stand in several slots."""
        return slots_of(self)

    @cached_property
    def fits(self) -> list[Fits]:
        """For each column of the layout the vehicles that it fits, as far as it decides alone."""
        return [self._fits(column.option) for column in self.layout.columns]

    def _fits(self, option: Option | None) -> Fits:
        if isinstance(option, Device) and option.kit:
            return self.common.carrying(option.kit, option.current_a)
        return self.common.fits(option) if option else (True,) * len(self.weights)

    @cached_property
    def prices_in(self) -> list[tuple[int, ...]]:
        """For each vehicle the price of each column of the layout there; the least of any where it does not fit."""
        each = [self._prices(column) for column in self.layout.columns]
        return [tuple(prices[vehicle] for prices in each) for vehicle in range(len(self.weights))]

    def _prices(self, column: Column) -> tuple[int, ...]:
        known = column.option in self.common.versions
        return self.common.prices(column.option) if column.option and known else (column.price,) * len(self.weights)

    def version(self, column: int, vehicle: int) -> Option | None:
        """What a column of the layout is in a vehicle, at its cheapest; `None` where it is nothing, or does not fit."""
        option = self.columns[column].option
        if option is None or option not in self.common.versions:
            return option
        return next(iter(self.common.versions[option][vehicle]), None)

    @cached_property
    def extras(self) -> list[int]:
        """The most that a vehicle's own parts add to the least price of what is common, in cents."""
        return [
            sum(max((prices[i] - self.columns[i].price for i in slot), default=0) for slot in self.slots)
            for prices in self.prices_in
        ]

    def most_covered(self) -> Goal:
        """As many vehicles as possible, each as much as it counts."""
        return Goal("covered", self._costs({c: -w for c, w in zip(self.covered, self.weights, strict=True)}))

    def lowest_highest(self) -> Goal:
        """As little money as possible in the vehicle where it is most."""
        return Goal("highest price", self._costs({self.highest: 1}), PRICE_STEP)

    def lowest_sum(self) -> Goal:
        """As little money as possible over all vehicles covered."""
        return Goal("sum of prices", self._costs(dict.fromkeys(self.paid, 1)), PRICE_STEP)

    def _costs(self, costs: Mapping[int, int]) -> list[float]:
        return [float(costs.get(i, 0)) for i in range(len(self.columns))]


def in_whole_numbers(weights: Sequence[Fraction], share: Fraction) -> tuple[tuple[int, ...], int]:
    """Weights in the smallest whole numbers of the same proportion, and how much of their sum a share is at least.

    >>> from fractions import Fraction
    >>> in_whole_numbers([Fraction(1), Fraction(5, 2)], Fraction(1, 2))
    ((2, 5), 4)
    """
    whole = lcm(*(weight.denominator for weight in weights))
    counts = [int(weight * whole) for weight in weights]
    common = gcd(*counts)
    return tuple(count // common for count in counts), ceil(share * sum(counts) / common)


def slots_of(program: Program) -> list[list[int]]:
    """Columns of which no choice takes more than one, slot by slot; a candidate may stand in several slots."""
    layout = program.layout
    cables = [(i, cable) for i in layout.cables if isinstance(cable := layout.columns[i].option, Cable)]
    return [
        layout.source,
        *layout.place.values(),
        *(layout.takes_pair(location) for location in Location),
        layout.kits,
        layout.leads,
        *([i for i, cable in cables if location in cable.locations] for location in Location),
        layout.deadening,
    ]


def cover(common: Common, weights: Sequence[int]) -> Covering:
    """Columns of a system for several vehicles, and the rows of what they have in common.

    Args:
        common: Its candidates.
        weights: How much each vehicle counts, whole numbers above 0.
    """
    program = formulate(common)
    start, count = len(program.columns), len(weights)
    most = _dearest(program, common)
    dearer = list(_dearer(program, common))
    columns = [Column("covered", None) for _ in weights]
    columns += [Column("paid", None, most=most) for _ in weights]
    columns += [Column("highest", None, most=most)]
    first = start + len(columns)
    columns += [Column("dearer", Option(_own_parts(one.option), 0)) for one in dearer]
    return Covering(
        columns=(*program.columns, *columns),
        rows=program.rows,
        layout=program.layout,
        common=common,
        weights=tuple(weights),
        covered=tuple(range(start, start + count)),
        paid=tuple(range(start + count, start + 2 * count)),
        highest=start + 2 * count,
        dearer={first + number: one for number, one in enumerate(dearer)},
    )


def _own_parts(option: Option) -> tuple[Part, ...]:
    return tuple(part for part in option.parts if part.role in OWN_ROLES)


def _dearer(program: Program, common: Common) -> Iterator[Dearer]:
    for i, column in enumerate(program.columns):
        versions = common.versions.get(column.option, ()) if column.option else ()
        for vehicle, some in enumerate(versions):
            yield from (Dearer(i, vehicle, option, option.price - some[0].price) for option in some[1:])


def _dearest(program: Program, common: Common) -> int:
    """No system costs more in any vehicle, in cents."""

    def price(i: int) -> int:
        option = program.columns[i].option
        versions = common.versions.get(option, ()) if option else ()
        return max((one.price for some in versions for one in some), default=program.columns[i].price)

    asked = [[i] for i in program.layout.cables]
    return sum(max(map(price, slot), default=0) for slot in [*slots_of(program), *asked])


class Placed(NamedTuple):
    """A system in one of the vehicles that it covers, by the program's own sums: thousandths of a point, cents."""

    vehicle: int
    system: System
    score: int
    total: int


def placed(program: Covering, chosen: Iterable[int]) -> list[Placed]:
    """The system in each vehicle that it covers, by the vehicle's number."""
    taken = set(chosen)
    common = sorted(i for i in taken if i < len(program.layout.columns))
    return [_placed(program, common, v, taken) for v, column in enumerate(program.covered) if column in taken]


def _placed(program: Covering, common: Sequence[int], vehicle: int, taken: set[int]) -> Placed:
    instead = {one.of: one.option for z, one in program.dearer.items() if z in taken and one.vehicle == vehicle}
    found = [(program.columns[i], instead.get(i) or program.version(i, vehicle)) for i in common]
    options = [option for _, option in found if option]
    return Placed(
        vehicle,
        system_of(options, program.common.mode),
        sum(option.points if option else column.points for column, option in found),
        sum(option.price for option in options),
    )

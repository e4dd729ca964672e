"""Net impedance of voice coils and drivers wired together.

Source: Ohm's law and the rules for resistances in series and in parallel. Impedances are taken as their nominal
values, which is common practice: a driver's true impedance moves with frequency.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from budgetbuild.trade.figures import exact

if TYPE_CHECKING:
    from collections.abc import Iterable

Split = tuple[int, int]
"""So many equal elements in series in each of so many parallel strings."""


@dataclass(frozen=True, slots=True)
class Net:
    """One way of wiring the bass, as the amplifier sees it.

    Attributes:
        ohm: Net impedance at the amplifier's terminals, more than 0.
        wiring: Instruction for the fitter, empty where there is a single coil and there is nothing to choose.
    """

    ohm: float
    wiring: str


def series(*ohms: float) -> float:
    """Impedance of loads in series, in ohm: their sum.

    >>> series(4, 4)
    8.0
    """
    return float(_in_series([exact(ohm) for ohm in ohms]))


def parallel(*ohms: float) -> float:
    """Impedance of loads in parallel, in ohm: the reciprocal of the sum of their reciprocals; each more than 0.

    >>> parallel(20, 30)
    12.0

    Raises:
        ZeroDivisionError: A load of 0 ohm, or no load at all.
    """
    return float(_in_parallel([exact(ohm) for ohm in ohms]))


def _in_series(ohms: Iterable[Fraction]) -> Fraction:
    """Loads in series, exact, so that two wirings with the same net are seen to be the same."""
    return sum(ohms, Fraction())


def _in_parallel(ohms: Iterable[Fraction]) -> Fraction:
    """Loads in parallel, exact."""
    return 1 / sum((1 / ohm for ohm in ohms), Fraction())


@functools.cache
def nets(ohm: float, coils: int, drivers: int) -> tuple[Net, ...]:
    """Every net impedance that equal drivers with equal coils can be wired to, lowest first.

    The coils of a driver, and likewise the drivers, stand in equal strings: k elements as a in series in each of
    b parallel strings, for every k = a x b. Only strings of equal length share the power equally. Wirings of the same
    net have as many coils in series on every way through them; the one with fewest drivers in series is kept: a
    driver that fails open then silences no other (common practice).

    >>> [(net.ohm, net.wiring) for net in nets(2, coils=2, drivers=1)]
    [(1.0, 'coils in parallel'), (4.0, 'coils in series')]
    >>> [net.ohm for net in nets(4, coils=2, drivers=2)]
    [1.0, 4.0, 16.0]

    Args:
        ohm: Impedance of one coil, more than 0 ohm.
        coils: Coils in each driver, 1 or more.
        drivers: Equal drivers, 1 or more.

    Raises:
        ValueError: A count below 1 or an impedance of 0 or less.
    """
    if ohm <= 0 or coils < 1 or drivers < 1:
        raise ValueError(f"no load: {ohm} ohm, {coils} coils, {drivers} drivers")
    found: dict[Fraction, str] = {}
    for coil_split, driver_split in _wirings(coils, drivers):
        driver = _joined(exact(ohm), *coil_split)
        found.setdefault(_joined(driver, *driver_split), _instruction(coil_split, driver_split))
    return tuple(Net(float(net), found[net]) for net in sorted(found))


def _joined(ohm: Fraction, row: int, strings: int) -> Fraction:
    """Equal loads, so many in series in each of so many parallel strings, exact."""
    return _in_parallel([_in_series([ohm] * row)] * strings)


def _wirings(coils: int, drivers: int) -> list[tuple[Split, Split]]:
    """Every way of wiring the coils and the drivers, those with fewest drivers in series first."""
    return [(coil, driver) for driver in _factorisations(drivers) for coil in _factorisations(coils)]


def _factorisations(elements: int) -> list[Split]:
    """Every (in series, parallel strings) whose product is the number of elements."""
    return [(row, elements // row) for row in range(1, elements + 1) if elements % row == 0]


def _instruction(coils: Split, drivers: Split) -> str:
    """Both halves of the instruction, the coils first; a single coil or driver needs none."""
    halves = (_half("coils", *coils), _half("drivers", *drivers))
    return ", ".join(half for half in halves if half)


def _half(what: str, row: int, strings: int) -> str:
    """How equal elements are joined, in words.

    >>> _half("coils", 1, 1), _half("coils", 1, 2), _half("drivers", 2, 2)
    ('', 'coils in parallel', 'drivers in 2 parallel strings of 2 in series')
    """
    if row == 1:
        return "" if strings == 1 else f"{what} in parallel"
    return f"{what} in series" if strings == 1 else f"{what} in {strings} parallel strings of {row} in series"

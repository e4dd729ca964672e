"""What the audit finds: every figure of a system, recomputed from the catalogue and the trade rules."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.build.system import Driver, Mode, Role, System
    from budgetbuild.catalogue.kinds import Location


@dataclass(frozen=True, slots=True)
class Check:
    """One rule, the figure found, its limit and where the rule comes from.

    Attributes:
        subject: Which part of the build it is about (a location, a device, a SKU), or empty.
        figure: The computed figure, as a number or a word.
        limit: What it is held against, as it would be said ("at most 5", "at least 2").
    """

    rule: str
    subject: str
    figure: float | int | str
    limit: str
    unit: str
    ok: bool
    source: str


@dataclass(frozen=True, slots=True)
class Caution:
    """Something to watch, with the figures it concerns; its words are the report's.

    Attributes:
        code: Stable short name, e.g. `measure-first`.
        subject: What it is about.
        figures: Figures that its sentence quotes.
    """

    code: str
    subject: str
    figures: dict[str, float | int | str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PricedLine:
    """One line of the list: money in whole cents. Labour lines have an empty `sku`.

    Attributes:
        description: Brand and model, or the work.
        net_total: Line total without tax, `None` where no tax rate is set.
        cost_total: The shop's own cost of the line, without tax, where the catalogue has it.
    """

    role: Role
    sku: str
    description: str
    quantity: int
    unit_price: int
    line_total: int
    running_total: int
    net_total: int | None = None
    cost_total: int | None = None


@dataclass(frozen=True, slots=True)
class LocationFigures:
    """What one location gets: powers in W, load in ohm, level in dB at 1 m (`None` where the sensitivity is unknown).

    Attributes:
        power_w: What drives each speaker at front and rear, or the whole bass; `None` for a powered subwoofer.
        rms_w: RMS rating of one speaker, or of the whole bass.
        match: Match factor, 0 to 1.
    """

    location: Location
    by: Driver
    sku: str
    ohm: float | None
    power_w: float | None
    rms_w: float
    ratio: float | None
    match: float
    level_db: float | None = None
    wiring: str = ""
    amplifier_sku: str = ""
    mode: Mode | None = None
    cable_sku: str = ""
    cable_m: float | None = None


@dataclass(frozen=True, slots=True)
class DeviceFigures:
    """One fed device: an amplifier or the powered subwoofer, its current and the kit that feeds it, all in A.

    Attributes:
        kit_carries_a: What the kit carries over the vehicle's run: the least of drop, ampacity and fuse.
        kit_ampacity_a: What its cable may carry at all, whatever the run.
    """

    sku: str
    current_a: float
    current_basis: str
    kit_sku: str
    kit_carries_a: float
    shared: bool
    kit_ampacity_a: float = 0.0


@dataclass(frozen=True, slots=True)
class ScorePart:
    """Points of one part of the score, in whole thousandths, and the most it could earn."""

    part: str
    subject: str
    points: int
    most: int


@dataclass(frozen=True, slots=True)
class Audited:
    """A system with every figure recomputed from the catalogue rows and the trade rules alone.

    Attributes:
        score: Sum of the points, in whole thousandths of a point.
        total: Sum of the lines, in cents.
        refused: Checks that failed; a build with any is never published.
    """

    system: System
    lines: tuple[PricedLine, ...]
    score_parts: tuple[ScorePart, ...]
    checks: tuple[Check, ...]
    cautions: tuple[Caution, ...]
    locations: tuple[LocationFigures, ...]
    devices: tuple[DeviceFigures, ...]
    pairs_needed: int
    pairs_offered: int
    treated_m2: float
    coverage: float

    @property
    def score(self) -> int:
        """Score in whole thousandths of a point."""
        return sum(part.points for part in self.score_parts)

    @property
    def total(self) -> int:
        """Price in whole cents."""
        return sum(line.line_total for line in self.lines)

    @property
    def net_total(self) -> int | None:
        """The total without tax, rounded line by line, in cents; `None` where no tax rate is set."""
        nets = [line.net_total for line in self.lines]
        return None if not nets or None in nets else sum(net or 0 for net in nets)

    @property
    def tax(self) -> int | None:
        """The tax in the total: what it has above the total without tax, in cents."""
        return None if self.net_total is None else self.total - self.net_total

    @property
    def refused(self) -> tuple[Check, ...]:
        """The checks that failed."""
        return tuple(check for check in self.checks if not check.ok)

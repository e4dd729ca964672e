"""A build: one solved system for one tier and brief, as values that the program proposes and the audit checks.

This module only names things; it computes nothing. `System` is what the program decides, without any figure;
`Audited` (see the package `audit`) holds every figure recomputed from the catalogue and the trade rules.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.catalogue.kinds import Location
    from budgetbuild.catalogue.shop import Brief, Tier, Vehicle


class Role(StrEnum):
    """What a line of a build is for, in the order one would talk a customer through them."""

    HEAD_UNIT = "head unit"
    CONVERTER = "converter"
    SOURCE_KIT = "fitting kit"
    AERIAL = "aerial"
    FRONT = "front"
    FRONT_ADAPTER = "front adapter"
    REAR = "rear"
    REAR_ADAPTER = "rear adapter"
    BASS = "bass"
    BOX = "box"
    AMPLIFIER = "amplifier"
    POWER_KIT = "power kit"
    SIGNAL_LEAD = "signal lead"
    SPEAKER_CABLE = "speaker cable"
    DEADENING = "deadening"
    LABOUR = "labour"


class Driver(StrEnum):
    """What drives a location."""

    AMPLIFIER = "amplifier"
    HEAD_UNIT = "head unit"
    FACTORY_UNIT = "factory unit"
    OWN_UNIT = "own unit"
    SELF = "own amplifier"


class Mode(StrEnum):
    """How an amplifier serves a location."""

    STEREO = "stereo pair"
    BRIDGED = "bridged"
    SUB = "sub channel"


class Status(StrEnum):
    """How a build ended."""

    OPTIMAL = "optimal"
    INFEASIBLE = "infeasible"
    TIME_LIMIT = "time limit"


@dataclass(frozen=True, slots=True)
class Part:
    """So many of one product in one role."""

    role: Role
    sku: str
    quantity: int = 1


@dataclass(frozen=True, slots=True)
class Drive:
    """What drives one location, and how.

    Attributes:
        amplifier: Which of `System.amplifiers` (0 or 1), where an external amplifier drives it.
        mode: How that amplifier is used.
        ohm: Load at the amplifier's terminals: one speaker's at front and rear, the net at bass. `None` = powered.
        wiring: Instruction for coils and drivers where there is a choice, else empty.
    """

    location: Location
    by: Driver
    amplifier: int | None = None
    mode: Mode | None = None
    ohm: float | None = None
    wiring: str = ""


SUBWOOFER_DEVICE = -1
"""The powered subwoofer among the fed devices of a `Feed`; amplifiers are 0 and 1."""


@dataclass(frozen=True, slots=True)
class Feed:
    """One power kit and the devices that it feeds: positions in `System.amplifiers`, or `SUBWOOFER_DEVICE`."""

    sku: str
    devices: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class CableRun:
    """The speaker cable that serves one location."""

    location: Location
    sku: str


@dataclass(frozen=True, slots=True)
class System:
    """One complete set of parts and how they are connected.

    Attributes:
        parts: Product lines without labour, in `Role` order, then SKU order.
        amplifiers: SKU of each external amplifier; the same SKU may stand twice.
        drives: One for each location in the build.
    """

    parts: tuple[Part, ...]
    amplifiers: tuple[str, ...] = ()
    drives: tuple[Drive, ...] = ()
    feeds: tuple[Feed, ...] = ()
    cables: tuple[CableRun, ...] = ()


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
    def refused(self) -> tuple[Check, ...]:
        """The checks that failed."""
        return tuple(check for check in self.checks if not check.ok)


@dataclass(frozen=True, slots=True)
class Change:
    """What another system has in a role instead: parts of this one (`before`), parts of that one (`after`)."""

    role: Role
    before: tuple[Part, ...]
    after: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class Step:
    """The way from one build to another: what it costs, earns and changes.

    Attributes:
        audited: The other build.
        extra: Its total less this build's, in cents; below 0 where it is cheaper.
        gain: Its score less this build's, in whole thousandths; below 0 where it is worse.
        changes: Role by role, accessories and labour left out.
    """

    audited: Audited
    extra: int
    gain: int
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class Advice:
    """A little more, a little less: what one could do with a build next. Each is `None` where there is none.

    Attributes:
        visible: Least gain that counts as visible, in whole thousandths of a point.
        stretch: How much more, or less, the swap and the drop may spend than the cap, in cents.
        step_up: The cheapest best build that gains at least `visible`.
        swap: The build that gains most, within `stretch` more, by exchanging exactly one scored part.
        drop: The build that loses least, within `stretch` less, by leaving out or exchanging exactly one scored part.
    """

    visible: int
    stretch: int
    step_up: Step | None = None
    swap: Step | None = None
    drop: Step | None = None


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that a sister of a chosen product would change in a build; its words are the report's.

    Attributes:
        code: Stable short name, e.g. `power`.
        subject: What it is about: a location, a SKU, or empty.
        figures: Figures that its words quote; a name's ending says the unit, e.g. `after_w`.
        forbids: Whether the audit would refuse the build for it.
    """

    code: str
    subject: str
    figures: dict[str, float | int | str]
    forbids: bool


@dataclass(frozen=True, slots=True)
class Sister:
    """Another version of a chosen product, put in its place in the same build, all else as it was.

    Attributes:
        offered: Whether the shop offers it.
        price_difference: What the build would cost more with it, in cents; below 0 where it is cheaper.
        score_difference: What the build would score more, in whole thousandths; `None` where it would be refused.
        differences: What would change, the refusals first.
    """

    sku: str
    offered: bool
    price_difference: int
    score_difference: int | None
    differences: tuple[Difference, ...]

    @property
    def forbidden(self) -> bool:
        """Whether the build with it would be refused."""
        return any(difference.forbids for difference in self.differences)


@dataclass(frozen=True, slots=True)
class VersionAlert:
    """A chosen product and the other versions of it that one could be handed instead, in catalogue order."""

    role: Role
    sku: str
    sisters: tuple[Sister, ...]


@dataclass(frozen=True, slots=True)
class Relief:
    """One requirement that, taken away, makes a build possible or cheaper.

    Attributes:
        code: Which requirement: `front`, `rear`, `bass`, `deadening`, `amplifier`, `one-brand`, `must-include`,
            `leave-out`, `fitted`, `head-unit`.
        subject: The SKU or brand it is about; what the brief wants of the amplifier; what to do with the head unit
            instead; else empty.
        least_total: Price of the cheapest build then, in cents.
        within_cap: Whether a build is then possible within the cap.
    """

    code: str
    subject: str
    least_total: int
    within_cap: bool


@dataclass(frozen=True, slots=True)
class NoBuild:
    """Why no build is possible.

    Attributes:
        least_total: Price of the cheapest system that meets the brief, in cents; `None` where none does at any price.
        obstacles: Codes of what stands in the way before any money is counted, with their subject.
        reliefs: Requirements which, taken away one at a time, make a build possible or cheaper.
    """

    least_total: int | None
    obstacles: tuple[Caution, ...] = ()
    reliefs: tuple[Relief, ...] = ()


@dataclass(frozen=True, slots=True)
class Build:
    """One tier and brief, solved.

    Attributes:
        score: Whole thousandths of a point; `None` where there is no system.
        bound: Proven upper bound of the score in whole thousandths; equals `score` where optimal.
        seconds: Time spent solving, never written to a file.
    """

    tier: Tier
    brief: Brief
    vehicle: Vehicle
    status: Status
    bound: int | None = None
    audited: Audited | None = None
    no_build: NoBuild | None = None
    solver: str = ""
    seconds: float = field(default=0.0, compare=False)
    advice: Advice | None = None
    versions: tuple[VersionAlert, ...] = ()

    @property
    def score(self) -> int | None:
        """Score in whole thousandths of a point."""
        return self.audited.score if self.audited else None

    @property
    def total(self) -> int | None:
        """Price in whole cents."""
        return self.audited.total if self.audited else None


@dataclass(frozen=True, slots=True)
class Curve:
    """The budget curve of a brief and vehicle: every build that is the best at some budget.

    Attributes:
        points: Audited builds, each dearer and higher in score than the one before. A budget buys the last one whose
            total it covers; none where it does not cover the first.
    """

    brief: Brief
    vehicle: Vehicle
    points: tuple[Audited, ...]

    def at(self, cap: int) -> Audited | None:
        """The best build within a cap in cents; `None` where the cheapest complete system costs more."""
        place = bisect_right(self.points, cap, key=lambda point: point.total)
        return self.points[place - 1] if place else None

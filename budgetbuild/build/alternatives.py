"""What else one could do: other builds beside one, other versions of its products, and what they would change."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.build.audited import Audited, Caution
    from budgetbuild.build.system import Part, Role


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
class RunnerUp:
    """What would stand in the place of one scored part, were its product not to be had; all other scored parts stay.

    Attributes:
        part: What the build has there, with its quantity; of several equal amplifiers one.
        other: The other product that comes in its place, with its quantity; `None` where `step` is.
        step: The way to the best such build within the tier's cap; `None` where there is none. The best build of a
            tier gains nothing by it.
        least_total: Price of the cheapest such build whatever the budget, in cents; `None` where nothing else can
            take the place at any price.
    """

    part: Part
    other: Part | None
    step: Step | None
    least_total: int | None


@dataclass(frozen=True, slots=True)
class Advice:
    """A little more, a little less: what one could do with a build next. Each is `None` where there is none.

    Attributes:
        visible: Least gain that counts as visible, in whole thousandths of a point.
        stretch: How much more, or less, the swap and the drop may spend than the cap, in cents.
        step_up: The cheapest best build that gains at least `visible`.
        swap: The build that gains most, within `stretch` more, by exchanging exactly one scored part.
        drop: The build that loses least, within `stretch` less, by leaving out or exchanging exactly one scored part.
        runners_up: One for each scored part, in the order of the roles; equal amplifiers count once.
    """

    visible: int
    stretch: int
    step_up: Step | None = None
    swap: Step | None = None
    drop: Step | None = None
    runners_up: tuple[RunnerUp, ...] = ()


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
        score_difference: What the build would score more, in whole thousandths; `None` where it would be refused, or
            the sister is unrated.
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
class Entry:
    """The highest price at which a product would be in the best build of a budget.

    Attributes:
        price: Today's, in cents.
        entry: In cents; `None` where it would be at no price.
        chosen: Whether it is in the best build today.
    """

    sku: str
    price: int
    entry: int | None
    chosen: bool

    @property
    def reduction(self) -> int | None:
        """By how much the price would have to fall, in cents; below 0 where it could rise."""
        return None if self.entry is None else self.price - self.entry


@dataclass(frozen=True, slots=True)
class Forced:
    """What it means to insist on a product within a budget.

    Attributes:
        best: The best build, whatever it holds; `None` where there is none.
        with_it: The best build that holds the product; `None` where there is none within the budget.
        step: From the one to the other, where both exist and differ.
        least_total: Price of the cheapest complete system with the product, in cents; `None` where there is none.
        obstacles: Which rules forbid it, where there is none at all.
        reliefs: Requirements of the brief which, taken away one at a time, make one possible or cheaper.
    """

    sku: str
    best: Audited | None
    with_it: Audited | None
    step: Step | None
    least_total: int | None
    obstacles: tuple[Caution, ...]
    reliefs: tuple[Relief, ...]
    entry: Entry

"""What the program decides: parts in their roles and how they are connected, without any figure."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from budgetbuild.catalogue.kinds import Location


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

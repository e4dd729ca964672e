"""The words that a catalogue chooses from: locations, kinds of products, wishes of a brief."""

from __future__ import annotations

from enum import StrEnum


class Location(StrEnum):
    """The three locations of a system."""

    FRONT = "front"
    REAR = "rear"
    BASS = "bass"


class TextPlace(StrEnum):
    """Where a shop's own paragraph stands in what it publishes."""

    OPENING = "opening"
    TIER = "tier"
    BRIEF = "brief"
    PRODUCT = "product"
    CLOSING = "closing"


class Opening(StrEnum):
    """Opening in the dash, or the kind of head unit that fills it."""

    SINGLE = "single"
    DOUBLE = "double"
    FLOATING = "floating"
    NONE = "none"


class SpeakerType(StrEnum):
    """Kinds of front and rear speakers."""

    COMPONENT = "component"
    COAXIAL = "coaxial"


class SubwooferType(StrEnum):
    """Kinds of bass products."""

    ENCLOSURE = "enclosure"
    DRIVER = "driver"
    POWERED = "powered"


class AmplifierClass(StrEnum):
    """Classes of amplifiers, for their efficiency."""

    AB = "AB"
    D = "D"


class Conductor(StrEnum):
    """Metal of a cable."""

    COPPER = "copper"
    CCA = "CCA"


class AerialUse(StrEnum):
    """Kinds of digital-radio aerials."""

    SCREEN_MOUNT = "screen-mount"
    FACTORY_ADAPTER = "factory adapter"


class KitFor(StrEnum):
    """What a fitting kit fits."""

    HEAD_UNIT = "head unit"
    CONVERTER = "converter"
    SPEAKER = "speaker"


class Work(StrEnum):
    """The fixed list of fitting work."""

    HEAD_UNIT = "head unit"
    CONVERTER = "converter"
    FRONT = "front"
    REAR = "rear"
    BASS = "bass"
    AMPLIFIER = "amplifier"
    DEADENING_PER_M2 = "deadening per m2"


class HeadUnitMode(StrEnum):
    """What a brief does with the head unit."""

    REPLACE = "replace"
    KEEP_FACTORY = "keep factory"
    KEEP_OWN = "keep own"


class Want(StrEnum):
    """How a brief wants a part."""

    REQUIRED = "required"
    OPTIONAL = "optional"
    NONE = "none"


class OneBrand(StrEnum):
    """Whether front, rear, bass and amplifier share a brand."""

    NO = "no"
    PREFER = "prefer"
    MUST = "must"

"""Sisters that do not go into a system: the system, the chosen product, how its sister differs, what is told."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from budgetbuild.build import CableRun, Drive, Driver, Feed, Mode, Part, Role
from budgetbuild.catalogue.kinds import Conductor, KitFor, Location, Opening, SpeakerType, Want
from tests.audit.handmade import FIVE_CHANNELS, POWERED, SHARED_KIT, TWO_AMPLIFIERS, TWO_DRIVERS

if TYPE_CHECKING:
    from tests.audit.sound import Sound

NARROW = FIVE_CHANNELS.with_product("HU-2", opening=Opening.SINGLE).with_vehicle(opening=Opening.SINGLE)
BRIDGED = (
    TWO_AMPLIFIERS.with_product("SW-E", rms_w=160)
    .with_system(
        parts=tuple(
            part
            for part in TWO_AMPLIFIERS.system.parts
            if part.role is not Role.FRONT and part.sku not in {"AM-1", "PK-C"}
        ),
        amplifiers=("AM-4",),
        drives=(Drive(Location.BASS, Driver.AMPLIFIER, 0, Mode.BRIDGED, 4.0),),
        feeds=(Feed("PK-A", (0,)),),
        cables=(CableRun(Location.BASS, "SC-2"),),
    )
    .with_brief(front=Want.OPTIONAL)
)
"""Bass alone, on one pair of a four-channel amplifier, bridged."""
BRIDGED = BRIDGED.with_quantity(Part(Role.SPEAKER_CABLE, "SC-2", 2), 1)

MISFITS: list[tuple[Sound, str, dict[str, Any], str, dict[str, Any]]] = [
    (FIVE_CHANNELS, "HU-2", {"preout_pairs": 2}, "pairs", {"offered_pairs": 2, "needed_pairs": 3}),
    (NARROW, "HU-2", {"opening": Opening.DOUBLE}, "opening", {"unit": "double", "vehicle": "single"}),
    (FIVE_CHANNELS, "HU-2", {"digital_radio": False}, "no-digital-radio", {"needed": "screen-mount"}),
    (TWO_AMPLIFIERS, "CV-1", {"output_pairs": 1}, "pairs", {"offered_pairs": 1, "needed_pairs": 2}),
    (FIVE_CHANNELS, "SP-F", {"depth_mm": 70}, "depth", {"depth_mm": 70, "place_mm": 60}),
    (FIVE_CHANNELS, "SP-F", {"size_mm": 130}, "size", {"size_mm": 130, "place_mm": 165}),
    (FIVE_CHANNELS, "SP-S", {"size_mm": 130}, "adapter-left-over", {"size_mm": 130, "place_mm": 130}),
    (FIVE_CHANNELS, "SP-S", {"type": SpeakerType.COMPONENT}, "tweeter", {}),
    (TWO_AMPLIFIERS, "SW-E", {"height_mm": 395}, "boot", {"reason": "height 395 mm and 10 mm to spare, boot 400 mm"}),
    (FIVE_CHANNELS, "SW-D", {"size_mm": None}, "box", {}),
    (FIVE_CHANNELS, "SW-D", {"ohm": None}, "refused", {"rule": "Something to drive", "limit": "a product"}),
    (FIVE_CHANNELS, "SW-D", {"size_mm": 300}, "cut-out", {"cutout_mm": 250, "size_mm": 300}),
    (FIVE_CHANNELS, "SW-D", {"box_litres_min": 28}, "litres",
     {"each_litres": 25, "least_litres": 28, "most_litres": 30}),
    (TWO_DRIVERS, "BX-2", {"litres": 66}, "litres", {"each_litres": 33, "least_litres": 15, "most_litres": 30}),
    (TWO_DRIVERS, "BX-2", {"drivers": 1}, "other-cut-outs", {"before_drivers": 2, "after_drivers": 1}),
    (FIVE_CHANNELS, "BX-1", {"cutout_mm": 300}, "cut-out", {"cutout_mm": 300, "size_mm": 250}),
    (FIVE_CHANNELS, "FK-H", {"vehicles": ("another",)}, "kit-not-listed", {"vehicle": "Skerry Wagon"}),
    (FIVE_CHANNELS, "FK-H", {"fits": KitFor.CONVERTER}, "other-kit", {"before": "head unit", "after": "converter"}),
    (FIVE_CHANNELS, "FK-A", {"size_mm": 100}, "wrong-adapter",
     {"size_mm": 165, "place_mm": 130, "kit_mm": 100, "kit_location": "rear"}),
    (FIVE_CHANNELS, "FK-A", {"location": Location.FRONT}, "wrong-adapter",
     {"size_mm": 165, "place_mm": 130, "kit_mm": 165, "kit_location": "front"}),
    (FIVE_CHANNELS, "FK-A", {"any_vehicle": False}, "kit-not-listed", {"vehicle": "Skerry Wagon"}),
    (POWERED, "SL-2", {"length_m": 4}, "lead-too-short", {"length_m": 4, "run_m": 5}),
    (TWO_AMPLIFIERS, "SL-K", {"length_m": 0.4}, "lead-too-short", {"length_m": 0.4, "run_m": 0.5}),
    (FIVE_CHANNELS, "SL-6", {"channels": 4}, "lead-channels", {"offered_channels": 4, "needed_channels": 6}),
    (POWERED, "PK-A", {"length_m": 4}, "kit-too-short", {"length_m": 4, "run_m": 4.5}),
    (SHARED_KIT, "PK-B", {"amplifiers_fed": 1}, "kit-feeds-too-few", {"offered_devices": 1, "needed_devices": 2}),
    (POWERED.with_limits(cca_allowed=False), "PK-A", {"conductor": Conductor.CCA}, "kit-copper-clad", {}),
]  # fmt: skip

"""A build: one solved system for one tier and brief, as values that the program proposes and the audit checks.

These modules only name things; they compute nothing. `System` is what the program decides, without any figure;
`Audited` (see the package `audit`) holds every figure recomputed from the catalogue and the trade rules.
"""

from budgetbuild.build.alternatives import (
    Advice,
    Change,
    Difference,
    Entry,
    Forced,
    Relief,
    RunnerUp,
    Sister,
    Step,
    VersionAlert,
)
from budgetbuild.build.audited import Audited, Caution, Check, DeviceFigures, LocationFigures, PricedLine, ScorePart
from budgetbuild.build.beside import NOTHING_BESIDE, Beside
from budgetbuild.build.certain import Certain, Risen, Secured
from budgetbuild.build.covered import OWN_ROLES, Alone, Covered, InVehicle, Shortfall
from budgetbuild.build.ladder import Climbed, Climbing, Ladder, LadderStep, NoLadder, Pieces
from budgetbuild.build.promotion import (
    Bundle,
    BundleChoice,
    MissingPieces,
    NoBundle,
    Promotions,
    Sale,
    SaleLine,
    Shelf,
    TradeOff,
    Waiver,
)
from budgetbuild.build.published import (
    Published,
    PublishedBeside,
    PublishedBuild,
    PublishedLine,
    PublishedStatus,
    PublishedStep,
)
from budgetbuild.build.recheck import Drift, Recheck, Rechecked, Remedy, Standing, Weight
from budgetbuild.build.solved import Build, Curve, NoBuild, Status
from budgetbuild.build.system import SUBWOOFER_DEVICE, CableRun, Drive, Driver, Feed, Mode, Part, Role, System
from budgetbuild.build.verified import Finding, Shown, Verification, Verified

__all__ = [
    "NOTHING_BESIDE",
    "OWN_ROLES",
    "SUBWOOFER_DEVICE",
    "Advice",
    "Alone",
    "Audited",
    "Beside",
    "Build",
    "Bundle",
    "BundleChoice",
    "CableRun",
    "Caution",
    "Certain",
    "Change",
    "Check",
    "Climbed",
    "Climbing",
    "Covered",
    "Curve",
    "DeviceFigures",
    "Difference",
    "Drift",
    "Drive",
    "Driver",
    "Entry",
    "Feed",
    "Finding",
    "Forced",
    "InVehicle",
    "Ladder",
    "LadderStep",
    "LocationFigures",
    "MissingPieces",
    "Mode",
    "NoBuild",
    "NoBundle",
    "NoLadder",
    "Part",
    "Pieces",
    "PricedLine",
    "Promotions",
    "Published",
    "PublishedBeside",
    "PublishedBuild",
    "PublishedLine",
    "PublishedStatus",
    "PublishedStep",
    "Recheck",
    "Rechecked",
    "Relief",
    "Remedy",
    "Risen",
    "Role",
    "RunnerUp",
    "Sale",
    "SaleLine",
    "ScorePart",
    "Secured",
    "Shelf",
    "Shortfall",
    "Shown",
    "Sister",
    "Standing",
    "Status",
    "Step",
    "System",
    "TradeOff",
    "Verification",
    "Verified",
    "VersionAlert",
    "Waiver",
    "Weight",
]

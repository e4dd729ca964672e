"""Why a sister would be refused, rule by rule: fit, signal, power kit, brief. Loads and powers are told elsewhere."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.audit.fitting import SPEAKER_ROLES
from budgetbuild.build import Check, Difference, Role
from budgetbuild.catalogue.items import Box, FittingKit, HeadUnit, PowerKit, Speaker, Subwoofer
from budgetbuild.catalogue.kinds import Location
from budgetbuild.trade import amplifiers, fit, power, signal
from budgetbuild.trade.figures import at_most, same

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from budgetbuild.advice.trial import Trial

Figures = dict[str, float | int | str]
Reason = tuple[str, Figures]
"""Code of a difference, and its figures."""

CHANNELS = "Amplifier has the channels"
"""The rule that an amplifier without the pairs or the sub channel fails."""


def obstacles(trial: Trial) -> Iterator[Difference]:
    """A difference for each refused check that is not about loads and powers."""
    for check in trial.refused:
        explain = RULES.get(check.rule)
        if explain:
            code, figures = explain(trial, check)
            yield Difference(code, check.subject, figures, forbids=True)


def _channels(trial: Trial, _: Check) -> Reason:
    """Too few channel pairs, or no sub channel."""
    for number, amplifier in enumerate(trial.case.amplifiers()):
        used = amplifiers.pairs_used(trial.case.way(number))
        if amplifier and used > amplifier.channels // 2:
            return "channels", {"offered_pairs": amplifier.channels // 2, "needed_pairs": used}
    return "no-sub-channel", {}


def _pairs(trial: Trial, _: Check) -> Reason:
    return "pairs", {"offered_pairs": trial.after.pairs_offered, "needed_pairs": trial.after.pairs_needed}


def _lead_channels(trial: Trial, check: Check) -> Reason:
    needed = signal.channels_needed(trial.after.pairs_needed)
    return "lead-channels", {"offered_channels": check.figure, "needed_channels": needed}


def _lead_short(trial: Trial, check: Check) -> Reason:
    bench = trial.bench
    run_m = signal.run_m(bench.brief.head_unit, bench.vehicle, bench.limits)
    return "lead-too-short", {"length_m": check.figure, "run_m": run_m}


def _kit_short(trial: Trial, check: Check) -> Reason:
    run_m = power.power_run(trial.bench.vehicle, trial.bench.limits)
    return "kit-too-short", {"length_m": check.figure, "run_m": run_m}


def _kit_feeds(trial: Trial, check: Check) -> Reason:
    kit = trial.sister
    fed = max(1, kit.amplifiers_fed) if isinstance(kit, PowerKit) else 1
    return "kit-feeds-too-few", {"offered_devices": fed, "needed_devices": check.figure}


def _conductor(_: Trial, __: Check) -> Reason:
    return "kit-copper-clad", {}


def _opening(trial: Trial, _: Check) -> Reason:
    unit = trial.sister.opening.value if isinstance(trial.sister, HeadUnit) else ""
    return "opening", {"unit": unit, "vehicle": trial.bench.vehicle.opening.value}


def _source_kit(trial: Trial, _: Check) -> Reason:
    return "kit-not-listed", {"vehicle": trial.bench.vehicle.name}


def _aerial(trial: Trial, _: Check) -> Reason:
    needed = fit.aerial_use(trial.bench.vehicle).value
    if isinstance(trial.sister, HeadUnit):
        return ("needs-aerial" if trial.sister.digital_radio else "no-digital-radio"), {"needed": needed}
    return "wrong-aerial", {"needed": needed}


def _adapter(trial: Trial, check: Check) -> Reason:
    """A speaker of another size, or an adapter for another one."""
    location, vehicle = Location(check.subject), trial.bench.vehicle
    speaker = trial.case.one(Speaker, SPEAKER_ROLES[location])
    place_mm = fit.place(vehicle, location).size_mm
    sizes: Figures = {"size_mm": speaker.size_mm if speaker else 0.0, "place_mm": place_mm or 0.0}
    if isinstance(trial.sister, FittingKit):
        kit = trial.sister
        if not fit.kit_fits(kit, vehicle):
            return "kit-not-listed", {"vehicle": vehicle.name}
        meant: Figures = {"kit_location": kit.location.value if kit.location else "", "kit_mm": kit.size_mm or 0.0}
        return "wrong-adapter", {**sizes, **meant}
    if speaker and not fit.adapter_needed(speaker, vehicle, location):
        return "adapter-left-over", sizes
    return "size", sizes


def _speaker(trial: Trial, check: Check) -> Reason:
    """Too deep for its place, else without a place for its tweeters."""
    place, speaker = fit.place(trial.bench.vehicle, Location(check.subject)), trial.sister
    depth_mm = speaker.depth_mm if isinstance(speaker, Speaker) else None
    if depth_mm is not None and place.depth_mm is not None and not at_most(depth_mm, place.depth_mm):
        return "depth", {"depth_mm": depth_mm, "place_mm": place.depth_mm}
    return "tweeter", {}


def _box(trial: Trial, _: Check) -> Reason:
    """A cut-out of another size, or litres that the driver does not ask for."""
    box, driver = trial.case.one(Box, Role.BOX), trial.case.one(Subwoofer, Role.BASS)
    if box is None or driver is None or driver.size_mm is None:
        return "box", {}
    if not same(box.cutout_mm, driver.size_mm):
        return "cut-out", {"cutout_mm": box.cutout_mm, "size_mm": driver.size_mm}
    bounds = {"least_litres": driver.box_litres_min, "most_litres": driver.box_litres_max}
    stated: Figures = {name: litres for name, litres in bounds.items() if litres is not None}
    return "litres", {"each_litres": box.litres / box.drivers, **stated}


def _boot(_: Trial, check: Check) -> Reason:
    return "boot", {"reason": check.figure}


def _left_out(_: Trial, __: Check) -> Reason:
    return "left-out", {}


def _asked_for(_: Trial, check: Check) -> Reason:
    return "asked-for", {"term": check.subject}


def _brand(_: Trial, __: Check) -> Reason:
    return "brand", {}


RULES: Mapping[str, Callable[[Trial, Check], Reason]] = {
    CHANNELS: _channels,
    "Stereo pairs from the source": _pairs,
    "Signal lead channels": _lead_channels,
    "Signal lead reaches": _lead_short,
    "Power kit reaches": _kit_short,
    "Power kit feeds so many": _kit_feeds,
    "Conductor allowed": _conductor,
    "Opening takes the head unit": _opening,
    "Fitting kit of this vehicle": _source_kit,
    "Digital-radio aerial": _aerial,
    "Adapter for another speaker size": _adapter,
    "Speaker fits its place": _speaker,
    "Box takes the driver": _box,
    "Fits the boot": _boot,
    "Nothing that the brief leaves out": _left_out,
    "Includes what the brief asks for": _asked_for,
    "One brand": _brand,
}
"""How a refused check of the audit is told, by its rule."""

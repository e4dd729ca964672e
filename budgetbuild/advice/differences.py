"""What an exchanged product changes in a build: powers, loads, cable, current, fit, points that differ."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from budgetbuild.advice.obstacles import CHANNELS, obstacles
from budgetbuild.audit.locations import amplifier_of, internal_watt
from budgetbuild.build import DeviceFigures, Difference, Driver, LocationFigures, Mode
from budgetbuild.catalogue.items import Amplifier, Speaker, SpeakerCable
from budgetbuild.trade import amplifiers, cable
from budgetbuild.trade.figures import at_least, at_most, same

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.advice.trial import Trial

LEAST_LEVEL_DB = 0.05
"""Difference in level that shows when it is written with one decimal, in dB."""


def differences(trial: Trial) -> tuple[Difference, ...]:
    """What would change, the refusals first.

    The trial is refused exactly where one of them forbids it: a refusal that has no words of its own is told by its
    rule.
    """
    found = [difference for place in trial.after.locations for difference in _place(trial, place)]
    found += [*obstacles(trial), *_feeding(trial), *_other_type(trial), *_unmeasured(trial)]
    if trial.refused and not any(difference.forbids for difference in found):
        check = trial.refused[0]
        found.append(Difference("refused", check.subject, {"rule": check.rule, "limit": check.limit}, forbids=True))
    told: list[Difference] = []
    for difference in found:  # two equal amplifiers differ in the same way
        told += [] if difference in told else [difference]
    return tuple(sorted(told, key=lambda difference: not difference.forbids))


def least_load(amplifier: Amplifier, mode: Mode) -> float | None:
    """Lowest load in ohm that an amplifier drives in a mode; `None` where it drives none.

    The rule itself is asked: whatever its floor, it stands at a rated load or a stated minimum, or at twice one of
    them where two halves share the load.
    """
    stated = (amplifier.min_ohm, amplifier.min_bridged_ohm, amplifier.sub_min_ohm)
    floors = {1.0, 2.0, 4.0, *(ohm for ohm in stated if ohm)}
    tried = sorted(floors | {2 * ohm for ohm in floors})
    return next((ohm for ohm in tried if amplifiers.section_power(amplifier, mode, ohm) is not None), None)


def _place(trial: Trial, after: LocationFigures) -> Iterator[Difference]:
    """One location: what drives it no longer may, does so badly, or gives it another power."""
    before = next(place for place in trial.before.locations if place.location is after.location)
    if after.by is Driver.SELF:
        if not same(after.rms_w, before.rms_w):
            figures: dict[str, float | int | str] = {"before_w": before.rms_w, "after_w": after.rms_w}
            yield Difference("own-power", str(after.location), figures, forbids=False)
        return
    refusal = _load_refused(trial, after) if after.power_w is None else _ratio_refused(trial, after)
    if refusal:
        yield refusal
    elif after.power_w is not None and before.power_w is not None:
        yield from _heard(before, after, before.power_w, after.power_w)
    yield from _cable_refused(trial, after)


def _told(place: LocationFigures, **figures: float | str) -> dict[str, float | int | str]:
    """Figures of a place with what every sentence about it needs."""
    wired = {"wiring": place.wiring} if place.wiring else {}
    return {"by": place.by.value, "ohm": place.ohm or 0.0, **wired, **figures}


def _load_refused(trial: Trial, place: LocationFigures) -> Difference | None:
    """Why what drives a location may not drive the load; `None` where it lacks the channels, which is told once."""
    subject, ohm = str(place.location), place.ohm or 0.0
    mode: dict[str, float | str] = {}
    if place.by is Driver.AMPLIFIER:
        drive = trial.case.drive(place.location)
        amplifier = amplifier_of(trial.case, drive) if drive else None
        if any(check.rule == CHANNELS for check in trial.refused):
            return None
        least = least_load(amplifier, drive.mode) if amplifier and drive and drive.mode else None
        mode = {"mode": place.mode.value} if place.mode else {}
    elif internal_watt(trial.case) <= 0:
        return Difference("no-internal-power", subject, _told(place), forbids=True)
    else:
        least = amplifiers.INTERNAL_MIN_OHM
    if least is None or at_least(ohm, least):
        return Difference("load-not-rated", subject, _told(place, **mode), forbids=True)
    return Difference("load-too-low", subject, _told(place, least_ohm=least, **mode), forbids=True)


def _ratio_refused(trial: Trial, place: LocationFigures) -> Difference | None:
    """A power ratio out of the shop's limits."""
    ratio, watt = place.ratio or 0.0, place.power_w or 0.0
    limits = trial.bench.limits
    if amplifiers.ratio_allowed(place.location, ratio, limits):
        return None
    least, most = amplifiers.ratio_limits(place.location, limits)
    low = not at_least(ratio, least)
    figures = _told(place, after_w=watt, rms_w=place.rms_w, ratio=ratio, limit=least if low else most)
    return Difference("power-too-low" if low else "power-too-high", str(place.location), figures, forbids=True)


def _heard(before: LocationFigures, after: LocationFigures, was_w: float, is_w: float) -> Iterator[Difference]:
    """Another power; or the same power by another wiring, into another rating, louder or softer."""
    subject = str(after.location)
    if not same(was_w, is_w):
        figures = _told(after, before_w=was_w, after_w=is_w, before_ohm=before.ohm or 0.0)
        yield Difference("power", subject, figures, forbids=False)
        return
    if before.wiring != after.wiring:
        yield Difference("same-power", subject, _told(after, power_w=is_w), forbids=False)
    if not same(before.rms_w, after.rms_w):
        figures = {"before_w": before.rms_w, "after_w": after.rms_w, "power_w": is_w}
        yield Difference("rms", subject, figures, forbids=False)
    elif before.level_db is not None and after.level_db is not None:
        louder = after.level_db - before.level_db
        if abs(louder) >= LEAST_LEVEL_DB:
            code = "louder" if louder > 0 else "softer"
            yield Difference(code, subject, {"by_db": abs(louder)}, forbids=False)


def _cable_refused(trial: Trial, place: LocationFigures) -> Iterator[Difference]:
    """A speaker cable too thin for the load."""
    product = trial.case.products.get(place.cable_sku)
    if not isinstance(product, SpeakerCable) or place.ohm is None:
        return
    bench = trial.bench
    if cable.cable_allowed(product, place.location, place.ohm, bench.vehicle, bench.limits):
        return
    loop = cable.loop_resistance(product, cable.run_m(place.location, bench.vehicle, bench.limits))
    most = bench.limits.cable_loss_share * place.ohm
    figures = _told(place, cable=product.sku, loop_ohm=loop, most_ohm=most)
    yield Difference("cable-too-thin", str(place.location), figures, forbids=True)


def _feeding(trial: Trial) -> Iterator[Difference]:
    """Current against what the power kit carries; unknown where something drives what it may not."""
    before, after = trial.before.devices, trial.after.devices
    if len(before) != len(after):
        return
    if any(device.shared for device in after):
        was_a = math.fsum(device.current_a for device in before)
        yield from _current(trial, after[0], was_a, math.fsum(device.current_a for device in after))
    else:
        for was, now in zip(before, after, strict=True):
            yield from _current(trial, now, was.current_a, now.current_a)


def _current(trial: Trial, device: DeviceFigures, before_a: float, after_a: float) -> Iterator[Difference]:
    """What one kit feeds, before and after: all of it where the devices share the kit."""
    figures: dict[str, float | int | str] = {
        "kit": device.kit_sku,
        "shared": int(device.shared),
        "before_a": before_a,
        "after_a": after_a,
        "carries_a": device.kit_carries_a,
    }
    if not at_most(after_a, device.kit_carries_a):
        yield Difference("kit-overloaded", device.sku, figures, forbids=True)
    elif not same(before_a, after_a) and any(other.sku == trial.sister.sku for other in trial.after.devices):
        yield Difference("current", device.sku, figures, forbids=False)


def _other_type(trial: Trial) -> Iterator[Difference]:
    """A component set in place of a coaxial one, or the other way round."""
    product, sister = trial.product, trial.sister
    if isinstance(product, Speaker) and isinstance(sister, Speaker) and product.type is not sister.type:
        figures: dict[str, float | int | str] = {"before": product.type.value, "after": sister.type.value}
        yield Difference("other-speaker-type", str(trial.part.role), figures, forbids=False)


def _unmeasured(trial: Trial) -> Iterator[Difference]:
    """What would have to be measured first that the build as published does not ask for."""
    known = {str(what) for caution in trial.before.cautions for what in _asked(caution.figures)}
    for caution in trial.after.cautions:
        new = [what for what in _asked(caution.figures) if what not in known] if caution.code == "measure-first" else []
        if new:
            yield Difference("measure-first", caution.subject, {"what": ", ".join(new)}, forbids=False)


def _asked(figures: dict[str, float | int | str]) -> list[str]:
    """What a caution asks to be measured, one by one."""
    return str(figures.get("what", "")).split(", ")

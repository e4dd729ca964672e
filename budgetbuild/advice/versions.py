"""Version alerts: what every sister of a chosen product, of the same `Family`, would do in the same build.

A shop's shelf holds the 2 ohm and the 4 ohm version side by side. The sister is put in the product's place, all else
left as it is, and the build is audited again; what the two audits differ in is the alert, so it cannot say anything
that the audit does not.
"""

from __future__ import annotations

from itertools import chain
from typing import TYPE_CHECKING

from budgetbuild.advice.differences import differences
from budgetbuild.advice.trial import LOCATIONS, Bench, Trial, trials
from budgetbuild.build import Audited, Difference, Part, Role, Sister, VersionAlert
from budgetbuild.catalogue.items import Box, FittingKit, Product, Subwoofer
from budgetbuild.catalogue.names import fold

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from budgetbuild.catalogue.kinds import Location
    from budgetbuild.catalogue.shop import Brief, Catalogue, Vehicle

SILENT = frozenset({Role.DEADENING, Role.SPEAKER_CABLE, Role.LABOUR})
"""Roles without an alert: several versions of a cable or of a sheet in one build are normal."""

Outcome = tuple[Trial, tuple[Difference, ...]]
"""One way of wiring a sister into the build, and what would change."""


def version_alerts(catalogue: Catalogue, brief: Brief, vehicle: Vehicle, audited: Audited) -> tuple[VersionAlert, ...]:
    """An alert for every part of a published build that has a sister, in the order of the parts.

    Args:
        catalogue: The catalogue it was made from.
        brief: What the customer wants.
        vehicle: The vehicle it goes into.
        audited: The build, which the audit did not refuse.
    """
    bench = Bench(catalogue, brief, vehicle, audited)
    products = catalogue.by_sku()
    alerts: list[VersionAlert] = []
    for part in audited.system.parts:
        product = products[part.sku]
        sisters = [] if part.role in SILENT else _sisters(product, part, audited, products.values())
        if sisters:
            told = tuple(_sister(bench, part, product, sister) for sister in sisters)
            alerts.append(VersionAlert(part.role, part.sku, told))
    return tuple(alerts)


def _sisters(product: Product, part: Part, audited: Audited, products: Iterable[Product]) -> list[Product]:
    """Other products of the same sheet and family, but for those that the build holds in the same role anyway."""
    held = {other.sku for other in audited.system.parts if other.role is part.role}
    return [
        other
        for other in products
        if product.family
        and fold(other.family) == fold(product.family)
        and type(other) is type(product)
        and other.sku not in held
    ]


def _sister(bench: Bench, part: Part, product: Product, sister: Product) -> Sister:
    other_kind = _other_kind(product, sister)
    score_difference = None
    if other_kind:
        found: tuple[Difference, ...] = (other_kind,)
    else:
        outcomes = [(trial, differences(trial)) for trial in trials(bench, part, product, sister)]
        trial, found = _best(outcomes, part)
        rated = sister.rating is not None or product.rating is None
        if rated and not any(difference.forbids for difference in found):
            score_difference = trial.after.score - bench.before.score
    return Sister(
        sku=sister.sku,
        offered=sister.active,
        price_difference=(sister.price - product.price) * part.quantity,
        score_difference=score_difference,
        differences=found,
    )


def _other_kind(product: Product, sister: Product) -> Difference | None:
    """A sister that goes into a build by other rules than the product, so that nothing can stay as it is."""
    if isinstance(product, Subwoofer) and isinstance(sister, Subwoofer) and product.type is not sister.type:
        return Difference("other-type", "", {"before": product.type.value, "after": sister.type.value}, forbids=True)
    if isinstance(product, FittingKit) and isinstance(sister, FittingKit) and product.fits is not sister.fits:
        return Difference("other-kit", "", {"before": product.fits.value, "after": sister.fits.value}, forbids=True)
    if isinstance(product, Box) and isinstance(sister, Box) and product.drivers != sister.drivers:
        figures = {"before_drivers": product.drivers, "after_drivers": sister.drivers}
        return Difference("other-cut-outs", "", dict(figures), forbids=True)
    return None


def _best(outcomes: Sequence[Outcome], part: Part) -> Outcome:
    """The wiring that is allowed and matches best.

    Where none is allowed: what stands against every wiring; where nothing does, what stands against each.
    """
    allowed = [outcome for outcome in outcomes if not any(difference.forbids for difference in outcome[1])]
    if allowed:
        trial, found = max(allowed, key=lambda outcome: _match(outcome[0], part))
        return trial, (*found, *_wired_alike(outcomes, part))
    first, *others = [[difference for difference in found if difference.forbids] for _, found in outcomes]
    everywhere = [difference for difference in first if all(difference in other for other in others)]
    return outcomes[0][0], tuple(everywhere or chain(first, *others))


def _wired_alike(outcomes: Sequence[Outcome], part: Part) -> list[Difference]:
    """The danger of a sister in the right wiring for the product: a load below what the amplifier may drive."""
    location = LOCATIONS.get(part.role)
    return [
        Difference("wired-alike", difference.subject, _without_wiring(difference), forbids=False)
        for trial, found in outcomes
        if location and _wiring(trial.after, location) == _wiring(trial.before, location)
        for difference in found
        if difference.code == "load-too-low" and difference.subject == location
    ]


def _wiring(audited: Audited, location: Location) -> str:
    return next((place.wiring for place in audited.locations if place.location is location), "")


def _without_wiring(difference: Difference) -> dict[str, float | int | str]:
    return {name: figure for name, figure in difference.figures.items() if name != "wiring"}


def _match(trial: Trial, part: Part) -> float:
    """Match factor of what is exchanged; outcomes come lowest load first, so that load wins among equals."""
    location = LOCATIONS.get(part.role)
    return next((place.match for place in trial.after.locations if place.location is location), 0.0)

"""Systems that were printed beside those of the tiers: if prices rise, on an upgrade path, or of a promotion."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import PublishedBeside, PublishedStep
from budgetbuild.published.builds import published_lines, published_system

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.published.fields import Place


def published_beside(top: Place) -> PublishedBeside:
    """What a file holds of them; steps without a system are left out."""
    bundles = top.get("promotions")
    return PublishedBeside(
        secured=tuple(step for one in _some(top, "certain") for step in _secured(one)),
        paths=tuple((path.of("keep").truth(), tuple(_climb(path))) for path in _some(top, "ladders")),
        bundles=tuple(_bundles(bundles)) if bundles and not bundles.null else (),
    )


def _some(top: Place, key: str) -> Iterator[Place]:
    found = top.get(key)
    return found.items() if found else iter(())


def _secured(place: Place) -> Iterator[PublishedStep]:
    tier, brief, vehicle = (place.of(key).text(empty=False) for key in ("tier", "brief", "vehicle"))
    cap = place.of("cap").money()
    for step in place.of("steps").items():
        rising = step.of("rising").whole()
        if not step.of("total").null:
            system = published_system(step, published_lines(step.of("lines")))
            yield PublishedStep(step.path, brief, vehicle, system, tier, rising=rising, cap=cap)


def _climb(path: Place) -> Iterator[PublishedStep]:
    steps = list(path.of("steps").items())
    if not steps:
        return
    brief, vehicle = path.of("brief").text(empty=False), path.of("vehicle").text(empty=False)
    for step in steps:
        system = published_system(step, published_lines(step.of("lines")))
        yield PublishedStep(step.path, brief, vehicle, system, step.of("tier").text(empty=False))


def _bundles(place: Place) -> Iterator[PublishedStep]:
    for bundle in place.of("bundles").items():
        if bundle.of("list_total").null:
            continue
        tier = bundle.of("tier")
        yield PublishedStep(
            bundle.path,
            bundle.of("brief").text(empty=False),
            bundle.of("vehicle").text(empty=False),
            published_system(bundle, published_lines(bundle.of("lines"))),
            "" if tier.null else tier.text(empty=False),
            bundle.of("promotion").text(empty=False),
        )

"""Version alerts that hold in every vehicle that a system covers."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from budgetbuild.build import OWN_ROLES

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.build import Sister, VersionAlert


def alerts_in_all(each: Sequence[Sequence[VersionAlert]]) -> tuple[VersionAlert, ...]:
    """Of the alerts in each vehicle those that are the same in all; a version that one vehicle forbids is forbidden.

    Args:
        each: For each vehicle covered, the alerts of its own build; at least one.
    """
    merged = [replace(alert, sisters=tuple(_same(alert, each))) for alert in each[0] if alert.role not in OWN_ROLES]
    return tuple(alert for alert in merged if alert.sisters)


def _same(alert: VersionAlert, each: Sequence[Sequence[VersionAlert]]) -> Iterator[Sister]:
    """The versions of one product of which the same is true in all vehicles, or which some vehicle forbids."""
    for sister in alert.sisters:
        found = [
            other
            for alerts in each
            for one in alerts
            if (one.role, one.sku) == (alert.role, alert.sku)
            for other in one.sisters
            if other.sku == sister.sku
        ]
        forbidding = [other for other in found if other.forbidden]
        if forbidding:
            yield forbidding[0]
        elif len(found) == len(each) and all(other == sister for other in found):
            yield sister

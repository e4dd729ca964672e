"""At which line of a build a caution or a safety sentence belongs, for whoever goes through it line by line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Role
from budgetbuild.report.words.safety import Topic

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.report.shown import ReportBuild, ToldCaution

ABOUT = {"boot": Role.BOX, "alternator": Role.POWER_KIT, "alternator-unknown": Role.POWER_KIT}
"""Roles that a place or a code is about without naming it; any other word is looked for among the roles' own names."""
SKUS = ("sku", "kit", "cable")
"""Figures that name a product."""
TOPICS: dict[Topic, tuple[Role, ...]] = {
    Topic.SPEAKERS: (Role.BASS, Role.FRONT, Role.REAR),
    Topic.POWER: (Role.POWER_KIT,),
    Topic.ALL: (),
}
"""Roles whose first line a topic's sentences stand at; the first that the build has, none for what is about it all."""


def caution_line(caution: ToldCaution, shown: ReportBuild) -> int | None:
    """The place of the line that a caution is about, from 0; `None` where it is about the whole.

    A product that is named comes before a role: a caution about one of two power kits stands at that one.
    """
    skus: dict[str, int] = {}
    roles: dict[str, int] = {}
    for place, told in enumerate(shown.lines):
        roles.setdefault(told.line.role.value, place)
        if told.line.sku:
            skus.setdefault(told.line.sku, place)
    found = [skus[name] for name in _products(caution, shown) if name in skus]
    found += [roles[name] for name in _words(caution) if name in roles]
    return found[0] if found else None


def topic_line(topic: Topic, shown: ReportBuild) -> int | None:
    """The place of the line that the safety sentences of a topic stand at, from 0; `None` where there is none."""
    held = [told.line.role for told in shown.lines]
    return next((held.index(role) for role in TOPICS[topic] if role in held), None)


def _products(caution: ToldCaution, shown: ReportBuild) -> Iterator[str]:
    """SKUs that a caution names, or whose cable it is about."""
    yield from (str(caution.figures[name]) for name in SKUS if name in caution.figures)
    if caution.figures.get("where") == Role.SPEAKER_CABLE and shown.audited:
        yield from (one.cable_sku for one in shown.audited.locations if one.location.value == caution.subject)
    yield caution.subject


def _words(caution: ToldCaution) -> Iterator[str]:
    """Words of a caution that may be a role's name, the closest first."""
    for word in (str(caution.figures.get("where", "")), caution.code, caution.subject):
        yield ABOUT.get(word, word)

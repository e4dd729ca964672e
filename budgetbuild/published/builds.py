"""One published build: its lines, how they are connected, and the figures that were printed with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import (
    SUBWOOFER_DEVICE,
    CableRun,
    Caution,
    Check,
    Drive,
    Driver,
    Feed,
    Mode,
    Part,
    PublishedBuild,
    PublishedLine,
    PublishedStatus,
    Role,
    ScorePart,
    System,
)
from budgetbuild.catalogue.kinds import Location

if TYPE_CHECKING:
    from collections.abc import Sequence

    from budgetbuild.published.fields import Place

MOST_AMPLIFIERS = 100
"""Positions among amplifiers whose list cannot be read, which has been told already, are let pass."""
ROLE_ORDER = {role: place for place, role in enumerate(Role)}


def published_build(place: Place) -> PublishedBuild:
    """A build as it was printed; what does not hold together is noted as a fault."""
    told = len(place.notes.faults)
    score, least = place.of("score"), place.get("least_budget")
    lines, total = published_lines(place.of("lines")), _total(place.of("total"))
    if len(place.notes.faults) == told:
        _hangs_together(place, lines, total)
    return PublishedBuild(
        tier=place.of("tier").text(empty=False),
        brief=place.of("brief").text(empty=False),
        vehicle=place.of("vehicle").text(empty=False),
        budget=place.of("budget").money(),
        cap=place.of("cap").money(),
        status=place.of("status").word(PublishedStatus),
        score=None if score.null else score.points(),
        total=total,
        lines=lines,
        system=None if total is None else published_system(place, lines),
        checks=tuple(map(_check, place.of("checks").items())),
        cautions=tuple(map(_caution, place.of("cautions").items())),
        score_parts=tuple(map(_score_part, place.of("score_parts").items())),
        least_total=None if least is None or least.null else least.money(),
        covered=_covered(place.get("kit")),
        bound=_points(place.get("bound")),
        gap=_points(place.get("gap")),
    )


def _points(place: Place | None) -> int | None:
    return None if place is None or place.null else place.points()


def _covered(kit: Place | None) -> tuple[tuple[str, int], ...]:
    """The vehicles that a system for several fits, each with its total there; none where it was for one."""
    if kit is None or kit.null:
        return ()
    vehicles = [vehicle for vehicle in kit.of("vehicles").items() if vehicle.of("covered").truth()]
    return tuple((vehicle.of("vehicle").text(empty=False), vehicle.of("total").money()) for vehicle in vehicles)


def _total(place: Place) -> int | None:
    return None if place.null else place.money()


def _hangs_together(place: Place, lines: Sequence[PublishedLine], total: int | None) -> None:
    """A build has lines, a total and a score, or none of them; and the lines add up."""
    if place.of("score").null != (total is None):
        place.of("score").refuse("does-not-add-up", "a score where there is a total, null where there is none")
    if sum(line.line_total for line in lines) != (total or 0):
        place.of("total").refuse("does-not-add-up", "the sum of the lines")


def published_lines(place: Place) -> tuple[PublishedLine, ...]:
    """The lines of a list."""
    lines: list[PublishedLine] = []
    seen: set[tuple[Role, str]] = set()
    for one in place.items():
        line = _line(one)
        if line.sku and (line.role, line.sku) in seen:
            one.of("sku").refuse("duplicate-line", "each product once in a role")
        seen.add((line.role, line.sku))
        lines.append(line)
    return tuple(lines)


def _line(place: Place) -> PublishedLine:
    told, sku = len(place.notes.faults), place.of("sku")
    role = place.of("role").word(Role)
    rating = place.get("rating")
    line = PublishedLine(
        role=role,
        sku="" if sku.null else sku.text(empty=False),
        description=place.of("description").text(),
        quantity=place.of("quantity").whole(least=1),
        unit_price=place.of("unit_price").money(),
        line_total=place.of("line_total").money(),
        rating=None if rating is None or rating.null else rating.number(),
    )
    if sku.null != (role is Role.LABOUR):
        sku.refuse("wrong-type", "null for labour, a SKU for any other line")
    if len(place.notes.faults) == told and line.line_total != line.unit_price * line.quantity:
        place.of("line_total").refuse("does-not-add-up", "the unit price times the quantity")
    return line


def published_system(place: Place, lines: Sequence[PublishedLine]) -> System:
    """Parts and connections, in the order that every system has them in."""
    parts = [Part(line.role, line.sku, line.quantity) for line in lines if line.sku]
    told = len(place.notes.faults)
    amplifiers = tuple(sku.text(empty=False) for sku in place.of("amplifiers").items())
    count = len(amplifiers) if len(place.notes.faults) == told else MOST_AMPLIFIERS
    return System(
        parts=tuple(sorted(parts, key=lambda part: (ROLE_ORDER[part.role], part.sku))),
        amplifiers=amplifiers,
        drives=tuple(_drive(drive, count) for drive in place.of("drives").items()),
        feeds=tuple(_feed(feed, count) for feed in place.of("feeds").items()),
        cables=tuple(
            CableRun(run.of("location").word(Location), run.of("sku").text(empty=False))
            for run in place.of("cables").items()
        ),
    )


def _drive(place: Place, amplifiers: int) -> Drive:
    number, mode, ohm = place.of("amplifier"), place.of("mode"), place.of("ohm")
    if not ohm.null and ohm.number() <= 0:
        ohm.refuse("wrong-type", "a load above 0")
    return Drive(
        location=place.of("location").word(Location),
        by=place.of("by").word(Driver),
        amplifier=None if number.null else _position(number, amplifiers, least=0),
        mode=None if mode.null else mode.word(Mode),
        ohm=None if ohm.null else ohm.number(),
        wiring=place.of("wiring").text(),
    )


def _feed(place: Place, amplifiers: int) -> Feed:
    devices = (_position(device, amplifiers, least=SUBWOOFER_DEVICE) for device in place.of("devices").items())
    return Feed(place.of("sku").text(empty=False), tuple(devices))


def _position(place: Place, amplifiers: int, least: int) -> int:
    """The position of an amplifier in the build's list of them."""
    number = place.whole(least)
    if number >= amplifiers:
        place.refuse("no-such-amplifier", f"a position in amplifiers, which has {amplifiers}, counted from 0")
    return number


def _check(place: Place) -> Check:
    return Check(
        rule=place.of("rule").text(),
        subject=place.of("subject").text(),
        figure=place.of("figure").figure(),
        limit=place.of("limit").text(),
        unit=place.of("unit").text(),
        ok=place.of("ok").truth(),
        source=place.of("source").text(),
    )


def _caution(place: Place) -> Caution:
    figures = {name: figure.figure() for name, figure in place.of("figures").entries()}
    return Caution(place.of("code").text(), place.of("subject").text(), figures)


def _score_part(place: Place) -> ScorePart:
    return ScorePart(
        part=place.of("part").text(),
        subject=place.of("subject").text(),
        points=place.of("points").points(),
        most=place.of("most").points(),
    )

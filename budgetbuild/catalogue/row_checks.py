"""What must hold within one row beyond each cell's own column: a cell that another cell of the row calls for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.catalogue.gauge import awg_area
from budgetbuild.catalogue.kinds import HeadUnitMode, KitFor, SubwooferType, Want
from budgetbuild.catalogue.product_sheets import PRODUCT_SHEETS
from budgetbuild.catalogue.web import is_web_address
from budgetbuild.faults import Fault, Severity

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from budgetbuild.catalogue.rows import Row

GAUGE_TOLERANCE = 0.05
"""By how much an area and a wire gauge of the same cable may differ: makers round."""
FULL_RANGE_RATINGS = ("w_at_4", "w_at_2")
BRIDGED_LOAD = 4.0
"""Load in ohm of the bridged rating that the sheet has a column for."""
SUB_RATINGS = ("sub_w_at_4", "sub_w_at_2", "sub_w_at_1")


def _needed(row: Row, field: str, why: str) -> Iterator[Fault]:
    """A cell that another cell of the row calls for."""
    if not row.filled(field):
        header = row.table.sheet.column(field).header
        yield row.fault(field, "missing-value", f"{header}: {why}", "fill it in")


def check_price_range(row: Row) -> Iterator[Fault]:
    """The price that a product may rise to is not below its price; told where the value stands that came last."""
    price, high = row.get("price"), row.get("price_high")
    if price is None or high is None or high >= price:
        return
    mend = "correct one of the two, or clear Price high where the price is certain"
    if "price" in row.told and "price_high" not in row.told:
        expected = f"Price: at most the Price high, {_amount(high)} at {row.at('price_high')}"
        yield Fault(row.at("price"), "range-reversed", _amount(price), expected, mend)
    else:
        expected = f"Price high: at least the Price, {_amount(price)} at {row.at('price')}"
        yield Fault(row.at("price_high"), "range-reversed", _amount(high), expected, mend)


def _amount(cents: int) -> str:
    """Money in a message."""
    return f"{cents // 100}.{cents % 100:02d}"


def check_link(row: Row) -> Iterator[Fault]:
    """What stands under `Link` is an address that a page may lead to."""
    link = row.get("link")
    if link and not is_web_address(link):
        yield row.fault(
            "link",
            "no-web-address",
            "Link: an address that begins with https:// or http://, without spaces or anybody's name in it",
            "the product is shown without a link; copy the address from your browser, or clear the cell",
            Severity.WARNING,
        )


def check_subwoofer_load(row: Row) -> Iterator[Fault]:
    """An enclosure and a driver state their load."""
    if row.get("type") in {SubwooferType.ENCLOSURE, SubwooferType.DRIVER}:
        yield from _needed(row, "ohm", f"the load of a subwoofer of type {row.get('type')}")


def check_driver(row: Row) -> Iterator[Fault]:
    """A driver states its size; coils that are not stated are one coil, and said so."""
    if row.get("type") is not SubwooferType.DRIVER:
        return
    yield from _needed(row, "size_mm", "the size of a driver, to match it with boxes")
    if not row.filled("coils"):
        yield row.fault(
            "coils",
            "coils-assumed",
            "Coils: how many voice coils the driver has",
            "read as 1; fill it in, for it decides the load",
            Severity.NOTICE,
        )


def check_box_range(row: Row) -> Iterator[Fault]:
    """The least box volume of a driver is not above the greatest."""
    least, most = row.get("box_litres_min"), row.get("box_litres_max")
    if least is not None and most is not None and least > most:
        yield row.fault(
            "box_litres_min", "range-reversed", f"Box litres min: at most Box litres max, {most:g}", "exchange the two"
        )


def check_amplifier_channels(row: Row) -> Iterator[Fault]:
    """Full-range channels come in pairs."""
    channels = row.get("channels")
    if channels is not None and channels % 2:
        yield row.fault(
            "channels",
            "odd-channels",
            "Channels: 0, 2, 4 or 6 full-range channels",
            "a mono amplifier has 0 and Sub W columns; a five-channel one has 4 and Sub W columns",
        )


def check_amplifier_ratings(row: Row) -> Iterator[Fault]:
    """Full-range channels have a rating, a rating has channels, and an amplifier has some rating at all."""
    has_channels = bool(row.get("channels")) or "channels" in row.spoilt
    full = any(row.filled(field) for field in FULL_RANGE_RATINGS)
    if row.get("channels") and not full:
        yield row.fault(
            "w_at_4",
            "missing-value",
            "W at 4 ohm or W at 2 ohm: RMS power of its full-range channels",
            "fill in one of them",
        )
    if full and not has_channels:
        yield row.fault(
            "channels",
            "missing-value",
            "Channels: how many full-range channels have this power",
            "write 2, 4 or 6; or move the power to the Sub W columns of a mono amplifier",
        )
    if not full and not has_channels and not any(row.filled(field) for field in SUB_RATINGS):
        yield row.fault(
            "sub_w_at_4",
            "missing-value",
            "a rated power: W at 4 or 2 ohm, or Sub W at 4, 2 or 1 ohm",
            "fill in the RMS ratings",
        )


def check_amplifier_current(row: Row) -> Iterator[Fault]:
    """An amplifier that states no fuse states its class."""
    if not row.filled("fuse_a"):
        yield from _needed(row, "amplifier_class", "AB or D, to reckon its current where Fuse A is blank")


def check_amplifier_bridge(row: Row) -> Iterator[Fault]:
    """A bridged rating at 4 ohm is worth something only where the amplifier may be bridged at 4 ohm."""
    stated = row.get("min_bridged_ohm")
    if not row.filled("bridged_w_at_4") or "min_bridged_ohm" in row.spoilt:
        return
    if stated is None and _least_load(row) <= BRIDGED_LOAD / 2:
        return
    if stated is not None and stated <= BRIDGED_LOAD:
        return
    yield row.fault(
        "min_bridged_ohm",
        "never-bridged",
        f"Min bridged ohm: {BRIDGED_LOAD:g} or less, as Bridged W at 4 ohm says",
        f"state Min bridged ohm, or it is never used bridged at {BRIDGED_LOAD:g} ohm",
        Severity.NOTICE,
    )


def _least_load(row: Row) -> float:
    """Lowest load of one full-range channel, as stated or as rated; 0 where its cell cannot be read."""
    if {"min_ohm", "w_at_2"} & row.spoilt:
        return 0
    return float(row.get("min_ohm") or (2 if row.filled("w_at_2") else 4))


def check_gauge(row: Row) -> Iterator[Fault]:
    """A cable states its area or its wire gauge; where it states both they agree."""
    area, awg = row.get("mm2"), row.get("awg")
    if not row.filled("mm2") and not row.filled("awg") and {"mm2", "awg"} & row.table.columns.keys():
        field = "mm2" if "mm2" in row.table.columns else "awg"
        yield row.fault(field, "missing-value", "mm2 or AWG: the area of the conductor", "fill in one of them")
    if area is not None and awg is not None and abs(area / awg_area(awg) - 1) > GAUGE_TOLERANCE:
        yield row.fault(
            "mm2",
            "gauges-disagree",
            f"mm2: {awg_area(awg):.3g}, which is what its AWG says",
            "correct one of the two, or clear the one that is not printed on the cable",
        )


def check_fitting_kit(row: Row) -> Iterator[Fault]:
    """A kit names vehicles; a speaker adapter says where and for which size."""
    if row.get("vehicles") == ():
        yield row.fault("vehicles", "missing-value", "Vehicles: names separated by ;, or any", "fill it in")
    if row.get("fits") is KitFor.SPEAKER:
        yield from _needed(row, "location", "front or rear, for a speaker adapter")
        yield from _needed(row, "size_mm", "size of the speaker that the adapter takes")


def check_own_unit(row: Row) -> Iterator[Fault]:
    """A brief that keeps the customer's own unit says what that unit has."""
    if row.get("head_unit") is not HeadUnitMode.KEEP_OWN:
        return
    yield from _needed(row, "own_preout_pairs", "how many the customer's unit has, 0 where it has none")
    if not row.filled("own_internal_w"):
        yield row.fault(
            "own_internal_w",
            "internal-assumed",
            "Own internal W: RMS per channel of the customer's unit",
            "read as 0, which cannot drive speakers; fill it in",
            Severity.NOTICE,
        )


def check_wants_something(row: Row) -> Iterator[Fault]:
    """A brief that keeps the head unit wants at least one part."""
    keeps = row.get("head_unit") in {HeadUnitMode.KEEP_FACTORY, HeadUnitMode.KEEP_OWN}
    if keeps and all(row.get(field) is Want.NONE for field in ("front", "rear", "bass", "deadening")):
        yield row.fault(
            "front",
            "wants-nothing",
            "a part that the brief requires, or leaves optional",
            "its builds will be empty; say which parts the customer wants",
            Severity.WARNING,
        )


ROW_CHECKS: dict[str, tuple[Callable[[Row], Iterator[Fault]], ...]] = {
    "subwoofers": (check_subwoofer_load, check_driver, check_box_range),
    "amplifiers": (check_amplifier_channels, check_amplifier_ratings, check_amplifier_current, check_amplifier_bridge),
    "power_kits": (check_gauge,),
    "speaker_cables": (check_gauge,),
    "fitting_kits": (check_fitting_kit,),
    "briefs": (check_own_unit, check_wants_something),
}
"""Checks of the rows of each sheet, by the field that the sheet fills."""
ROW_CHECKS |= {
    sheet.field: (check_price_range, check_link, *ROW_CHECKS.get(sheet.field, ())) for sheet in PRODUCT_SHEETS
}


def check_row(row: Row) -> None:
    """Note everything that is wrong within a row."""
    for check in ROW_CHECKS.get(row.table.sheet.field, ()):
        row.faults.extend(check(row))

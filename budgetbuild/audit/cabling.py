"""Speaker cable: one product to each externally driven location, thick enough, in as many whole units as it takes."""

from __future__ import annotations

from budgetbuild.audit.case import CONTRACT, Case
from budgetbuild.build import Drive, Driver, Role
from budgetbuild.catalogue.items import SpeakerCable
from budgetbuild.catalogue.kinds import Conductor, Location
from budgetbuild.trade import cable, power
from budgetbuild.trade.figures import at_most

QUANTITY_SOURCE = "both ways to each speaker, 10 % to spare (common practice)"


def check_cables(case: Case) -> None:
    """Check that cable goes where an external amplifier drives, nowhere else, and is bought as it is needed."""
    served: dict[str, list[Location]] = {}
    for run in case.system.cables:
        served.setdefault(run.sku, []).append(run.location)
    for location in Location:
        _one_run(case, location, sum(run.location is location for run in case.system.cables))
    bought = case.bought(SpeakerCable, Role.SPEAKER_CABLE)
    for product, quantity in bought:
        _quantity(case, product, quantity, served.get(product.sku, []))
    missing = sorted(set(served) - {product.sku for product, _ in bought})
    if missing:
        case.notes.check("Speaker cable bought", "", ", ".join(missing), "on the list", ok=False, source=CONTRACT)


def _one_run(case: Case, location: Location, count: int) -> None:
    drive = case.drive(location)
    if drive is None and not count:
        return
    wanted = int(drive is not None and drive.by is Driver.AMPLIFIER)
    case.notes.check("Speaker cables", str(location), count, f"exactly {wanted}", ok=count == wanted, source=CONTRACT)


def _quantity(case: Case, product: SpeakerCable, quantity: int, served: list[Location]) -> None:
    """Whole units for all that the cable serves; more only where the brief asks for it by name."""
    needed, asked = cable.units_needed(product, served, case.vehicle, case.limits), case.asked(product)
    case.notes.check(
        "Speaker cable in whole units",
        product.sku,
        quantity,
        f"{'at least' if asked else 'exactly'} {needed}",
        ok=quantity == needed or (asked and quantity > needed),
        unit=f"x {product.metres_per_unit:g} m",
        source=QUANTITY_SOURCE,
    )


def cable_of(case: Case, drive: Drive, ohm: float, watt: float) -> tuple[str, float | None]:
    """Check the speaker cable of a location; returns its SKU and metres, `None` where it keeps the factory cable."""
    run = next((run for run in case.system.cables if run.location is drive.location), None)
    if run is None or drive.by is not Driver.AMPLIFIER:
        return "", None
    product = case.products.get(run.sku)
    if not isinstance(product, SpeakerCable):
        return run.sku, None  # `check_cables` refuses it: no such cable is bought
    run_m = cable.run_m(drive.location, case.vehicle, case.limits)
    case.notes.check(
        "Speaker cable's loop resistance",
        str(drive.location),
        cable.loop_resistance(product, run_m),
        f"at most {case.limits.cable_loss_share * ohm:.4g} ({case.limits.cable_loss_share:.0%} of {ohm:g} ohm)",
        ok=cable.cable_allowed(product, drive.location, ohm, case.vehicle, case.limits),
        unit="ohm",
        source=f"IEC 60028, ASTM B258; {power.gauge(product)}, run {run_m:g} m; share: common practice",
    )
    if product.conductor is Conductor.CCA and not case.limits.cca_allowed:
        case.notes.caution("cca-speaker-cable", product.sku, cable=product.sku)
    _warm(case, drive.location, product, cable.full_current(watt, ohm))
    if _run_unknown(case, drive.location):
        what = f"run to the {drive.location}, taken as {run_m:g} m"
        case.notes.caution("measure-first", str(drive.location), what=what, where="speaker cable")
    return run.sku, cable.tenth_mm(drive.location, case.vehicle, case.limits) / cable.TENTH_MM_PER_M


def _warm(case: Case, location: Location, product: SpeakerCable, current_a: float) -> None:
    """Caution a cable whose loss is in order but which full power, played for long, would overload."""
    ampacity_a = power.ampacity(power.area(product), product.conductor)
    if not at_most(current_a, ampacity_a):
        case.notes.caution(
            "thin-speaker-cable", str(location), cable=product.sku, current_a=current_a, ampacity_a=ampacity_a
        )


def _run_unknown(case: Case, location: Location) -> bool:
    vehicle = case.vehicle
    known = {
        Location.FRONT: vehicle.front_run_m,
        Location.REAR: vehicle.rear_run_m,
        Location.BASS: vehicle.bass_run_m,
    }
    return known[location] is None

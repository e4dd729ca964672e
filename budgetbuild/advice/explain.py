"""Why a brief has no build: what stands in the way, what it costs at least, and which requirement could give way."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from budgetbuild.advice.frontier import least_total
from budgetbuild.build import Caution, NoBuild, Relief
from budgetbuild.catalogue.kinds import HeadUnitMode, Location, OneBrand, Opening, Want, Work
from budgetbuild.program.candidates import Candidates, candidates, carries
from budgetbuild.program.offer import Offer
from budgetbuild.program.sources import aerials, converter_kits, fitting_kits, fitting_units
from budgetbuild.program.speakers import adapters, location_kits, sounders, want
from budgetbuild.trade import fit, signal

if TYPE_CHECKING:
    from collections.abc import Iterator

    from budgetbuild.catalogue.shop import Brief, Catalogue


def explain(offer: Offer, cap: int) -> NoBuild:
    """Say why no build is possible within a cap (cents).

    The cheapest complete system says what the brief costs at least; each requirement is then taken away on its own to
    see whether a system becomes possible or cheaper, and at what price.
    """
    least = least_total(offer)
    obstacles = () if least is not None else tuple(obstacles_of(candidates(offer)))
    return NoBuild(least, obstacles, tuple(_reliefs(offer, cap, least)))


def _reliefs(offer: Offer, cap: int, least: int | None) -> Iterator[Relief]:
    cheaper = None if least is None else least - 1
    for code, subject, brief in _lighter(offer.brief):
        total = least_total(Offer(_priced(offer.catalogue, brief), brief, offer.vehicle), cheaper)
        if total is not None:
            yield Relief(code, subject, total, total <= cap)


def _priced(catalogue: Catalogue, brief: Brief) -> Catalogue:
    """The catalogue without what a lighter brief may use but the shop lists no hours to fit: it has no price."""
    hours = catalogue.labour_hours
    if not brief.fitted:
        return catalogue
    return replace(
        catalogue,
        head_units=catalogue.head_units if Work.HEAD_UNIT in hours else (),
        converters=catalogue.converters if Work.CONVERTER in hours else (),
        amplifiers=catalogue.amplifiers if Work.AMPLIFIER in hours else (),
    )


def _lighter(brief: Brief) -> Iterator[tuple[str, str, Brief]]:
    """The brief with one requirement taken away, each in turn."""
    yield from _without_a_role(brief)
    if brief.amplifier is not Want.OPTIONAL:
        yield "amplifier", str(brief.amplifier), replace(brief, amplifier=Want.OPTIONAL)
    if brief.one_brand is OneBrand.MUST:
        yield "one-brand", "", replace(brief, one_brand=OneBrand.NO)
    for term in brief.must_include:
        yield "must-include", term, replace(brief, must_include=tuple(t for t in brief.must_include if t != term))
    for term in brief.leave_out:
        yield "leave-out", term, replace(brief, leave_out=tuple(t for t in brief.leave_out if t != term))
    if brief.fitted:
        yield "fitted", "", replace(brief, fitted=False)
    other = HeadUnitMode.KEEP_FACTORY if brief.head_unit is HeadUnitMode.REPLACE else HeadUnitMode.REPLACE
    yield "head-unit", str(other), replace(brief, head_unit=other)


def _without_a_role(brief: Brief) -> Iterator[tuple[str, str, Brief]]:
    if brief.front is Want.REQUIRED:
        yield "front", "", replace(brief, front=Want.OPTIONAL)
    if brief.rear is Want.REQUIRED:
        yield "rear", "", replace(brief, rear=Want.OPTIONAL)
    if brief.bass is Want.REQUIRED:
        yield "bass", "", replace(brief, bass=Want.OPTIONAL)
    if brief.deadening is Want.REQUIRED:
        yield "deadening", "", replace(brief, deadening=Want.OPTIONAL)


def obstacles_of(found: Candidates) -> list[Caution]:
    """What stands in the way of any system at all, before money is counted; never empty."""
    offer = found.offer
    noted = [*_source_obstacles(found), *_location_obstacles(found), *_wiring_obstacles(found)]
    if offer.brief.deadening is Want.REQUIRED and not found.deadening:
        noted.append(Caution("no-deadening", ""))
    products = offer.offered(offer.catalogue.products())
    present = {i for product in products for i in offer.terms_met(product)}
    noted += [
        Caution("must-include-impossible", term, {"term": term})
        for i, term in enumerate(offer.brief.must_include)
        if i not in present
    ]
    return noted or [Caution("other", "")]


def _source_obstacles(found: Candidates) -> Iterator[Caution]:
    offer = found.offer
    if offer.brief.head_unit is HeadUnitMode.REPLACE and not found.sources:
        units, name = fitting_units(offer), offer.vehicle.name
        if offer.vehicle.opening is Opening.NONE or not units:
            yield Caution("no-source-fits", name, {"vehicle": name})
        elif not fitting_kits(offer):
            yield Caution("no-fitting-kit", name, {"vehicle": name})
        elif not aerials(offer):
            yield Caution("no-aerial", name, {"use": str(fit.aerial_use(offer.vehicle))})
    if offer.brief.head_unit is HeadUnitMode.KEEP_FACTORY and _needs_pairs(offer.brief) and not found.sources:
        if converter_kits(offer) == []:
            yield Caution("converter-kit-barred", offer.vehicle.name, {"vehicle": offer.vehicle.name})
        else:
            yield Caution("no-converter", "")


def _needs_pairs(brief: Brief) -> bool:
    """Whether something surely takes a stereo pair: bass always does, front and rear on an external amplifier do."""
    places = (brief.front, brief.rear)
    return brief.bass is Want.REQUIRED or (brief.amplifier is Want.REQUIRED and Want.REQUIRED in places)


def _location_obstacles(found: Candidates) -> Iterator[Caution]:
    offer = found.offer
    for location in Location:
        if want(offer, location) is Want.REQUIRED and not found.sounders[location]:
            yield Caution(
                "nothing-for-location", str(location), {"location": str(location), "reason": _reason(offer, location)}
            )


def _reason(offer: Offer, location: Location) -> str:
    """Why nothing on offer goes at a location, counted by reason."""
    if sounders(offer, location):
        return _no_power(offer, location)
    if location is Location.BASS:
        return "no enclosure, powered subwoofer or boxed driver on offer goes into the boot"
    reasons: Counter[str] = Counter()
    listed = location_kits(offer, location)
    for speaker in offer.offered(offer.catalogue.speakers):
        fitted = fit.speaker_fits(speaker, offer.vehicle, location)
        if not fitted.allowed:
            reasons["too deep" if "depth" in fitted.reason else "no tweeter place"] += 1
        elif not adapters(offer, speaker, location, listed):
            reasons["another size without a listed adapter"] += 1
    if not reasons:
        return "no speakers on offer"
    return ", ".join(f"{count} {reason}" for reason, count in reasons.most_common())


def _can_be_fed(found: Candidates) -> bool:
    """Whether any power kit that is long enough carries the current of any device."""
    currents = [use.current_a for use in found.arrangements]
    currents += [sounder.current_a for sounder in found.sounders[Location.BASS] if sounder.load is None]
    return bool(found.kits) and (not currents or any(carries(kit, a) for kit in found.kits for a in currents))


def _no_power(offer: Offer, location: Location) -> str:
    if offer.brief.amplifier is Want.NONE:
        inside = "" if location is Location.BASS else ", and none in the dash gives the right power"
        return f"the brief allows no external amplifier{inside}"
    inside = "" if location is Location.BASS else " or unit in the dash"
    return f"no amplifier{inside} gives what fits the right power"


def _wiring_obstacles(found: Candidates) -> Iterator[Caution]:
    offer = found.offer
    if not _needs_pairs(offer.brief):
        return
    if offer.brief.amplifier is Want.REQUIRED and not found.arrangements:
        yield Caution("no-amplifier", "")
    if not _can_be_fed(found):
        yield Caution("no-power-kit", "")
    if not any(leads.pairs for leads in found.leads):
        run = signal.run_m(offer.brief.head_unit, offer.vehicle, offer.catalogue.settings.limits)
        yield Caution("no-lead", "", {"run_m": run})
    if found.arrangements:
        for location in Location:
            served = any(location in cable.locations for cable in found.cables)
            if want(offer, location) is Want.REQUIRED and not served and found.sounders[location]:
                yield Caution("no-cable", str(location), {"location": str(location)})

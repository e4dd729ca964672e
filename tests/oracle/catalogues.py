"""Small random catalogues with a brief, a vehicle and a cap: one seed, one instance, on every machine.

A profile turns one special case up; without one, the seed picks it.
"""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction

from budgetbuild.catalogue.kinds import HeadUnitMode, OneBrand, Opening, Want, Work
from budgetbuild.catalogue.limits import Limits
from budgetbuild.catalogue.shop import Brief, Catalogue, Settings, Vehicle, Weights
from tests.oracle.enumerate import cheapest
from tests.oracle.knobs import PROFILES, Knobs
from tests.oracle.products import NAME, Maker

Instance = tuple[Catalogue, Brief, Vehicle, int]
POSSIBLE = 0.8
"""Share of the seeds that draw again until some system is complete, eight times at most."""


def brief_for(maker: Maker, catalogue: Catalogue) -> Brief:
    rng, knobs = maker.rng, maker.knobs
    front, rear, bass, amplifier, deadening = (rng.choices(tuple(Want), weights)[0] for weights in knobs.wants)
    brief = Brief(
        name="brief",
        vehicle=NAME,
        head_unit=HeadUnitMode(rng.choice(knobs.modes)),
        own_preout_pairs=rng.choice((0, 1, 2, 3)),
        own_internal_w=rng.choice((0.0, 15.0, 20.0)),
        front=front,
        rear=rear,
        bass=bass,
        amplifier=amplifier,
        deadening=deadening,
        fitted=rng.random() < knobs.fitted,
        one_brand=OneBrand(rng.choice(knobs.one_brand)),
    )
    must, out = _terms(maker, catalogue, brief, knobs.must), _terms(maker, catalogue, brief, knobs.leave_out)
    return replace(brief, must_include=must, leave_out=out)


def _terms(maker: Maker, catalogue: Catalogue, brief: Brief, share: float) -> tuple[str, ...]:
    """One or two SKUs or brands, in another case now and then."""
    rng = maker.rng
    barred = () if brief.deadening is not Want.NONE else catalogue.deadening
    products = [p for p in catalogue.products() if p not in barred]
    if rng.random() >= share:
        return ()
    some = rng.sample(products, rng.choice((1, 1, 2)))
    words = (p.brand if rng.random() < 0.25 else p.sku for p in some)
    return tuple(word.upper() if rng.random() < 0.3 else word for word in words)


def catalogue_of(maker: Maker) -> Catalogue:
    """A whole small catalogue; every sheet filled, some products without use."""
    rng = maker.rng
    sizes = {name: rng.choice(range(most - 1, most + 1)) for name, most in maker.knobs.counts.items()}
    hours = {work: Fraction(rng.choice((1, 2, 3, 5, 7)), rng.choice((2, 4, 3))) for work in Work}
    return Catalogue(
        head_units=maker.some(sizes["head_units"], maker.head_unit),
        converters=maker.some(2, maker.converter),
        speakers=maker.some(sizes["speakers"], maker.speaker),
        subwoofers=maker.some(sizes["subwoofers"], maker.subwoofer),
        boxes=maker.some(sizes["boxes"], maker.box),
        amplifiers=maker.some(sizes["amplifiers"], maker.amplifier),
        power_kits=maker.some(sizes["power_kits"], maker.power_kit),
        signal_leads=maker.some(sizes["signal_leads"], maker.lead),
        speaker_cables=maker.some(sizes["speaker_cables"], maker.cable),
        aerials=maker.some(3, maker.aerial),
        fitting_kits=maker.fitting_kits(),
        deadening=maker.some(2, maker.sheet),
        labour_hours=hours,
        settings=Settings(labour_rate=rng.choice((5500, 6225, 7333)), limits=_limits(maker)),
        weights=_weights(maker),
    )


def _limits(maker: Maker) -> Limits:
    """The usual limits, or a shop's own."""
    rng = maker.rng
    if rng.random() >= maker.knobs.house_rules:
        return Limits()
    return Limits(
        ratio_min=rng.choice((0.2, 0.25, 0.4)),
        ratio_max=rng.choice((1.4, 1.8)),
        bass_ratio_min=rng.choice((0.2, 0.6)),
        bass_ratio_max=rng.choice((1.3, 1.9)),
        ratio_full_match=rng.choice((0.7, 0.85)),
        ratio_full_match_to=rng.choice((1.1, 1.25, 1.4)),
        factory_internal_w=rng.choice((12.5, 18.0)),
        max_amplifiers=rng.choice((1, 2)),
        earth_lead_m=rng.choice((0.3, 0.8)),
        conductor_c=rng.choice((50.0, 80.0)),
        allowed_drop_v=rng.choice((0.3, 0.6)),
        cca_allowed=rng.random() < 0.5,
        efficiency_d=0.85,
        efficiency_ab=0.5,
        cable_loss_share=rng.choice((0.03, 0.08)),
        cable_spare_share=rng.choice((0.0, 0.15)),
        boot_spare_mm=rng.choice((0.0, 12.5)),
        door_m2=1.9,
        one_brand_points=rng.choice((2.0, 4.5)),
    )


def _weights(maker: Maker) -> Weights:
    """The usual points, or a shop's own."""
    rng = maker.rng
    if rng.random() >= maker.knobs.house_rules:
        return Weights()
    return Weights(source=18.5, front=rng.choice((20.0, 27.25)), rear=9.0, bass=17.0, amplification=11.0, match=13.0)


def random_catalogue(seed: int, profile: str | None = None) -> Instance:
    """A small instance: catalogue, brief, vehicle, cap in cents.

    Args:
        seed: Any whole number; equal seeds give equal instances.
        profile: One of `PROFILES`, `None` = by the seed.

    Returns:
        The instance. The cap lies just below, at or above the price of the cheapest complete system where there is one.
    """
    names = tuple(PROFILES)
    name = names[seed % len(names)] if profile is None else profile
    rng = random.Random(f"{name}/{seed}")  # noqa: S311 - test data, not secrets
    tries = 8 if name != "impossible" and rng.random() < POSSIBLE else 1
    drawn = drawn_by(rng, name, PROFILES[name])
    while (least := cheapest(*drawn)) is None and tries > 1:
        drawn, tries = drawn_by(rng, name, PROFILES[name]), tries - 1
    return *drawn, _cap(rng, least)


def large_catalogue(seed: int, scale: int, profile: str = "plain") -> Instance:
    """An instance of about 40 products x `scale`, too many for brute force; the cap is one of a shop's three tiers."""
    knobs = PROFILES[profile]
    counts = {name: count * scale for name, count in knobs.counts.items()}
    rng = random.Random(f"{profile}/{seed}/{scale}")  # noqa: S311 - test data, not secrets
    drawn = drawn_by(rng, profile, replace(knobs, counts=counts))
    return *drawn, rng.choice((65_650, 131_300, 262_600))


def drawn_by(rng: random.Random, profile: str, knobs: Knobs) -> tuple[Catalogue, Brief, Vehicle]:
    """A catalogue with a brief and its vehicle, as the profile has it."""
    maker = Maker(rng, knobs)
    catalogue = catalogue_of(maker)
    vehicle = maker.vehicle()
    brief = brief_for(maker, catalogue)
    if profile == "impossible":
        catalogue, vehicle, brief = _spoilt(rng, catalogue, vehicle, brief)
    return replace(catalogue, vehicles=(vehicle,), briefs=(brief,)), brief, vehicle


def _spoilt(
    rng: random.Random, catalogue: Catalogue, vehicle: Vehicle, brief: Brief
) -> tuple[Catalogue, Vehicle, Brief]:
    spoil = rng.randrange(5)
    if spoil == 0:
        return catalogue, replace(vehicle, opening=Opening.NONE), replace(brief, head_unit=HeadUnitMode.REPLACE)
    if spoil == 1:
        return catalogue, replace(vehicle, boot_height_mm=100.0), replace(brief, bass=Want.REQUIRED)
    if spoil == 2:
        return replace(catalogue, signal_leads=()), vehicle, replace(brief, amplifier=Want.REQUIRED)
    if spoil == 3:
        return replace(catalogue, power_kits=()), vehicle, replace(brief, bass=Want.REQUIRED)
    return catalogue, vehicle, replace(brief, amplifier=Want.NONE, front=Want.REQUIRED, own_internal_w=0.0)


def _cap(rng: random.Random, least: int | None) -> int:
    if least is None:
        return rng.randrange(30_000, 200_000)
    draw = rng.random()
    if draw < 0.08:
        return least
    if draw < 0.2:
        return max(0, least - rng.choice((1, 100, 5_000)))
    if draw < 0.5:
        return int(least * rng.uniform(1, 1.3))
    return int(least * rng.uniform(1.2, 2.5)) if draw < 0.9 else least * 10

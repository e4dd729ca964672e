"""Sentences of version alerts: which version to order exactly, and what each other one would do in the same build."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Difference, Driver, Mode, Role, Sister, VersionAlert
from budgetbuild.catalogue.kinds import Location
from budgetbuild.report.words.format import capital, counted, label
from budgetbuild.report.words.told_apart import ordered_as, version_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.catalogue.items import Product
    from budgetbuild.report.words.notation import Notation
    from budgetbuild.report.words.voice import Voice

GIVERS = frozenset({Role.AMPLIFIER, Role.HEAD_UNIT})
"""Roles whose products drive others; those of the other roles are driven, or carry."""

DRIVEN_BY = {
    Driver.AMPLIFIER.value: "the amplifier",
    Driver.HEAD_UNIT.value: "the head unit",
    Driver.FACTORY_UNIT.value: "the factory unit",
    Driver.OWN_UNIT.value: "the head unit kept",
}
UNITS = {"w": "W", "a": "A", "m": "m", "mm": "mm", "db": "dB", "litres": "litres", "ohm": "ohm"}
"""Unit of a figure by the ending of its name."""
COUNTED = {"pairs": "pair", "channels": "channel", "devices": "device", "drivers": "cut-out"}
"""What is counted, by the ending of a figure's name."""
DIGITS = {"w": 1, "a": 1, "db": 1, "loop_ohm": 3, "most_ohm": 3}
"""Decimals of a figure where they are not two, by its name or the ending of it."""
WORDS = {
    "screen-mount": "a screen-mount aerial",
    "factory adapter": "an adapter to its factory aerial",
    "enclosure": "a loaded enclosure",
    "driver": "a driver without a box",
    "powered": "a powered subwoofer",
}
"""How the words of the catalogue are said within a sentence; others as they are."""
MODES = {Mode.BRIDGED.value: " when bridged"}
AT = {Role.FRONT: "at-front", Role.REAR: "at-rear"}
POWERS = frozenset({"power", "same-power", "power-too-low", "power-too-high"})
SCORED = frozenset({"power", "rms"})
"""Differences that say more than the points they cost."""


def alert_text(alert: VersionAlert, products: Mapping[str, Product], voice: Voice) -> str:
    """Which version to order, and a clause or sentence on every other one.

    Raises:
        ValueError: A difference has no words, or lacks a figure that they quote.
    """
    product = products[alert.sku]
    version = version_of(product, [products[sister.sku] for sister in alert.sisters], voice.notation)
    first, *rest = [_sister(alert, sister, products, voice) for sister in alert.sisters]
    place = voice.say("versions", AT[alert.role]) if alert.role in AT else ""
    order = voice.say("versions", "order", product=ordered_as(product, version), place=place, first=first)
    return " ".join([order, *(capital(sentence) for sentence in rest)])


def _sister(alert: VersionAlert, sister: Sister, products: Mapping[str, Product], voice: Voice) -> str:
    """One sentence about one sister, all its wirings and differences in turn."""
    clauses: list[str] = []
    wired = ""
    for difference in _worth_telling(sister, voice.notation):
        wiring = _wiring(difference, voice)
        new = wiring if wiring != wired else ""
        pronoun = "it " if clauses else ""
        between = f"{new} {pronoun}" if clauses else f"{new}, "
        clauses.append(f"{between if new else pronoun}{_phrase(alert.role, difference, voice)}")
        wired = wiring or wired
    for clause in _score_and_price(sister, voice):
        clauses.append(f"it {clause}" if clauses else clause)
    comma = ", " if clauses[0].startswith("with ") else " "
    return f"{_named(sister, products[sister.sku], products[alert.sku], voice)}{comma}{'; '.join(clauses)}."


def _named(sister: Sister, product: Product, chosen: Product, voice: Voice) -> str:
    """The sister by what tells it from the chosen product, and by its SKU."""
    sku = label(sister.sku) if sister.offered else voice.say("versions", "not-on-offer", sku=label(sister.sku))
    version = version_of(product, [chosen], voice.notation)
    if version:
        return voice.say("versions", "version", version=version, sku=sku)
    name = "" if product.name in (chosen.name, product.sku) else f"{label(product.name)} "
    return voice.say("versions", "other-version", name=name, sku=sku)


def _worth_telling(sister: Sister, notation: Notation) -> list[Difference]:
    """What refuses it, where anything does; else what shows in the figures as they are written."""
    if sister.forbidden:
        return [difference for difference in sister.differences if difference.forbids]
    return [difference for difference in sister.differences if _shows(difference, notation)]


def _shows(difference: Difference, notation: Notation) -> bool:
    """Whether the figures before and after differ once they are written down."""
    figures = difference.figures
    return all(
        _said(name, value, notation) != _said(name, figures[name.replace("before", "after", 1)], notation)
        for name, value in figures.items()
        if name.startswith("before") and name.replace("before", "after", 1) in figures
    )


def _score_and_price(sister: Sister, voice: Voice) -> list[str]:
    """What the points and the price say; nothing about what may not be built in."""
    if sister.forbidden:
        return []
    told = []
    shown = _worth_telling(sister, voice.notation)
    gain, dearer = sister.score_difference or 0, sister.price_difference
    if gain and not any(difference.code in SCORED for difference in shown):
        points = voice.notation.points(abs(gain))
        told.append(voice.say("versions", "points-more" if gain > 0 else "points-less", points=points))
    if not told and not shown:
        told.append(voice.say("versions", "serves" if dearer else "serves-same-price"))
    if dearer:
        amount = voice.notation.money(abs(dearer))
        told.append(voice.say("versions", "dearer" if dearer > 0 else "cheaper", amount=amount))
    return told


def _wiring(difference: Difference, voice: Voice) -> str:
    """How a sister would be wired, with the load where the rest of the sentence does not say it."""
    wiring = str(difference.figures.get("wiring", "")).replace(", ", " and ")
    if not wiring:
        return ""
    if difference.code in POWERS:
        load = _said("ohm", difference.figures["ohm"], voice.notation)
        return voice.say("versions", "wired-load", wiring=wiring, load=load)
    return voice.say("versions", "wired", wiring=wiring)


def _phrase(role: Role, difference: Difference, voice: Voice) -> str:
    """The words of one difference."""
    own = "version-gives" if role in GIVERS else "version-carries" if role is Role.POWER_KIT else "version"
    topic = own if voice.has(own, difference.code) else "version"
    words = {name: _said(name, value, voice.notation) for name, value in difference.figures.items()}
    words |= {"subject": label(difference.subject), **_each(difference.subject)}
    words["by"] = DRIVEN_BY.get(str(difference.figures.get("by")), "")
    words["mode"] = MODES.get(str(difference.figures.get("mode")), "")
    words["litres"] = _litres(difference, voice)
    return voice.say(topic, difference.code, **words)


def _each(location: str) -> dict[str, str]:
    """At front and rear a power is one speaker's, at bass it is the whole bass's."""
    if location == Location.BASS:
        return {"each": "", "receiver": "the bass"}
    return {"each": " a speaker", "receiver": f"each {location} speaker"}


def _litres(difference: Difference, voice: Voice) -> str:
    """The litres that a driver asks for, as far as its maker states them."""
    stated = (difference.figures.get(name) for name in ("least_litres", "most_litres"))
    least, most = (None if litres is None else voice.notation.number(float(litres)) for litres in stated)
    if least is None and most is None:
        return ""
    name = "litres-most" if least is None else "litres-least" if most is None else "litres-range"
    return voice.say("versions", name, least=least or "", most=most or "")


def _said(name: str, value: float | str, notation: Notation) -> str:
    """A figure with the unit that its name ends in."""
    if isinstance(value, str):
        return WORDS.get(value, label(value))
    ending = name.rsplit("_", 1)[-1]
    if ending in COUNTED:
        return counted(int(value), COUNTED[ending])
    digits = DIGITS.get(name, DIGITS.get(ending, 2))
    if ending in UNITS:
        return notation.measure(value, UNITS[ending], digits)
    return notation.number(value, digits)

"""Sentences of version alerts: which version to order exactly, and what each other one would do in the same build."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Difference, Driver, Mode, Role, Sister, VersionAlert
from budgetbuild.catalogue.kinds import Location
from budgetbuild.report.format import capital, counted, label, measure, money, number, points
from budgetbuild.report.told_apart import ordered_as, version_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from budgetbuild.catalogue.items import Product

GIVERS = frozenset({Role.AMPLIFIER, Role.HEAD_UNIT})
"""Roles whose products drive others; those of the other roles are driven, or carry."""

PHRASES: Mapping[str, str] = {
    "power": "would get {after_w}{each} instead of {before_w} from {by}",
    "same-power": "would get the same {power_w}{each} from {by}",
    "wired-alike": "would, if wired as this one is, load {by} with {ohm}, below its minimum of {least_ohm}{mode}",
    "rms": "is rated {after_w} RMS instead of {before_w}, against the same {power_w}{each}",
    "louder": "would play about {by_db} louder",
    "softer": "would play about {by_db} softer",
    "own-power": "has {after_w} RMS of its own instead of {before_w}",
    "power-too-low": (
        "would get only {after_w}{each} from {by}: {ratio} times its RMS rating of {rms_w}, "
        "where at least {limit} is asked for"
    ),
    "power-too-high": (
        "would get {after_w}{each} from {by}: {ratio} times its RMS rating of {rms_w}, where at most {limit} is allowed"
    ),
    "load-too-low": "would load {by} with {ohm}, below its minimum of {least_ohm}{mode}",
    "load-not-rated": "would load {by} with {ohm}, for which it states no power{mode}",
    "no-internal-power": "would hang on {by}, which has no amplifier of its own",
    "cable-too-thin": (
        "would need thicker speaker cable than {cable}, whose {loop_ohm} is more than the {most_ohm} that a load "
        "of {ohm} allows"
    ),
    "kit-overloaded": (
        "would bring the current on power kit {kit} to {after_a}, more than the {carries_a} that it carries here"
    ),
    "current": (
        "would bring the current on power kit {kit} from {before_a} to {after_a}, "
        "within the {carries_a} that it carries here"
    ),
    "other-speaker-type": "is a pair of {after} speakers, not of {before} ones",
    "other-type": "is {after}, not {before}, and needs other parts around it",
    "other-kit": "is a {after} kit, not a {before} kit",
    "other-cut-outs": "has {after_drivers} where this system takes {before_drivers}",
    "channels": "has too few channels: {offered_pairs} where this system takes {needed_pairs}",
    "no-sub-channel": "has no channel of its own for the bass",
    "pairs": "has too few outputs: {offered_pairs} where this system takes {needed_pairs}",
    "lead-channels": "carries too little: {offered_channels} in all where this system takes {needed_channels}",
    "lead-too-short": "is too short: {length_m} for a signal run of {run_m}",
    "kit-too-short": "is too short: {length_m} for a power run of {run_m}",
    "kit-feeds-too-few": "feeds {offered_devices} where this system hangs {needed_devices} on it",
    "kit-copper-clad": "is copper-clad aluminium, which this shop does not use for power",
    "opening": "does not go into this dash: its size is {unit}, the opening {vehicle}",
    "kit-not-listed": "is not listed for the {vehicle}",
    "no-digital-radio": "has no digital radio",
    "needs-aerial": "has digital radio, for which this system has no aerial",
    "wrong-aerial": "is of the wrong kind: the car takes {needed}",
    "size": "would need an adapter of its own: the place in the car is {place_mm}, not {size_mm}",
    "adapter-left-over": "would go in without the adapter that is listed here",
    "wrong-adapter": "is made for {kit_mm} at the {kit_location}; here the speakers are {size_mm} at the {subject}",
    "depth": "is {depth_mm} deep, and its place in the car {place_mm}",
    "tweeter": "needs a place for its tweeters, and the car has none there",
    "box": "does not go with this box",
    "cut-out": "does not fit: the driver is {size_mm}, the cut-out {cutout_mm}",
    "litres": "does not suit: the box gives each driver {each_litres}, and the driver asks for {litres}",
    "boot": "does not fit the boot ({reason})",
    "measure-first": "would have to be measured first ({what})",
    "left-out": "is ruled out by the brief",
    "asked-for": "is not {term}, which the brief asks for by name",
    "brand": "is of another brand, and the brief asks for one brand throughout",
    "refused": "does not meet a rule ({rule}: {limit})",
}
"""What a sister does, as the rest of a sentence that begins with it."""

GIVEN: Mapping[str, str] = {
    "power": "would give {receiver} {after_w} instead of {before_w}",
    "power-too-low": (
        "would give {receiver} only {after_w}: {ratio} times the RMS rating of {rms_w}, "
        "where at least {limit} is asked for"
    ),
    "power-too-high": (
        "would give {receiver} {after_w}: {ratio} times the RMS rating of {rms_w}, where at most {limit} is allowed"
    ),
    "load-too-low": "may not drive the {subject}: {ohm} is below its minimum of {least_ohm}{mode}",
    "load-not-rated": "states no power for the {ohm} at the {subject}{mode}",
    "no-internal-power": "has no amplifier of its own to drive the {subject}",
}
"""The same for what drives others: it gives where they get."""

KIT: Mapping[str, str] = {"kit-overloaded": "carries {carries_a} here, less than the {after_a} that this system draws"}
"""The same for a power kit."""

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
AT = {Role.FRONT: " for the front", Role.REAR: " for the rear"}
POWERS = frozenset({"power", "same-power", "power-too-low", "power-too-high"})
SCORED = frozenset({"power", "rms"})
"""Differences that say more than the points they cost."""


def alert_text(alert: VersionAlert, products: Mapping[str, Product], currency: str) -> str:
    """Which version to order, and a clause or sentence on every other one.

    Raises:
        ValueError: A difference has no words, or lacks a figure that they quote.
    """
    product = products[alert.sku]
    version = version_of(product, [products[sister.sku] for sister in alert.sisters])
    order = f"Order {ordered_as(product, version)}{AT.get(alert.role, '')}: "
    first, *rest = [_sister(alert, sister, products, currency) for sister in alert.sisters]
    return " ".join([order + first, *(capital(sentence) for sentence in rest)])


def _sister(alert: VersionAlert, sister: Sister, products: Mapping[str, Product], currency: str) -> str:
    """One sentence about one sister, all its wirings and differences in turn."""
    clauses: list[str] = []
    wired = ""
    for difference in _worth_telling(sister):
        wiring = _wiring(difference)
        new = wiring if wiring != wired else ""
        pronoun = "it " if clauses else ""
        between = f"{new} {pronoun}" if clauses else f"{new}, "
        clauses.append(f"{between if new else pronoun}{_phrase(alert.role, difference)}")
        wired = wiring or wired
    for clause in _score_and_price(sister, currency):
        clauses.append(f"it {clause}" if clauses else clause)
    comma = ", " if clauses[0].startswith("with ") else " "
    return f"{_named(sister, products[sister.sku], products[alert.sku])}{comma}{'; '.join(clauses)}."


def _named(sister: Sister, product: Product, chosen: Product) -> str:
    """The sister by what tells it from the chosen product, and by its SKU."""
    sku = f"{label(sister.sku)}{'' if sister.offered else ', not on offer'}"
    version = version_of(product, [chosen])
    if version:
        return f"the {version} version ({sku})"
    name = "" if product.name in (chosen.name, product.sku) else f"{label(product.name)} "
    return f"its other version {name}({sku})"


def _worth_telling(sister: Sister) -> list[Difference]:
    """What refuses it, where anything does; else what shows in the figures as they are written."""
    if sister.forbidden:
        return [difference for difference in sister.differences if difference.forbids]
    return [difference for difference in sister.differences if _shows(difference)]


def _shows(difference: Difference) -> bool:
    """Whether the figures before and after differ once they are written down."""
    figures = difference.figures
    return all(
        _said(name, value) != _said(name, figures[name.replace("before", "after", 1)])
        for name, value in figures.items()
        if name.startswith("before") and name.replace("before", "after", 1) in figures
    )


def _score_and_price(sister: Sister, currency: str) -> list[str]:
    """What the points and the price say; nothing about what may not be built in."""
    if sister.score_difference is None:
        return []
    told = []
    shown = _worth_telling(sister)
    gain, dearer = sister.score_difference, sister.price_difference
    if gain and not any(difference.code in SCORED for difference in shown):
        told.append(f"would score {points(abs(gain))} points {'more' if gain > 0 else 'less'}")
    if not told and not shown:
        told.append(f"would serve as well by every figure here{'' if dearer else ', at the same price'}")
    if dearer:
        told.append(f"is {money(abs(dearer), currency)} {'dearer' if dearer > 0 else 'cheaper'}")
    return told


def _wiring(difference: Difference) -> str:
    """How a sister would be wired, with the load where the rest of the sentence does not say it."""
    wiring = difference.figures.get("wiring")
    if not wiring:
        return ""
    ohm = f" ({_said('ohm', difference.figures['ohm'])})" if difference.code in POWERS else ""
    return f"with {str(wiring).replace(', ', ' and ')}{ohm}"


def _phrase(role: Role, difference: Difference) -> str:
    """The words of one difference."""
    phrases = {**PHRASES, **(GIVEN if role in GIVERS else KIT if role is Role.POWER_KIT else {})}
    if difference.code not in phrases:
        raise ValueError(f"no words for the difference {difference.code!r}")
    words = {name: _said(name, value) for name, value in difference.figures.items()}
    words |= {"subject": label(difference.subject), **_each(difference.subject)}
    words["by"] = DRIVEN_BY.get(str(difference.figures.get("by")), "")
    words["mode"] = MODES.get(str(difference.figures.get("mode")), "")
    words["litres"] = _litres(difference)
    try:
        return phrases[difference.code].format_map(words)
    except KeyError as error:
        raise ValueError(f"{difference.code} lacks its figure {error}") from error


def _each(location: str) -> dict[str, str]:
    """At front and rear a power is one speaker's, at bass it is the whole bass's."""
    if location == Location.BASS:
        return {"each": "", "receiver": "the bass"}
    return {"each": " a speaker", "receiver": f"each {location} speaker"}


def _litres(difference: Difference) -> str:
    """The litres that a driver asks for, as far as its maker states them."""
    least, most = (difference.figures.get(name) for name in ("least_litres", "most_litres"))
    if least is not None and most is not None:
        return f"{number(float(least))} to {number(float(most))}"
    return f"at least {number(float(least))}" if least is not None else f"at most {number(float(most or 0))}"


def _said(name: str, value: float | str) -> str:
    """A figure with the unit that its name ends in."""
    if isinstance(value, str):
        return WORDS.get(value, label(value))
    ending = name.rsplit("_", 1)[-1]
    if ending in COUNTED:
        return counted(int(value), COUNTED[ending])
    digits = DIGITS.get(name, DIGITS.get(ending, 2))
    return measure(value, UNITS[ending], digits) if ending in UNITS else number(value, digits)

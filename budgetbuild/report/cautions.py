"""Sentences for cautions, and for why no system is possible: one template by code, filled with the figures."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Build, Caution, Relief, Status
from budgetbuild.catalogue.kinds import HeadUnitMode
from budgetbuild.report.format import capital, label, money, number

if TYPE_CHECKING:
    from collections.abc import Mapping

CAUTIONS: Mapping[str, str] = {
    "measure-first": "Measure first ({where}): {what}. What is not known is not checked.",
    "kit-fuse-above-ampacity": (
        "The {fuse_a} A fuse of power kit {kit} is larger than the {ampacity_a} A that its cable may carry: "
        "put in a fuse of {ampacity_a} A or less."
    ),
    "alternator": (
        "Playing music, the system draws about {average_a} A on average: {share_percent} % of what the "
        "{alternator_a} A alternator gives, more than {limit_percent} %. Have the charging checked before fitting."
    ),
    "alternator-unknown": (
        "Playing music, the system draws about {average_a} A on average, and the alternator's rating is not known: "
        "read it off before fitting."
    ),
    "factory-internal-assumed": (
        "The factory unit is taken to give {watt} W per channel into 4 ohm at the {location}; its real power "
        "is not known."
    ),
    "out-of-stock": "{sku}: {wanted} needed, {stock} in stock. Order before promising a date.",
    "cca-kit": (
        "Power kit {kit} is copper-clad aluminium and conducts only {conductivity_percent} % as well as copper. "
        "The figures here allow for that; a table for copper cable does not hold for it."
    ),
    "cca-speaker-cable": (
        "Speaker cable {cable} is copper-clad aluminium. The setting that bars it is about power kits; "
        "leave the cable out in the brief where the shop wants copper throughout."
    ),
    "thin-speaker-cable": (
        "Speaker cable {cable} to the {subject} loses little enough, but full power is {current_a} A, and it is good "
        "for {ampacity_a} A for long. Music draws about a third of full power; take a thicker one for long loud hours."
    ),
    "heavy-box": "The {subject} is heavy: bolt or strap it to the body so that it stays in place in a crash.",
    "powered-fuse-assumed": (
        "The powered subwoofer states no fuse rating; {current_a} A is reckoned from its rated output. "
        "Read its manual first."
    ),
    "amplifier-current-estimated": (
        "Amplifier {sku} states no fuse rating; {current_a} A is reckoned from its rated output. Read its manual first."
    ),
    "over-budget": "The total is {over} above the budget, within the allowance of {allowance}.",
    "low-power": (
        "The {location} gets {ratio} times its RMS rating: enough to play, less than it could take. "
        "Do not make up for it by turning up until it distorts."
    ),
    "high-power": "The {location} can get {ratio} times its RMS rating: set the gain so that it never gets all of it.",
    "wiring-net": "Wire the bass as said, {wiring}: the amplifier then sees {ohm} ohm. Another wiring is another load.",
}

OBSTACLES: Mapping[str, str] = {
    "no-source-fits": "no head unit in the list fits the dash of the {vehicle}",
    "no-fitting-kit": "no fitting kit in the list is for the {vehicle}",
    "converter-kit-barred": (
        "the fitting kit that a converter needs in the {vehicle} is no longer offered, or left out by the brief"
    ),
    "no-aerial": "the list has no aerial for digital radio of the kind needed ({use})",
    "nothing-for-location": "nothing in the list fits the {location}: {reason}",
    "no-converter": "the list has no line-output converter that fits, and the factory unit needs one",
    "no-power-kit": "no power kit in the list is long enough and carries the current",
    "no-lead": "no signal lead in the list reaches {run_m} m",
    "no-cable": "no speaker cable in the list is thick enough for the {location}",
    "no-amplifier": "no amplifier in the list can drive what is asked for",
    "no-deadening": "the list has no sound deadening",
    "must-include-impossible": "nothing that can be built includes {term}",
    "other": "no combination of the parts meets the brief",
}

FORBIDDEN: Mapping[str, str] = {
    "not-offered": "its row says that it is not offered",
    "left-out": "the brief leaves {term} out",
    "unwanted": "the brief has no place for {what}",
    "does-not-fit": "it does not fit: {reason}",
    "not-driven": (
        "no amplifier and no unit in the dash gives it a power within the ratios allowed ({ohm} ohm, {rms_w} W RMS)"
    ),
    "drives-nothing": "nothing on offer suits it: its power or its least load is not right for any of the speakers",
    "current-not-carried": (
        "it draws at least {current_a} A, and no power kit that reaches carries more than {carries_a} A over this run"
    ),
    "too-short": "it is {length_m} m long, and the run is {run_m} m",
    "copper-clad-barred": "it is copper-clad aluminium, which this shop does not use for power",
}
"""Which rule forbids one product altogether, as part of a sentence."""

RELIEFS: Mapping[str, str] = {
    "front": "without front speakers",
    "rear": "without rear speakers",
    "bass": "without bass",
    "deadening": "without sound deadening",
    "amplifier": "without asking for an external amplifier",
    "one-brand": "with brands mixed",
    "must-include": "without insisting on {subject}",
    "leave-out": "with {subject} allowed again",
    "head-unit": "with {subject}",
    "fitted": "without fitting by the shop",
}


HEAD_UNITS: Mapping[str, str] = {
    HeadUnitMode.REPLACE: "a new head unit",
    HeadUnitMode.KEEP_FACTORY: "the factory head unit kept",
    HeadUnitMode.KEEP_OWN: "the customer's own head unit kept",
}
"""What a brief may do with the head unit, as part of a sentence."""


def caution_text(caution: Caution, currency: str) -> str:
    """The sentence of a caution.

    Raises:
        ValueError: The code has no sentence, or a figure that the sentence quotes is missing.
    """
    return capital(filled(CAUTIONS, caution, currency))


def obstacle_text(obstacle: Caution, currency: str) -> str:
    """What stands in the way before any money is counted, as part of a sentence.

    Raises:
        ValueError: The code has no words, or a figure that they quote is missing.
    """
    return filled(OBSTACLES, obstacle, currency)


def no_build_reason(build: Build, currency: str) -> str:
    """Why a build has no system, empty where it has one."""
    if build.audited is not None:
        return ""
    if build.status is Status.TIME_LIMIT:
        return "The search was stopped before any system was found."
    if build.no_build is None:
        return "No combination of the parts meets the brief within the cap."
    told = "; ".join(obstacle_text(obstacle, currency) for obstacle in build.no_build.obstacles)
    if told:
        return f"{capital(told)}."
    if build.no_build.least_total is None:
        return "No combination of the parts meets the brief at any price."
    cap, least = money(build.tier.cap, currency), money(build.no_build.least_total, currency)
    return f"The cheapest system that meets the brief costs {least}; the cap is {cap}."


def reliefs(build: Build, currency: str) -> tuple[str, ...]:
    """What would make a system possible, one sentence for each requirement that may be taken away."""
    if build.no_build is None:
        return ()
    return tuple(relief_text(relief, currency) for relief in build.no_build.reliefs)


def relief_text(relief: Relief, currency: str) -> str:
    """What taking a requirement away would make possible.

    Raises:
        ValueError: The code has no words.
    """
    if relief.code not in RELIEFS:
        raise ValueError(f"no words for the relief {relief.code!r}")
    subject = HEAD_UNITS.get(relief.subject) or label(relief.subject) or "it"
    said = capital(RELIEFS[relief.code].format(subject=subject))
    if not relief.least_total:
        return f"{said}, nothing at all need be bought."
    within = "within the cap" if relief.within_cap else "still above the cap"
    return f"{said}, the cheapest system costs {money(relief.least_total, currency)}, {within}."


def filled(templates: Mapping[str, str], caution: Caution, currency: str) -> str:
    """A template with its figures spoken; figures named `..._cents` become money, without that ending.

    Raises:
        ValueError: The code has no words, or a figure that they quote is missing.
    """
    if caution.code not in templates:
        raise ValueError(f"no words for the code {caution.code!r}")
    words = {"subject": label(caution.subject)}
    for name, value in caution.figures.items():
        if name.endswith("_cents"):
            words[name.removesuffix("_cents")] = money(int(value), currency)
        else:
            words[name] = label(value) if isinstance(value, str) else number(value)
    try:
        return templates[caution.code].format_map(words)
    except KeyError as error:
        raise ValueError(f"{caution.code} lacks its figure {error}") from error

"""Sentences about a whole build: what one gets, how far it is proven, how it was decided."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Audited, Build, Role, Status
from budgetbuild.catalogue.kinds import HeadUnitMode, OneBrand, Want
from budgetbuild.report.words import kit
from budgetbuild.report.words.format import label, listed
from budgetbuild.report.words.shares import asked_share

if TYPE_CHECKING:
    from budgetbuild.report.words.voice import Voice

KEPT = {HeadUnitMode.KEEP_FACTORY: "keeps-factory", HeadUnitMode.KEEP_OWN: "keeps-own"}
BRANDS = {OneBrand.PREFER: "brand-preferred", OneBrand.MUST: "brand-must"}

PARTS: dict[str, tuple[str, tuple[Role, ...]]] = {
    "front": ("front speakers", (Role.FRONT,)),
    "rear": ("rear speakers", (Role.REAR,)),
    "bass": ("bass", (Role.BASS,)),
    "amplifier": ("an external amplifier", (Role.AMPLIFIER,)),
    "deadening": ("sound deadening", (Role.DEADENING,)),
}
"""What a brief may want, by the name of its column: how it is said, and the roles that fill it."""


def headline(build: Build, voice: Voice) -> str:
    """What the customer gets, in one or two sentences."""
    vehicle, money = label(build.vehicle.name), voice.notation.money
    if build.brief.is_kit:
        return _kit_headline(build, voice)
    if build.audited is None:
        nothing = "not-in-time" if build.status is Status.TIME_LIMIT else "nothing"
        return voice.say("headline", nothing, vehicle=vehicle, cap=money(build.tier.cap))
    total = money(build.audited.total)
    if not build.audited.locations:
        # A brief that requires no location, within a cap that buys none: said plainly, not sold as a system.
        name = "silent-bought" if build.audited.lines else "silent"
        return voice.say("headline", name, vehicle=vehicle, cap=money(build.tier.cap), total=total)
    kept = KEPT.get(build.brief.head_unit)
    fitted = any(line.role is Role.LABOUR for line in build.audited.lines)
    return voice.say(
        "headline",
        "sold-kept" if kept else "sold",
        vehicle=vehicle,
        kept=voice.say("headline", kept) if kept else "",
        parts=listed(_gets(build.audited, voice)),
        total=total,
        end=voice.say("headline", "fitted" if fitted else "to-fit"),
    )


def _kit_headline(build: Build, voice: Voice) -> str:
    """What the customers of several vehicles get."""
    cap = voice.notation.money(build.tier.cap)
    if build.covered is None or build.audited is None:
        asked = asked_share(build.brief.share, len(build.brief.vehicles), voice)
        nothing = "not-in-time" if build.status is Status.TIME_LIMIT else "nothing"
        return voice.say(kit.TOPIC, nothing, asked=asked, cap=cap)
    covered = kit.share_of(build.covered, voice)
    if not build.audited.locations:
        return voice.say(kit.TOPIC, "silent", covered=covered, cap=cap)
    kept = KEPT.get(build.brief.head_unit)
    fitted = any(line.role is Role.LABOUR for line in build.audited.lines)
    return voice.say(
        kit.TOPIC,
        "sold-kept" if kept else "sold",
        covered=covered,
        kept=voice.say("headline", kept) if kept else "",
        parts=listed(_gets(build.audited, voice)),
        prices=kit.price_range(build, voice),
        end=voice.say("headline", "fitted" if fitted else "to-fit"),
    )


def _gets(audited: Audited, voice: Voice) -> list[str]:
    """The parts that one hears or sees, as one would name them."""
    held = {line.role: line.quantity for line in reversed(audited.lines)}
    front, rear, amplifiers = Role.FRONT in held, Role.REAR in held, len(audited.system.amplifiers)
    said = [
        ("head-unit", Role.HEAD_UNIT in held),
        ("converter", Role.CONVERTER in held),
        ("front-and-rear", front and rear),
        ("front", front and not rear),
        ("rear", rear and not front),
        (_bass(audited, held), Role.BASS in held),
        ("amplifier" if amplifiers == 1 else "amplifiers", amplifiers > 0),
        ("deadening", Role.DEADENING in held),
    ]
    figures = {
        "drivers": f"{_spelt(held.get(Role.BASS, 0))} {'driver' if held.get(Role.BASS) == 1 else 'drivers'}",
        "count": _spelt(amplifiers),
        "area": voice.notation.measure(audited.treated_m2, "m²"),
    }
    return [voice.say("parts", name, **figures) for name, there in said if there]


def _bass(audited: Audited, held: dict[Role, int]) -> str:
    """How the bass is built."""
    if Role.BOX in held:
        return "box"
    powered = any(figures.location == "bass" and figures.power_w is None for figures in audited.locations)
    return "powered" if powered else "enclosure"


def _spelt(count: int) -> str:
    """A small count as a word."""
    return {1: "one", 2: "two", 3: "three", 4: "four"}.get(count, str(count))


def standing(build: Build, voice: Voice) -> str:
    """How far the result is proven, in a sentence; a search that was stopped is never called the best."""
    return _standing(build, voice, "standing")


def short_standing(build: Build, voice: Voice) -> str:
    """The same in a few words, for a table."""
    return _standing(build, voice, "short-standing")


def _standing(build: Build, voice: Voice, topic: str) -> str:
    if build.status is not Status.TIME_LIMIT:
        return voice.say(topic, build.status.value)
    if build.score is None:
        return voice.say(topic, "nothing-found")
    if build.bound is None:
        return voice.say(topic, "no-bound")
    if build.bound <= build.score:
        return voice.say(topic, "price-open")
    return voice.say(topic, "gap", gap=voice.notation.points(build.bound - build.score))


def decided(build: Build, voice: Voice) -> tuple[str, ...]:
    """How the parts were decided: what the brief fixed, what was left open, and what became of it."""
    told = (_wanted(build, voice), _left_out(build, voice), *_other_wishes(build, voice), _over_vehicles(build, voice))
    return tuple(sentence for sentence in told if sentence)


def _over_vehicles(build: Build, voice: Voice) -> str:
    """What counted over several vehicles, and whose figures are shown."""
    if build.covered is None:
        return ""
    count = str(len(build.covered.inside))
    return voice.say(kit.TOPIC, "decided", count=count, vehicle=label(build.vehicle.name))


def _wanted(build: Build, voice: Voice) -> str:
    """What the brief fixes, leaves open and rules out."""
    wants = {want: [words for name, (words, _) in PARTS.items() if getattr(build.brief, name) is want] for want in Want}
    asked, open_, barred = wants[Want.REQUIRED], wants[Want.OPTIONAL], wants[Want.NONE]
    told = [voice.say("decided", "asks", parts=listed(asked)) if asked else voice.say("decided", "asks-nothing")]
    told += [voice.say("decided", "open", parts=listed(open_))] if open_ else []
    none = listed(barred, "and no").replace("an external", "external")
    told += [voice.say("decided", "barred", parts=none)] if barred else []
    wishes = ", and ".join([", ".join(told[:-1]), told[-1]] if told[1:] else told)
    return voice.say("decided", "wanted", wishes=wishes)


def _left_out(build: Build, voice: Voice) -> str:
    """What was left open and did not come in; a reason is claimed only where it is proven."""
    if build.audited is None:
        return ""
    held = {line.role for line in build.audited.lines}
    missing = [
        words
        for name, (words, roles) in PARTS.items()
        if getattr(build.brief, name) is Want.OPTIONAL and not held.intersection(roles)
    ]
    if not missing:
        return ""
    name = "left-out-proven" if build.status is Status.OPTIMAL else "left-out-found"
    with_it = voice.say("decided", "with-it" if len(missing) == 1 else "with-any")
    return voice.say("decided", name, parts=listed(missing), **{"with": with_it})


def _other_wishes(build: Build, voice: Voice) -> tuple[str, ...]:
    brief = build.brief
    must, without = [[label(term) for term in terms] for terms in (brief.must_include, brief.leave_out)]
    return (
        voice.say("decided", BRANDS[brief.one_brand]) if brief.one_brand in BRANDS else "",
        voice.say("decided", "must", terms=listed(must)) if must else "",
        voice.say("decided", "without", terms=listed(without)) if without else "",
    )

"""The eight facts that every output for customers carries, by words that a sentence about each cannot do without.

Written from the contract of the trade's rules, not from the tool's sentences: what somebody must be able to read there.
"""

from __future__ import annotations

import re

FACTS: dict[str, tuple[str, ...]] = {
    "disconnect the battery first": (r"\bbattery\b", r"\bdisconnect", r"\b(?:first|before)\b"),
    "a fuse near the battery, sized to the cable": (
        r"\b0\.45 ?m\b", r"\bfuse\b", r"\b18 ?in\b", r"\bbattery\b", r"\bcable\b",
    ),
    "never beyond a cable's rating": (r"\brating\b", r"\bnever\b", r"\b(?:beyond|exceed|above|over)\b", r"\bcable\b"),
    "heavy boxes are secured against a crash": (
        r"\bcrash\b", r"\bheavy\b", r"\b(?:bolt|strap|secure|fasten)", r"\bbox\b",
    ),
    "clear of airbags, seat belts and looms": (r"\bairbags?\b", r"\bseat[- ]belt", r"\blooms?\b"),
    "a lithium or vented battery is not blocked": (r"\blithium\b", r"\bvented\b", r"\bbattery\b"),
    "long listening harms": (r"\b85 ?dB\(A\)", r"\blistening\b", r"\bharm", r"\bhearing\b"),
    "vehicle and road rules first, a fitter decides": (r"\bqualified fitter\b", r"\belectrics\b", r"\broad rules\b"),
}  # fmt: skip
NEAR = 260
"""Characters around the first word in which the others stand: those of one sentence, names of products included."""


def times(fact: str, text: str) -> int:
    """How often a fact is told in a text, whatever its line ends."""
    whole, (first, *others) = " ".join(text.split()), FACTS[fact]
    near = (whole[max(0, at.start() - NEAR) : at.end() + NEAR] for at in re.finditer(first, whole, re.IGNORECASE))
    return sum(all(re.search(word, place, re.IGNORECASE) for word in others) for place in near)


def untold(text: str, least: int = 1) -> list[str]:
    """Facts that a text tells less often than it should: once, or once for each system in it."""
    return [f"{fact}: {times(fact, text)} of {least}" for fact in FACTS if times(fact, text) < least]

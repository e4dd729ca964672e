"""Shares of several vehicles in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fractions import Fraction

    from budgetbuild.report.words.voice import Voice

TOPIC = "kit"


def percent(share: Fraction, voice: Voice) -> str:
    """A share in percent."""
    return voice.notation.measure(float(share * 100), "%", 1)


def asked_share(share: Fraction, total: int, voice: Voice) -> str:
    """How many vehicles a brief asks for."""
    if share == 1:
        return voice.say(TOPIC, "asked-all", all=str(total))
    return voice.say(TOPIC, "asked-share", share=percent(share, voice), all=str(total))

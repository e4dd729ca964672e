"""What an answer rests on: the tool, the price list with its hash, and what it was proven by."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild import __version__
from budgetbuild.report.words.format import label

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from budgetbuild.build import Build
    from budgetbuild.catalogue.shop import Catalogue
    from budgetbuild.report.words.voice import Voice

TOPIC = "reference"


def solved_by(builds: Sequence[Build]) -> str:
    """What builds were proven by, each road once, with its version."""
    return "; ".join(dict.fromkeys(build.solver for build in builds if build.solver))


def reference(builds: Sequence[Build], catalogue: Catalogue, voice: Voice) -> str:
    """What they rest on, in one sentence."""
    return f"{', '.join(_parts(builds, catalogue, voice))}."


def _parts(builds: Sequence[Build], catalogue: Catalogue, voice: Voice) -> Iterator[str]:
    made = {"version": __version__, "list": label(catalogue.name)}
    if catalogue.sha256:
        yield voice.say(TOPIC, "list", sha256=catalogue.sha256, **made)
    else:
        yield voice.say(TOPIC, "unhashed", **made)
    if catalogue.fresh:
        yield voice.say(TOPIC, "prices", list=label(catalogue.fresh.name), sha256=catalogue.fresh.sha256)
    if solver := solved_by(builds):
        yield voice.say(TOPIC, "solved", solver=solver)

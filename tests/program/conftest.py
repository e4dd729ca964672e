"""Property tests here are about laws, not speed: a busy machine must not fail them."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("laws", deadline=None)
settings.load_profile("laws")

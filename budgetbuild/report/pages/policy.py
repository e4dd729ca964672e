"""What a browser is told to let a page do: nothing but to look as its own style says."""

from __future__ import annotations

from base64 import b64encode
from hashlib import sha256

from markupsafe import Markup

SHUT = "default-src 'none'; base-uri 'none'; form-action 'none'"
"""Nothing loads, nothing runs, no address is moved elsewhere, no form leaves."""


def paper_policy(style: str) -> Markup:
    """The policy of a page without a script, whose one block of style is known by its SHA-256.

    >>> print(paper_policy("").removeprefix(f"{SHUT}; "))
    style-src 'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='
    """
    return Markup(f"{SHUT}; style-src {source_of(style)}")  # noqa: S704 - digits and letters of a hash


def source_of(block: str) -> str:
    """A block of style or script as a content security policy names it."""
    return f"'sha256-{b64encode(sha256(block.encode()).digest()).decode()}'"

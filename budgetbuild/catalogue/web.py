"""Which texts are addresses that a page may lead to."""

from __future__ import annotations

import re

_ADDRESS = re.compile(
    r"https?://"
    r"(?:[^\W_](?:[\w.-]*[^\W_])?|\[[0-9a-f:.]+\])"  # a host by name or number: nobody's name and no password before it
    r"(?::\d{1,5})?"
    r"(?:[/?#][^\s\\\"<>^`{|}]*)?",
    re.IGNORECASE,
)


def is_web_address(text: str) -> bool:
    r"""Whether a text is a whole address of the web: http or https, a host, and no character that none may have.

    The generic syntax of RFC 3986 without user information, which makes one host look like another; letters of other
    scripts may stand as they are (RFC 3987).

    >>> [is_web_address(text) for text in ("https://shop.example/a(b)?q=1", "http://[::1]:80", "https://é.example/ü")]
    [True, True, True]
    >>> [is_web_address(text) for text in ("javascript:alert(1)", "https://shop.example@x.example/", "https://x y/")]
    [False, False, False]
    """
    return _ADDRESS.fullmatch(text) is not None and text.isprintable()

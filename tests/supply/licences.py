"""Writes the table of `.github/LICENCES.md`: what a user may install with the tool, and the licence of each.

`python -m tests.supply.licences`, in an environment with the versions of `.ci/run-time.txt`.
"""

from __future__ import annotations

from importlib.metadata import metadata

from tests.readme import with_section
from tests.supply.declared import FOR_USE, ROOT, RUN_TIME, TOOL, asked, lock, wanted

PAGE = ROOT / ".github" / "LICENCES.md"
SECTION = "libraries"
ALLOWED = frozenset(
    {"0BSD", "Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "CC0-1.0", "MIT", "PSF-2.0", "Zlib"}
)  # fmt: skip
"""Licences (SPDX) under which a library may be used, changed and handed on with a notice, also in what is sold."""
WORDS = {
    "Apache 2.0": "Apache-2.0",
    "PSFL": "PSF-2.0",
    "License :: OSI Approved :: MIT License": "MIT",
    "License :: OSI Approved :: Apache Software License": "Apache-2.0",
}
"""What metadata say in words of their own that have one meaning."""
READ = {"jinja2": "BSD-3-Clause", "partd": "BSD-3-Clause", "zict": "BSD-3-Clause"}
"""Where metadata say BSD without saying which: as read in the licence that comes with the library."""


def licence(name: str) -> str:
    """The licence of an installed library as an SPDX expression; what metadata say unclearly comes back as it is."""
    if name in READ:
        return READ[name]
    said = metadata(name)
    # Asked for, not looked up: where a library brings its own importlib_metadata, a missing key is an error.
    expressions = said.get_all("License-Expression", [])
    if expressions:
        return str(expressions[0])
    classifiers = [word for word in said.get_all("Classifier", []) if word.startswith("License")]
    words = [*said.get_all("License", []), *classifiers]
    return next((WORDS.get(word, word) for word in words if WORDS.get(word, word) in ALLOWED), " / ".join(words))


def is_allowed(expression: str) -> bool:
    """Whether an SPDX expression, of `AND` or of `OR` alone, leaves nothing but licences that are allowed.

    >>> is_allowed("MIT AND Zlib"), is_allowed("GPL-3.0-only OR MIT"), is_allowed("GPL-3.0-only AND MIT")
    (True, True, False)
    """
    if " OR " in expression:
        return any(map(is_allowed, expression.split(" OR ")))
    return set(expression.split(" AND ")) <= ALLOWED


def table() -> dict[str, tuple[str, str, str]]:
    """Of each library: which versions are asked for, which one is locked, what asks for it."""
    named = wanted(*FOR_USE)
    return {
        name: (str(named[name].specifier) if name in named else "", str(pin.version), _via(name, pin.via))
        for name, pin in sorted(lock(RUN_TIME).items())
    }


def _via(name: str, via: tuple[str, ...]) -> str:
    """What asks for a library: the tool, one of its extras, or other libraries."""
    ours = ", ".join("the tool" if part == TOOL else f"extra `{part}`" for part in FOR_USE if name in asked()[part])
    return ", ".join(ours if asking == "budgetbuild" else asking for asking in via)


def lines() -> str:
    """The table of the page."""
    head = "| library | versions | locked | licence | asked for by |\n|:--|:--|:--|:--|:--|\n"
    return head + "".join(
        f"| {name} | {versions or 'as those need'} | {locked} | {licence(name)} | {via} |\n"
        for name, (versions, locked, via) in table().items()
    )


if __name__ == "__main__":
    PAGE.write_text(with_section(PAGE.read_text("utf-8"), SECTION, lines()), "utf-8", newline="\n")

"""Reads a data file that was published earlier: JSON in, frozen values or located faults out.

The file is user input: it may have been edited, cut short, or made by another program. Whatever is wrong is told at
once, each with its place in the file (`builds[3].lines[2].sku`, counted from 0 as JSON does). Keys that are not known
are ignored: later versions of the tool add some.
"""

from budgetbuild.published.read import read_document, read_published

__all__ = ["read_document", "read_published"]

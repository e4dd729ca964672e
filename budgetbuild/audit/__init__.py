"""The audit: re-checks a system from the catalogue rows and the trade rules alone, without knowing the program.

`audit` recomputes every figure, limit, point and cent of a system that somebody proposes, whoever it was. A system with
a failed check is refused and never published.
"""

from budgetbuild.audit.audit import audit

__all__ = ["audit"]

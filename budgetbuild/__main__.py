"""`python -m budgetbuild`: the same as the `budgetbuild` command."""

from __future__ import annotations

import sys

from budgetbuild.cli import main

if __name__ == "__main__":
    sys.exit(main())

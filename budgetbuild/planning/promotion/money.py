"""The money of an audited bundle, line by line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from budgetbuild.build import Role, Sale, SaleLine
from budgetbuild.trade import money
from budgetbuild.trade.promotion import ceiling, room

if TYPE_CHECKING:
    from budgetbuild.build import Audited
    from budgetbuild.program.deal import Deal


def sale_of(audited: Audited, deal: Deal) -> Sale:
    """What one set lists for, sells for and leaves."""
    lines = tuple(
        SaleLine(
            line.role,
            line.sku,
            line.description,
            line.quantity,
            line.line_total,
            None if deal.tax is None else line.net_total,
            None if deal.tax is None else line.cost_total,
            most,
            room(line.line_total, most),
        )
        for line in audited.lines
        if line.role is not Role.LABOUR
        for most in (ceiling(deal.ceilings, line.role, deal.products[line.sku]),)
    )
    price = audited.total if deal.price is None else deal.price
    taken_off = None if deal.tax is None else money.without_tax(audited.total - price, deal.tax)
    return Sale(lines, audited.total, price, taken_off)

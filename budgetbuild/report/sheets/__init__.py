"""The result workbook, and the result sheets in a copy of the shop's own."""

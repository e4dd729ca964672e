"""The shop's own workbook as a form to fill in: every sheet of the schema, with comments, drop-downs and units."""

"""One workbook's sheets added to a copy of another, whose own parts stay as they are, byte for byte.

Nothing is loaded and saved again: what a spreadsheet library does not know would be lost on the way. The parts that
have to name the new sheets get additions in the middle of their own bytes. Nothing here knows what the sheets show.
"""

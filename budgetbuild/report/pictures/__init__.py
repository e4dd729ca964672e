"""The pictures of the outputs, as SVG text, each with a table that says the same in words.

Every picture is a pure function of its values: the same text on every run, colours and type left to the page that shows
it, with plain black on white where it stands alone.
"""

"""Questions around the main one: what changed since, what to promote, how to climb, which kit fits many vehicles.

Each module takes a catalogue, states its question as an integer program, has every answer audited, and returns values
of `build`; where there is no answer it says why. Nothing here knows a page or a spreadsheet.
"""

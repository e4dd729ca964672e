"""Trouble with a solver: no time, no memory, none installed, a crash, a lie, figures that are hard to tell apart."""

"""The whole budget curve at once, by merging lists of undominated price and score: a second road beside the program."""

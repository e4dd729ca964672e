"""From a shop's own price list to the proven best complete car-audio system for every budget."""

__version__ = "0.1.0"

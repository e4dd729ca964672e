"""Promotions: bundles that the stock covers and the margin allows, decided together, and what else one could choose."""

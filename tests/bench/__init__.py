"""Benchmarks: how long things take, for readers; and a guard over their ratios, for whoever changes the code."""

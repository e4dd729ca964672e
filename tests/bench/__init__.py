"""Benchmarks: figures for readers, never asserted as times."""

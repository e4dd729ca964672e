"""Tests of the recheck of what was published."""

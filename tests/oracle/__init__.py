"""An independent expectation, from the trade rules alone: brute force, and a flat constraint model."""

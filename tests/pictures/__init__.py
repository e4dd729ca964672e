"""The pictures in the README, made from the tool's own outputs."""

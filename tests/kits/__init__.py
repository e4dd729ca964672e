"""Tests of one system for several vehicles."""

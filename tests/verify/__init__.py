"""Tests of holding a published file against the list it was made from."""

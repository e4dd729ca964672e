"""Tests of the audit: what it must refuse, what it reckons, what it cautions."""

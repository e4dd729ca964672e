"""Advice about an audited build: values that the report puts into words."""

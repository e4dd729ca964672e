"""The invented catalogue that ships with the tool, and large invented catalogues for tests and measurements."""

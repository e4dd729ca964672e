"""A flat price list, one sheet with any column names, sorted onto product sheets as a mapping file says."""

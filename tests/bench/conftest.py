"""What imports OR-tools stays out of the test process: see `tests/oracle/cpsat.py`."""

collect_ignore = ["flat_cpsat.py"]

"""What imports OR-tools stays out of the test process: see `cpsat.py`."""

collect_ignore = ["cpsat_model.py", "flat.py", "wiring.py"]

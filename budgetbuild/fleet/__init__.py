"""Every brief in every vehicle at every tier, on all processors or on a cluster; goes on after a kill.

The result is one table (`fleet.parquet`) and one counter page for each vehicle. Neither depends on how many processes
found it, in which order, on which machines, or after how many interruptions.
"""

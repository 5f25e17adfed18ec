"""The physical model behind the invented sample sweeps: antennas, station, file text."""

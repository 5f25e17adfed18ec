"""Tables of readings: whatever holds frequency and match in columns becomes sweeps."""

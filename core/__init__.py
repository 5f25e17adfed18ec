"""Headless impedance maths of Fairlead: no Qt, no plotting, no state."""

"""What one sweep says before any band is chosen, and what lies between its points."""

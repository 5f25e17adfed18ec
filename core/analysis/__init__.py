"""What is known of one sweep before any band is chosen, and what lies between its points."""

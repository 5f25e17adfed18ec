"""What things look like: tones, colours, icons."""

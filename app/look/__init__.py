"""What things look like: colours, themes, icons."""

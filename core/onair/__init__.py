"""What was heard on the air: reports as numbers, and two antennas compared by them."""

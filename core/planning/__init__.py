"""What a measurement needs, so that it can answer what it is made for."""

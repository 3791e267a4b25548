"""What is uncertain of a day: drawn, simulated, shared out, and asked for in the choice."""

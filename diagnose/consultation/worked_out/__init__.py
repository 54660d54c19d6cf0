"""What follows from readings by calculation: each result with its formula, its limits and its source."""

"""Numbers with their units: ranges, tolerances, threads, and what is taken back."""

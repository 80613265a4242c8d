"""Numbers whose unit nobody says: which unit is meant, or none."""

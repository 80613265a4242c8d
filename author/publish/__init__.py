"""What leaves the house: everything here is made from one checked (or draft) procedure."""

"""Job records: kept, released, answered, and what they tell together."""

"""What a quantity is for: limits, an aim, or what happened to be measured."""

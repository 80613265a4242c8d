"""English as it is spoken in a shop: forms of words, clauses, names of things, trade words."""

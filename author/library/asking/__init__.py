"""Questions to the index: found by words and filters, where used, what comes before, is due."""

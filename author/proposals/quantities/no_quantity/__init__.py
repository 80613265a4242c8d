"""Numbers that are no quantities: names, counts, sizes of tools, times that are only talk."""

"""The library in a browser: pages made here, for readers on the shop's network."""

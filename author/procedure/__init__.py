"""The document: frozen model, quantities, time values, identifiers."""

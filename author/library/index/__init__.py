"""The index: tables, full text, and how it is brought up to what lies in the library."""

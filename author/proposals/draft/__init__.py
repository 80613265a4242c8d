"""The draft procedure, the questions it leaves, and the answers of the technician."""

"""The groups of the job sheet, and the forms they are made of."""

"""What kind of thing each clause is: an action, a warning, a decision, talk to leave out."""

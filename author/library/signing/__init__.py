"""Who signed what: keys, people, append-only histories, states, and the audit of them all."""

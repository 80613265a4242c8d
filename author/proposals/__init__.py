"""From what was said and shown on the film to a draft that a person then corrects."""

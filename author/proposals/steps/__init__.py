"""Steps: which sentences make one, in which part of the job, and what it does."""

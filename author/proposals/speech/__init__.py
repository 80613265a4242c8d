"""What was said: captions as words with their times, put together into sentences."""

"""A stage as it is told: speakable words, the time they take, captions, and the check of both."""

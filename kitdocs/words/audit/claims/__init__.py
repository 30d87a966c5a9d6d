"""Reading: the numbers that a sentence states, in figures and in words."""

"""Numbers and names in prose, and the expressions that bring them there."""

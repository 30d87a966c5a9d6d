"""Names: what things are called, and what is said of them."""

"""The number audit: every number in words is found, read, and held against the design."""

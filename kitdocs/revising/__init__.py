"""Two revisions of a kit: what changed between them, and whom it concerns."""

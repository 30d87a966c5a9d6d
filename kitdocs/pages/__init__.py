"""Views (plain data) -> templates -> Markdown; charts and drawings."""

"""Choosing teeth: the search for trains by ratio, and what other teeth on its axes would do."""

"""Periods and positions of the bodies, each with its source."""

"""Periods of the bodies, each with its source."""

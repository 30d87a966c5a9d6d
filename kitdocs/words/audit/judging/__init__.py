"""Judging: what backs a number, or stands against it."""

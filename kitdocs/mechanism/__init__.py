"""What the machine does: exact speeds, gear geometry, heights, fasteners."""

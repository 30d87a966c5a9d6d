"""Instruction sites for orrery kits, computed from the kit's verified design."""

__version__ = "0.1.0"

"""Every rule: a small pure function from a design to findings, in a registry."""

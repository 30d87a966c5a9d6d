"""How instructions are written: what can be checked of it, and what a step's words speak of."""

"""The build: what each step takes from stock, and the design with all its results."""

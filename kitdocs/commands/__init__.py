"""The commands, a file each: `options(parser)` and `run(options)`; `cli.py` lists them."""

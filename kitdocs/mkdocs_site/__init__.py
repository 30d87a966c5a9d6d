"""What `plugin.py` needs of MkDocs: only this folder and the plugin import it."""

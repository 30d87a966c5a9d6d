"""Reading: YAML and Markdown -> one typed, immutable `Kit` whose values know their places."""

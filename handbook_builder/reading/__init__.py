"""From files to records: text, YAML with its positions, and the shape of each kind."""

"""The kinds of record, one subject a module: their keys, and what each key may hold."""

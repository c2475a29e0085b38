"""At the bench: text of the maker's own, added to in place, byte for byte."""

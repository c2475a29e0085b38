"""The pages that take readings beside a flame, and what they are told so that they need nobody."""

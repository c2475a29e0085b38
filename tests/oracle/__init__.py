"""A second opinion: the design read again, by code that shares nothing with the package."""

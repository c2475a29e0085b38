"""Tables as spreadsheets keep them, read and written: cells with their places, and no meaning."""

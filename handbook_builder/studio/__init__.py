"""From records to one linked, immutable studio: ids resolve, numbers have no gaps."""

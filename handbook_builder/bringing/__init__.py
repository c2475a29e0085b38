"""From a maker's own table to records: what each column means, and what each cell says."""

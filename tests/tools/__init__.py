"""What makes the tables of the package; run by hand."""

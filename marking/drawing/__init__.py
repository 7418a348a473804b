"""What is on a page, in millimetres, for any file format."""

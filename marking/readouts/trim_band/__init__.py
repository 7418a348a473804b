"""The band for a range of diameters, trimmed along the row of the socket’s own."""

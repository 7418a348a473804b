"""The sheet on which a socket stands, mouth down, to be marked itself."""

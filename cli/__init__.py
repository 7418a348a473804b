"""The command line of turnband: commands that parse, call the library and report."""

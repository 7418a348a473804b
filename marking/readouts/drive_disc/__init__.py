"""The flat disc that turns with the drive end."""

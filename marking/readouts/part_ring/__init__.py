"""The flat ring that lies still on the part."""

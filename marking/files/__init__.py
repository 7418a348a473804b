"""From pages to files: written whole or not at all."""

"""What exists at the bench: spec, socket, opening, thread, strength."""

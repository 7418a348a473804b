"""Runs the command line as `python -m turnband`."""

from .main import run

run()

"""Printer profiles and the set-up of a page."""

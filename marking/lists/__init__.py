"""Clerks’ lists and registers of sockets."""

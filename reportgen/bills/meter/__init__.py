"""Meter files: Green Button XML and CSV exports, read for their readings alone."""

"""Reads only: rows become core values, and every list starts from who asks."""

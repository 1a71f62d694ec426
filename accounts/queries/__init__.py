"""Reads of people and associations, each scoped to who asks."""

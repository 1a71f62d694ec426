"""Pages of people and associations."""

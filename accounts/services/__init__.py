"""Writes about people and associations: one transaction and one audit entry each."""

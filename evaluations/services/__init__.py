"""Writes only: keyword-only arguments, one transaction, full_clean, an audit entry."""

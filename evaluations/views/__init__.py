"""One short view a page or action: it reads through queries, writes through services."""

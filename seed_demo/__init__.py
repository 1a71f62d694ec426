"""A made-up season to look at, built through the services alone."""

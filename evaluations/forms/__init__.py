"""What a page asks for. Forms check what was typed; whether it may be done is a service's."""

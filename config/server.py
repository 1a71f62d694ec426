"""How gunicorn serves the demo: on one address, for people on this machine."""

from typing import Any

wsgi_app = "config.wsgi"
workers = 2
threads = 4
control_socket_disable = True
accesslog = None
loglevel = "warning"


def on_starting(server: Any) -> None:
    """End with the terminal: without this a hang-up would only reload the site."""
    server.handle_hup = server.handle_term

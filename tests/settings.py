"""The site's settings, for a test run."""

import os

os.environ.setdefault("CREWMARK_ENV", "test")

from config.settings import *

# One round is enough for passwords that guard nothing.
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]

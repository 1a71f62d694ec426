"""What the site promises about speed, measured. Each module is run by its name."""

import os

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
django.setup()

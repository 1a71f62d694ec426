#!/usr/bin/env python
"""Crewmark's command line. Without CREWMARK_ENV it works on the demo."""

import os
import sys

from django.core.management import execute_from_command_line

if __name__ == "__main__":
    os.environ.setdefault("CREWMARK_ENV", "demo")
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    execute_from_command_line(sys.argv)

#!/usr/bin/env python
"""Handback's command line: `python manage.py demo` is the one to start with."""

import os
import sys

from django.core.management import execute_from_command_line


def main() -> None:
    """Run the command that was typed, under the one settings module."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "program.settings")
    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()

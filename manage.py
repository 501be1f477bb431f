#!/usr/bin/env python
"""Handback's command line: `python manage.py demo` is the one to start with."""

import os
import sys
from pathlib import Path

from django.core.management import execute_from_command_line


def main() -> None:
    """Run the command that was typed, under the one settings module."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "program.settings")
    if sys.argv[1:2] in (["demo"], ["pictures"]):
        # The demonstration lives in a folder of its own, beside nobody's data.
        demo = Path(__file__).resolve().parent / "var" / "demo"
        os.environ.setdefault("HANDBACK_VAR", str(demo))
    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()

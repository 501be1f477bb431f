"""`manage.py check_books`: whether what the database keeps equals the transfers, to the cent."""

from __future__ import annotations

from typing import Any, Final

from django.core.management.base import BaseCommand, CommandError

from program.ledger.models import Transfer
from program.ledger.tallies import Tally, tallies
from shared.accounts.models import Program

SHOWN: Final = 20  # sentences of one check; the rest are counted


class Command(BaseCommand):
    help = "Check that the kept balances equal the transfers, and that the books hold together."

    def add_arguments(self, parser: Any) -> None:
        parser.add_argument("--all", action="store_true", help="name everything that differs")

    def handle(self, *args: Any, **options: Any) -> None:
        shown = None if options["all"] else SHOWN
        failed = sum(self._check(program, shown) for program in Program.objects.order_by("pk"))
        if failed:
            checks = "One check fails." if failed == 1 else f"{failed} checks fail."
            raise CommandError(f"{checks} Correct what is named, or restore a copy.")
        self.stdout.write("The books hold.")

    def _check(self, program: Program, shown: int | None) -> int:
        """Print the checks of one program; return how many fail."""
        count = Transfer.objects.filter(program=program).count()
        self.stdout.write(f"{program.name}: {count:,} transfers")
        found = tallies(program)
        for tally in found:
            self._print(tally, shown)
        return sum(bool(tally.wrong) for tally in found)

    def _print(self, tally: Tally, shown: int | None) -> None:
        mark = "differs" if tally.wrong else "holds"
        self.stdout.write(f"  {mark:<8}{tally.count:>10,}  {tally.holds}")
        for sentence in tally.wrong[:shown]:
            self.stdout.write(f"{'':22}{sentence}")
        if shown is not None and len(tally.wrong) > shown:
            self.stdout.write(f"{'':22}And {len(tally.wrong) - shown:,} more; --all names them.")

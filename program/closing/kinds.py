"""What is gone through before a month is shut."""

from enum import StrEnum


class StepKind(StrEnum):
    """The lines of a month's closing list. Source: common practice, no source."""

    BANK = "bank"
    PAYABLES = "payables"
    CORES = "cores"
    SHELF = "shelf"
    CLAIMS = "claims"
    RELEASES = "releases"
    ACCRUALS = "accruals"

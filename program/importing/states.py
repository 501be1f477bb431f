"""Where an import stands.

>>> ImportState("refused").value
'refused'
"""

from enum import StrEnum


class ImportState(StrEnum):
    """Uploaded sheets are checked by a job, then written whole or refused whole."""

    ASKED = "asked"
    REFUSED = "refused"
    DONE = "done"
    FAILED = "failed"

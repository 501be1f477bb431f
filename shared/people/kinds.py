"""Words of the people room, known before any model.

>>> [kind.value for kind in PersonKind]
['paid', 'volunteer']
"""

from enum import StrEnum


class PersonKind(StrEnum):
    """Whether hours are paid for or given."""

    PAID = "paid"
    VOLUNTEER = "volunteer"

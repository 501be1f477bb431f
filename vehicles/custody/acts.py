"""What an owner may consent to, and how somebody stands to a vehicle.

>>> Act("road_test").label
'Road test'
"""

from enum import StrEnum


class Act(StrEnum):
    """What needs an owner's signed consent."""

    DIAGNOSE = "diagnose"
    REPAIR = "repair"
    ROAD_TEST = "road_test"
    STORE = "store"

    @property
    def label(self) -> str:
        """The act at the start of a sentence."""
        return self.value.replace("_", " ").capitalize()


class OwnerKind(StrEnum):
    """What the paper that was seen says of a person."""

    TITLE = "title"
    REGISTRATION = "registration"
    LIENHOLDER = "lienholder"

"""Words of the people room, known before any model.

>>> [kind.value for kind in PersonKind]
['paid', 'volunteer']
>>> skill_in_words("road_test")
'road tests'
"""

from enum import StrEnum
from typing import Final

#: What a person can be signed off for: the systems of the car, and work that is none.
SKILLS: Final = (
    *("brakes", "steering", "suspension", "tires", "wheels", "lights", "glass", "restraint"),
    *("body", "exhaust", "fuel", "engine", "cooling", "transmission", "battery", "charging"),
    *("electrical", "heating", "emissions", "fluids"),
    *("lift", "road_test", "sign_off", "high_voltage"),
)


class PersonKind(StrEnum):
    """Whether hours are paid for or given."""

    PAID = "paid"
    VOLUNTEER = "volunteer"


class PaperKind(StrEnum):
    """A paper that somebody has to have seen before a person may do some work."""

    WAIVER = "waiver"
    DRIVER_LICENSE = "driver_license"
    INSURER_LIST = "insurer_list"
    CERTIFICATE = "certificate"
    REFRIGERANT = "refrigerant"
    HIGH_VOLTAGE = "high_voltage"

    @property
    def label(self) -> str:
        """The paper at the start of a sentence."""
        return _PAPERS[self]

    @property
    def within(self) -> str:
        """The paper inside a sentence, as in “No … of R. Amadi is on file.”."""
        return _WITHIN.get(self, self.value.replace("_", " "))


def skill_in_words(code: str) -> str:
    """Return a skill as it stands after “signed off for”."""
    return _SKILLS.get(code, code.replace("_", " "))


_PAPERS = {
    PaperKind.WAIVER: "Volunteer waiver",
    PaperKind.DRIVER_LICENSE: "Driver license",
    PaperKind.INSURER_LIST: "On the insurer’s driver list",
    PaperKind.CERTIFICATE: "Technician’s certificate",
    PaperKind.REFRIGERANT: "Refrigerant certificate, section 609",
    PaperKind.HIGH_VOLTAGE: "High-voltage training",
}
_WITHIN = {
    PaperKind.WAIVER: "volunteer waiver",
    PaperKind.INSURER_LIST: "insurer’s listing",
    PaperKind.REFRIGERANT: "refrigerant certificate",
    PaperKind.HIGH_VOLTAGE: "high-voltage training",
}
_SKILLS = {
    "glass": "glass and wipers",
    "restraint": "belts and airbags",
    "heating": "heating and air conditioning",
    "lift": "the lift",
    "road_test": "road tests",
    "sign_off": "final signatures",
}

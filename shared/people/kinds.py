"""Words of the people room, known before any model.

>>> [kind.value for kind in PersonKind]
['paid', 'volunteer']
"""

from enum import StrEnum


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


_PAPERS = {
    PaperKind.WAIVER: "Volunteer waiver",
    PaperKind.DRIVER_LICENSE: "Driver license",
    PaperKind.INSURER_LIST: "On the insurer’s driver list",
    PaperKind.CERTIFICATE: "Technician’s certificate",
    PaperKind.REFRIGERANT: "Refrigerant certificate, section 609",
    PaperKind.HIGH_VOLTAGE: "High-voltage training",
}

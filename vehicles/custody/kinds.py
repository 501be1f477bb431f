"""Words of custody, known before any model: papers, holds, liens, keys, contents, tows.

>>> Hold("repossession").label
'Repossession order'
>>> ContentKind("weapon").stops_work
True
"""

from __future__ import annotations

from enum import StrEnum


class Paper(StrEnum):
    """What was seen that says whose the car is."""

    TITLE = "title"
    REGISTRATION = "registration"
    NONE = "none"

    @property
    def label(self) -> str:
        """The paper at the start of a sentence."""
        return "Neither was seen" if self is Paper.NONE else self.value.capitalize()


class Joined(StrEnum):
    """How two names on a title stand: both have to sign, or one of them is enough."""

    ALL = "all"
    ANY = "any"
    UNKNOWN = "unknown"

    @property
    def label(self) -> str:
        """The joining word as a choice."""
        return _JOINED[self]


class Lien(StrEnum):
    """What a lender may claim."""

    NONE = "none"
    PAID_AS_AGREED = "paid_as_agreed"
    IN_DEFAULT = "in_default"
    UNKNOWN = "unknown"

    @property
    def label(self) -> str:
        """The lien as an answer to “Is there a lien?”."""
        return _LIENS[self]


class Hold(StrEnum):
    """What an authority or a lender has ordered."""

    NONE = "none"
    POLICE = "police"
    IMPOUND = "impound"
    REPOSSESSION = "repossession"
    COURT = "court"
    UNKNOWN = "unknown"

    @property
    def label(self) -> str:
        """The hold as an answer to “Does a hold stand against it?”."""
        return _HOLDS[self]


class Stolen(StrEnum):
    """The answer to whether the car was reported stolen."""

    NO = "no"
    REPORTED = "reported"
    UNKNOWN = "unknown"

    @property
    def label(self) -> str:
        """The answer as a choice."""
        return _STOLEN[self]


class SignedHow(StrEnum):
    """How a consent was given."""

    SCREEN = "screen"
    PAPER = "paper"
    PHONE = "phone"
    IMPORTED = "imported"

    @property
    def label(self) -> str:
        """The way at the start of a sentence."""
        return _SIGNED[self]


class ContentKind(StrEnum):
    """What lies in a car, as far as it changes what the shop does."""

    CHILD_SEAT = "child_seat"
    MEDICINE = "medicine"
    PAPERS = "papers"
    WORK_TOOLS = "work_tools"
    MOBILITY_AID = "mobility_aid"
    OTHER = "other"
    WEAPON = "weapon"
    BIOHAZARD = "biohazard"

    @property
    def label(self) -> str:
        """The kind as a choice."""
        return _CONTENTS[self]

    @property
    def stops_work(self) -> bool:
        """Whether nobody touches the car until the lead technician has decided."""
        return self in {ContentKind.WEAPON, ContentKind.BIOHAZARD}

    @property
    def is_essential(self) -> bool:
        """Whether it goes back to the household at once."""
        return self in {
            ContentKind.CHILD_SEAT,
            ContentKind.MEDICINE,
            ContentKind.PAPERS,
            ContentKind.WORK_TOOLS,
            ContentKind.MOBILITY_AID,
        }


class TowDirection(StrEnum):
    """Whether a tow brings the car or takes it away."""

    IN = "in"
    OUT = "out"

    @property
    def label(self) -> str:
        """The direction at the start of a sentence."""
        return "Tow in" if self is TowDirection.IN else "Tow out"


class TowKind(StrEnum):
    """How the car is carried."""

    FLATBED = "flatbed"
    WHEEL_LIFT = "wheel_lift"
    DOLLY = "dolly"

    @property
    def label(self) -> str:
        """The kind as a choice."""
        return self.value.replace("_", " ").capitalize()


class TowPayer(StrEnum):
    """Who pays a tow."""

    PROGRAM = "program"
    HOUSEHOLD = "household"
    INSURER = "insurer"
    SPONSOR = "sponsor"

    @property
    def label(self) -> str:
        """The payer as a choice."""
        return self.value.capitalize()


class TowAnswer(StrEnum):
    """What the household said to the tow that was offered."""

    TAKEN = "taken"
    REFUSED = "refused"
    OWN = "own"

    @property
    def label(self) -> str:
        """The answer as a choice."""
        return _TOW_ANSWERS[self]


class NoticeHow(StrEnum):
    """How the notice that the car is not safe was taken."""

    SIGNED = "signed"
    DECLINED = "declined"

    @property
    def label(self) -> str:
        """The way as a choice."""
        return _NOTICES[self]


_JOINED = {
    Joined.ALL: "All names have to sign (“and”)",
    Joined.ANY: "One name is enough (“or”)",
    Joined.UNKNOWN: "The title doesn’t say",
}
_LIENS = {
    Lien.NONE: "No lien",
    Lien.PAID_AS_AGREED: "Lien, paid as agreed",
    Lien.IN_DEFAULT: "Lien in default",
    Lien.UNKNOWN: "Nobody knows",
}
_HOLDS = {
    Hold.NONE: "No hold",
    Hold.POLICE: "Police hold",
    Hold.IMPOUND: "Impound hold",
    Hold.REPOSSESSION: "Repossession order",
    Hold.COURT: "Court order",
    Hold.UNKNOWN: "Nobody knows",
}
_STOLEN = {
    Stolen.NO: "Not reported stolen",
    Stolen.REPORTED: "Reported stolen",
    Stolen.UNKNOWN: "Nobody knows",
}
_SIGNED = {
    SignedHow.SCREEN: "Signed on the screen",
    SignedHow.PAPER: "Signed on paper, which is kept",
    SignedHow.PHONE: "Said on the phone, with a witness",
    SignedHow.IMPORTED: "Taken over from earlier records",
}
_CONTENTS = {
    ContentKind.CHILD_SEAT: "Child seat",
    ContentKind.MEDICINE: "Medicine",
    ContentKind.PAPERS: "Papers",
    ContentKind.WORK_TOOLS: "Tools for work",
    ContentKind.MOBILITY_AID: "Mobility aid",
    ContentKind.OTHER: "Something else",
    ContentKind.WEAPON: "Weapon",
    ContentKind.BIOHAZARD: "Needles or other biohazard",
}
_TOW_ANSWERS = {
    TowAnswer.TAKEN: "Taken: the program arranges a tow",
    TowAnswer.REFUSED: "Refused",
    TowAnswer.OWN: "They arrange their own tow",
}
_NOTICES = {
    NoticeHow.SIGNED: "Signed by the owner",
    NoticeHow.DECLINED: "Declined to sign, before a witness",
}

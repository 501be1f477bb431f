"""The models of the shared rooms, gathered for Django."""

from shared.accounts.models import Program, Role, User
from shared.audit.models import Event
from shared.documents.models import Document
from shared.jobs.models import Job
from shared.links.models import AccessLink
from shared.outbox.models import Address, Message
from shared.people.models import Credential, Person, Skill, WeekHours
from shared.policy.models import Policy
from shared.signatures.models import Signature

__all__ = [
    "AccessLink",
    "Address",
    "Credential",
    "Document",
    "Event",
    "Job",
    "Message",
    "Person",
    "Policy",
    "Program",
    "Role",
    "Signature",
    "Skill",
    "User",
    "WeekHours",
]

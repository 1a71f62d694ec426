"""Who there is: people, associations, what a person may do in which association."""

from accounts.models.association import Association, PaperSize
from accounts.models.audit import AuditEntry
from accounts.models.invitation import Invitation, InvitationState
from accounts.models.membership import Conflict, Membership
from accounts.models.terms import Role, Terms
from accounts.models.user import User, UserManager

__all__ = [
    "Association",
    "AuditEntry",
    "Conflict",
    "Invitation",
    "InvitationState",
    "Membership",
    "PaperSize",
    "Role",
    "Terms",
    "User",
    "UserManager",
]

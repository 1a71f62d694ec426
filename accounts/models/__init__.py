"""Who there is: people, associations, what a person may do in which association."""

from accounts.models.association import Association, PaperSize
from accounts.models.invitation import Invitation
from accounts.models.membership import Conflict, Membership, Role
from accounts.models.user import User, UserManager

__all__ = [
    "Association",
    "Conflict",
    "Invitation",
    "Membership",
    "PaperSize",
    "Role",
    "User",
    "UserManager",
]

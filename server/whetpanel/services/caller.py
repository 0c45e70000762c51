"""Who is asking, and what that person may do."""

from dataclasses import dataclass

from ..errors import NotAllowed

TESTER = "tester"
DEALER = "dealer"
STEWARD = "steward"
ROLES = (TESTER, DEALER, STEWARD)

_WORDS = {TESTER: "testers", DEALER: "the dealer", STEWARD: "the steward"}


@dataclass(frozen=True)
class Caller:
    """A signed-in member: the club, the member and the roles."""

    club_id: str
    member_id: str
    roles: frozenset[str]

    def has(self, *roles: str) -> bool:
        """Whether the member has at least one of these roles."""
        return bool(self.roles.intersection(roles))

    @property
    def sees_all(self) -> bool:
        """Dealers and stewards see every trial; a tester's eyes are kept fresh."""
        return self.has(DEALER, STEWARD)

    @property
    def view(self) -> str:
        """The name of what this member may see; a phone starts afresh when it changes."""
        if self.has(STEWARD):
            return STEWARD
        return DEALER if self.has(DEALER) else TESTER

    def require(self, *roles: str) -> None:
        """Refuse unless the member has one of these roles."""
        if not self.has(*roles):
            who = " or ".join(_WORDS[role] for role in roles)
            raise NotAllowed(f"Only {who} can do that. Ask your steward if you should be able to.")

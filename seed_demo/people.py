"""Who belongs to the demo's association. Everybody is invented; nobody has this address."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from accounts.models import Role, Terms

SLUG: Final = "quillwater"
NAME: Final = "Quillwater Basketball Officials’ Association"
PARAGRAPH: Final = (
    "Training night is every second Monday at 7 pm in the Quillwater Mill gym; whatever a letter "
    "suggests can be tried there. Questions about a letter: letters@example.org.\n"
    "La noche de entrenamiento es un lunes de cada dos, a las 19:00, en el mismo gimnasio."
)
MECHANICS: Final = "Quillwater crew mechanics, 3rd edition"
PASSWORD: Final = "seven lanterns at noon"
CLEARED_UNTIL: Final = date(2027, 6, 30)


@dataclass(frozen=True)
class Person:
    """Somebody with an address at example.org.

    `lean` is how much an observer rates above (or, negative, below) the others, in levels.
    """

    key: str
    name: str
    address: str
    roles: tuple[Role, ...] = (Role.OFFICIAL,)
    language: str = "en"
    lean: float = 0.0
    new_official: bool = False
    guardian: str = ""

    @property
    def email(self) -> str:
        return f"{self.address}@example.org"

    @property
    def terms(self) -> Terms:
        return Terms(
            roles=frozenset(self.roles),
            new_official=self.new_official,
            under_18=bool(self.guardian),
            guardian_email=self.guardian,
            cleared_until=CLEARED_UNTIL if Role.OBSERVER in self.roles else None,
        )


FIRST_ADMIN: Final = Person("tallow", "Ingrid Tallow", "ingrid.tallow", (Role.ADMIN,))
SECOND_ADMIN: Final = Person("moray", "Beckett Moray", "beckett.moray", (Role.ADMIN,))
ADMINS: Final = (FIRST_ADMIN, SECOND_ADMIN)

OBSERVER: Final = (Role.OBSERVER,)
OTHERS: Final = (
    Person("grange", "Philippa Grange", "philippa.grange", (Role.BOARD,)),
    Person("marchetti", "Delia Marchetti", "delia.marchetti", OBSERVER),
    Person("zajac", "Piotr Zając", "piotr.zajac", OBSERVER, lean=0.1),
    Person("ibarra", "Yolanda Ibarra", "yolanda.ibarra", OBSERVER, lean=0.2),
    Person("voss", "Harlan Voss", "harlan.voss", OBSERVER, lean=-0.7),
    Person("tamblyn", "Roscoe Tamblyn", "roscoe.tamblyn", OBSERVER),
    Person("fenwick", "Alma Fenwick", "alma.fenwick", (Role.OBSERVER, Role.OFFICIAL), lean=0.1),
    Person("wierzba", "Łukasz Wierzba", "lukasz.wierzba"),
    Person("zizka", "Marek Žižka", "marek.zizka"),
    Person("demirel", "İlkay Demirel", "ilkay.demirel"),
    Person("vuletin", "Đorđe Vuletin", "dorde.vuletin"),
    Person("hvammdal", "Þóra Hvammdal", "thora.hvammdal"),
    Person("quintero", "Marisol Quintero", "marisol.quintero", language="es"),
    Person("arrizabal", "Joaquín Arrizabal", "joaquin.arrizabal", language="es"),
    Person("birdsong", "Imani Birdsong", "imani.birdsong"),
    Person("thornquist", "Caleb Thornquist", "caleb.thornquist"),
    Person("mabry", "Tyrell Mabry", "tyrell.mabry"),
    Person("raghunath", "Priya Raghunath", "priya.raghunath"),
    Person("oakley", "Deshawn Oakley", "deshawn.oakley"),
    Person("lindqvist", "Gus Lindqvist", "gus.lindqvist"),
    Person("haddadin", "Noor Haddadin", "noor.haddadin"),
    Person("oshaughlin", "Bridget O’Shaughlin", "bridget.oshaughlin"),
    Person("morikawa", "Kenji Morikawa-Dale", "kenji.morikawa-dale"),
    Person("eddings", "Marcus Eddings", "marcus.eddings"),
    Person("brandvold", "Lena Brandvold", "lena.brandvold"),
    Person("ruhl", "Theo Ruhl", "theo.ruhl"),
    Person("castellano", "Renata Castellano", "renata.castellano"),
    Person("kowal", "Sadie Kowal", "sadie.kowal"),
    Person("pritchett", "Owen Pritchett", "owen.pritchett", new_official=True),
    Person("halloway", "Wren Halloway", "wren.halloway", guardian="june.halloway@example.org"),
)
EVERYBODY: Final = {person.key: person for person in (*ADMINS, *OTHERS)}

WRITES_SPANISH: Final = frozenset({"ibarra", "tamblyn"})
"""Only they are sent to games of officials whose letters are in Spanish."""

CONFLICT: Final = ("tamblyn", "haddadin", "Related by marriage.")


@dataclass(frozen=True)
class SignIn:
    """Somebody whose sign-in the command prints, and what there is to see."""

    role: str
    person: Person
    note: str

    @property
    def second_step(self) -> bool:
        return Role.ADMIN in self.person.roles


def sign_ins() -> Iterator[SignIn]:
    """One person for each role, the second admin, and an official who reads Spanish."""
    yield SignIn(
        "Admin", FIRST_ADMIN, "forms wait for release, others are overdue, a review is open"
    )
    yield SignIn("Second admin", SECOND_ADMIN, "says yes to a rubric that the first proposes")
    yield SignIn("Observer", EVERYBODY["marchetti"], "a form came back, two games to write up")
    yield SignIn("Official", EVERYBODY["birdsong"], "four letters, the newest unread")
    yield SignIn("Official (Spanish)", EVERYBODY["quintero"], "letters in Spanish")
    yield SignIn("Board member", EVERYBODY["grange"], "reads, and changes nothing")

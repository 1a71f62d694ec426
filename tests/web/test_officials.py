"""Who was seen how often, and one official's letters, for admins and the board."""

from __future__ import annotations

from accounts.models import Membership
from evaluations.models import Season
from evaluations.queries.seasons import officials_seen
from evaluations.services.answers import amend
from evaluations.services.releases import withdraw
from tests.factories.accounts import Cast, signed_in
from tests.factories.evaluations import season_of
from tests.factories.releases import OPEN_AT, letter_of, released_crew

ADDRESS = "/a/rivers/officials/"


def page_of(member: Membership, address: str = ADDRESS) -> str:
    answer = signed_in(member).get(address)
    assert answer.status_code == 200
    return answer.content.decode()


def test_who_was_not_seen_comes_first(cast: Cast) -> None:
    released_crew(cast)
    page = page_of(cast.admin)
    unseen, seen = page.index("Kit Larkin"), page.index("Nico Vale")
    assert unseen < seen
    assert "not seen yet" in page


def test_a_form_that_is_not_released_is_not_seen_yet(cast: Cast) -> None:
    season_of(cast.association)
    assert "not seen yet" in page_of(cast.board)


def letters_of(official: Membership, reader: Membership) -> int:
    """How many letters the list counts for an official."""
    seen = officials_seen(reader, Season.objects.get())
    [letters] = [one.letters for one in seen if one.official == official]
    return letters


def test_while_a_letter_is_amended_its_official_stays_seen(cast: Cast) -> None:
    letter = released_crew(cast)[0]
    assert letters_of(cast.official, cast.admin) == 1
    amend(release=letter, reason="Dead ball 9 is wrong.", by=cast.admin, now=OPEN_AT)
    assert letters_of(cast.official, cast.admin) == 1


def test_a_withdrawn_letter_is_no_longer_counted(cast: Cast) -> None:
    withdraw(release=released_crew(cast)[0], reason="Wrong game.", by=cast.admin, now=OPEN_AT)
    assert letters_of(cast.official, cast.admin) == 0
    assert letters_of(cast.other_official, cast.admin) == 1


def test_no_total_of_an_official_under_18_is_listed(cast: Cast) -> None:
    letter = released_crew(cast)[0]
    cast.official.under_18, cast.official.guardian_email = True, "guardian@example.org"
    cast.official.save()
    page = page_of(cast.board, f"{ADDRESS}{cast.official.pk}/")
    assert "no total" in page
    assert f">{letter.total:.0f}<" not in page


def test_admins_and_the_board_find_an_officials_letters(cast: Cast) -> None:
    released_crew(cast)
    letter = letter_of(cast.official)
    for reader in (cast.admin, cast.board):
        page = page_of(reader, f"{ADDRESS}{cast.official.pk}/")
        assert f'href="/a/rivers/letters/{letter.pk}/"' in page
        assert "not comparable" in page


def test_an_observer_or_official_finds_neither_list(cast: Cast) -> None:
    released_crew(cast)
    for member in (cast.observer, cast.official):
        client = signed_in(member)
        assert client.get(ADDRESS).status_code == 403
        assert client.get(f"{ADDRESS}{cast.official.pk}/").status_code == 403


def test_an_official_of_another_association_is_not_found(cast: Cast) -> None:
    elsewhere = cast.other_official_elsewhere
    assert signed_in(cast.admin).get(f"{ADDRESS}{elsewhere.pk}/").status_code == 404
    assert signed_in(cast.other_admin).get(ADDRESS).status_code == 404


def test_who_is_no_official_has_no_page_of_letters(cast: Cast) -> None:
    assert signed_in(cast.admin).get(f"{ADDRESS}{cast.observer.pk}/").status_code == 404

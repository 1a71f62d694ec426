"""What a person says about himself or herself."""

from __future__ import annotations

import pytest

from accounts.models import AuditEntry, User
from tests.factories.accounts import Cast, signed_in

ANSWERS = {
    "name": "Nico Valle",
    "pronouns": "they",
    "language": "es",
    "time_zone": "America/Denver",
}


def test_everybody_changes_the_own_profile(cast: Cast) -> None:
    answer = signed_in(cast.official).post("/profile/", ANSWERS)
    assert answer.status_code == 302
    kept = User.objects.get(pk=cast.official.user.pk)
    assert {name: getattr(kept, name) for name in ANSWERS} == ANSWERS
    assert AuditEntry.objects.get(action="profile.changed").actor == kept


def test_pronouns_are_optional(cast: Cast) -> None:
    signed_in(cast.official).post("/profile/", ANSWERS | {"pronouns": ""})
    assert User.objects.get(pk=cast.official.user.pk).pronouns == ""


@pytest.mark.parametrize(
    "changes", [{"name": " "}, {"language": "xx"}, {"time_zone": "Moon/Crater"}, {"name": "n" * 81}]
)
def test_what_makes_no_sense_is_said_and_what_was_typed_is_kept(
    cast: Cast, changes: dict[str, str]
) -> None:
    page = signed_in(cast.official).post("/profile/", ANSWERS | changes)
    assert "Please look at these answers again" in page.content.decode()
    assert 'value="they"' in page.content.decode()
    assert User.objects.get(pk=cast.official.user.pk).name == "Nico Vale"


def test_other_columns_can_t_be_set_from_outside(cast: Cast) -> None:
    extra = {"email": "x@example.org", "is_staff": "on", "is_superuser": "on", "is_active": ""}
    signed_in(cast.official).post("/profile/", ANSWERS | extra)
    kept = User.objects.get(pk=cast.official.user.pk)
    assert (kept.email, kept.is_staff, kept.is_superuser, kept.is_active) == (
        "nico.vale@example.org",
        False,
        False,
        True,
    )


def test_pages_speak_the_person_s_language_and_say_so(cast: Cast) -> None:
    client = signed_in(cast.official)
    client.post("/profile/", ANSWERS)
    answer = client.get("/profile/", headers={"Accept-Language": "en"})
    assert answer["Content-Language"] == "es"
    assert '<html lang="es">' in answer.content.decode()


def test_the_clock_is_the_person_s(cast: Cast) -> None:
    cast.admin.user.time_zone = "Pacific/Kiritimati"
    cast.admin.user.save()
    type(cast.official).objects.filter(pk=cast.official.pk).update(joined_at="2026-11-02T18:00Z")
    address = f"/a/rivers/people/{cast.official.pk}/"
    assert "Nov. 3, 2026" in signed_in(cast.admin).get(address).content.decode()
    assert "Nov. 2, 2026" in signed_in(cast.second_admin).get(address).content.decode()


def test_a_time_zone_of_an_older_name_stays_chosen(cast: Cast) -> None:
    User.objects.filter(pk=cast.official.user.pk).update(time_zone="US/Central")
    page = signed_in(cast.official).get("/profile/").content.decode()
    assert '<option value="US/Central" selected>' in page

"""The association's settings."""

from __future__ import annotations

import pytest

from accounts.models import Association, AuditEntry
from accounts.services.associations import change_settings
from tests.factories.accounts import NOW, Cast, signed_in

SETTINGS = "/a/rivers/settings/"
ANSWERS = {
    "name": "Three Rivers Officials",
    "language": "es",
    "time_zone": "America/Denver",
    "court": "feet_94",
    "paper_size": "a4",
    "letter_paragraph": "Call the office on weekdays.",
    "due_hours": "72",
    "cool_off_hours": "24",
    "quiet_from": "22:00",
    "quiet_until": "07:30",
    "quiet_before_game_hours": "8",
    "respond_days": "10",
    "coaching_first": "3",
}


def test_an_admin_changes_them(cast: Cast) -> None:
    assert signed_in(cast.admin).post(SETTINGS, ANSWERS).status_code == 302
    kept = Association.objects.get(pk=cast.association.pk)
    assert kept.name == "Three Rivers Officials"
    assert kept.court == "feet_94"
    assert not kept.show_observer
    assert (kept.due_hours, kept.coaching_first) == (72, 3)
    assert kept.quiet_until.isoformat("minutes") == "07:30"
    entry = AuditEntry.objects.get(action="association.settings_changed")
    assert "name" in entry.details["changed"]
    assert "Call the office" not in str(entry.details)


@pytest.mark.parametrize(
    "changes",
    [
        {"name": ""},
        {"name": "Salt Harbor Officials' Association"},
        {"letter_paragraph": "x" * 401},
        {"time_zone": "Moon/Crater"},
        {"respond_days": "-1"},
        {"coaching_first": "11"},
        {"quiet_from": "25:00"},
    ],
)
def test_what_makes_no_sense_is_said_and_changes_nothing(
    cast: Cast, changes: dict[str, str]
) -> None:
    page = signed_in(cast.admin).post(SETTINGS, ANSWERS | changes)
    assert "Please look at these answers again" in page.content.decode()
    kept = Association.objects.get(pk=cast.association.pk)
    assert (kept.name, kept.paper_size) == (cast.association.name, "letter")


def test_the_address_never_changes(cast: Cast) -> None:
    signed_in(cast.admin).post(SETTINGS, ANSWERS | {"slug": "elsewhere"})
    assert Association.objects.get(pk=cast.association.pk).slug == "rivers"
    with pytest.raises(ValueError, match="never changes"):
        change_settings(
            association=cast.association,
            actor=cast.admin.user,
            settings={"slug": "elsewhere"},
            now=NOW,
        )

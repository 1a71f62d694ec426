"""Who did what stays written down."""

from __future__ import annotations

import pytest
from django.urls import reverse

from accounts.models import AuditEntry, Conflict, Invitation
from accounts.services.audit import record
from tests.factories.accounts import NOW, Cast, signed_in


def entry(cast: Cast) -> AuditEntry:
    return record(
        actor=cast.admin.user,
        association=cast.association,
        action="test.done",
        target=cast.official,
        now=NOW,
        details={"hash": "ab12"},
    )


def test_an_entry_says_who_did_what_to_which_object_when(cast: Cast) -> None:
    kept = AuditEntry.objects.get(pk=entry(cast).pk)
    assert kept.actor == cast.admin.user
    assert (kept.action, kept.object_type) == ("test.done", "accounts.membership")
    assert (kept.object_id, kept.at) == (str(cast.official.pk), NOW)


def test_entries_can_be_neither_changed_nor_removed(cast: Cast) -> None:
    kept = entry(cast)
    kept.action = "nothing.happened"
    with pytest.raises(TypeError):
        kept.save()
    with pytest.raises(TypeError):
        kept.delete()
    with pytest.raises(TypeError):
        AuditEntry.objects.update(action="nothing.happened")
    with pytest.raises(TypeError):
        AuditEntry.objects.filter(pk=kept.pk).delete()
    assert AuditEntry.objects.get(pk=kept.pk).action == "test.done"


def test_everything_an_admin_does_leaves_an_entry_without_content(cast: Cast) -> None:
    client = signed_in(cast.admin)

    def post(page: str, *keys: int, **answers: object) -> list[str]:
        before = AuditEntry.objects.count()
        answer = client.post(reverse(f"accounts:{page}", args=[cast.slug, *keys]), answers)
        assert answer.status_code in {200, 302}
        return [entry.action for entry in AuditEntry.objects.order_by("pk")[before:]]

    official = cast.official.pk
    assert post("person", official, roles=["official"], new_official="on") == ["membership.changed"]
    assert post("person_end", official) == ["membership.ended"]
    assert post("person_return", official) == ["membership.returned"]
    invitee = {"name": "Nell Ashby", "email": "nell@example.org", "roles": ["official"]}
    assert post("invite", **invitee) == ["invitation.sent"]
    assert post("invite", **invitee) == ["invitation.revoked", "invitation.sent"]
    invitation = Invitation.objects.latest("pk")
    assert post("invitation_revoke", invitation.pk) == ["invitation.revoked"]
    conflict = {"observer": cast.observer.pk, "official": official, "reason": "cousins"}
    assert post("conflicts", **conflict) == ["conflict.declared"]
    assert post("conflict_withdraw", Conflict.objects.get().pk) == ["conflict.withdrawn"]
    written = str(list(AuditEntry.objects.values_list("details", flat=True)))
    for content in ("Nell", "nell@example.org", "cousins", "Nico"):
        assert content not in written

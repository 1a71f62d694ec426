"""The association's settings."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.forms import AssociationForm
from accounts.http import MemberRequest, posted
from accounts.models import Association
from accounts.services.associations import change_settings


def settings(request: MemberRequest) -> HttpResponse:
    """Name, paper, clock, and how letters go out."""
    # The form writes what was typed into its instance, so it gets one of its own.
    own = Association.objects.get(pk=request.association.pk)
    form = AssociationForm(posted(request), instance=own)
    if form.is_valid():
        change_settings(
            association=request.association,
            actor=request.user,
            settings=form.cleaned_data,
            now=timezone.now(),
        )
        messages.success(request, _("The settings are saved."))
        return redirect("accounts:settings", association=request.association.slug)
    return render(request, "accounts/settings.html", {"form": form})

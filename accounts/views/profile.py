"""One's own profile."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.forms import ProfileForm
from accounts.http import SignedInRequest, posted
from accounts.models import User
from accounts.services.profile import update_profile


def profile(request: SignedInRequest) -> HttpResponse:
    """Name, pronouns, language and time zone."""
    # The form writes what was typed into its instance, so it gets one of its own.
    form = ProfileForm(posted(request), instance=User.objects.get(pk=request.user.pk))
    if form.is_valid():
        update_profile(user=request.user, now=timezone.now(), **form.cleaned_data)
        messages.success(request, _("Your profile is saved."))
        return redirect("accounts:profile")
    return render(request, "accounts/profile.html", {"form": form})

"""Declared conflicts: an observer's own, or all of them for an admin."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.forms import ConflictForm
from accounts.http import MemberRequest, posted
from accounts.queries import people as queries
from accounts.services.conflicts import declare_conflict, withdraw_conflict


def conflicts(request: MemberRequest) -> HttpResponse:
    """The list, and a form to declare one."""
    form = ConflictForm(request.member, posted(request))
    if form.is_valid():
        try:
            declare_conflict(
                observer=form.observer_chosen,
                official=form.cleaned_data["official"],
                reason=form.cleaned_data["reason"],
                actor=request.user,
                now=timezone.now(),
            )
        except ValidationError as error:
            form.add_error(None, error.messages)
        else:
            messages.success(request, _("The conflict is declared."))
            return redirect("accounts:conflicts", association=request.association.slug)
    context = {"form": form, "conflicts": queries.conflicts(request.member)}
    return render(request, "accounts/conflicts.html", context)


def withdraw(request: MemberRequest, pk: int) -> HttpResponse:
    """Withdraw a conflict that has passed."""
    conflict = get_object_or_404(queries.conflicts(request.member), pk=pk)
    withdraw_conflict(conflict=conflict, actor=request.user, now=timezone.now())
    messages.success(request, _("The conflict is withdrawn."))
    return redirect("accounts:conflicts", association=request.association.slug)

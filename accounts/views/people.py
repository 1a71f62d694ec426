"""The association's people, for its admins."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from accounts.forms import PeopleFilter, TermsForm
from accounts.http import MemberRequest, posted
from accounts.queries.people import everybody, open_invitations
from accounts.services.memberships import (
    change_membership,
    end_membership,
    return_to_membership,
)

PEOPLE_A_PAGE = 50


def people(request: MemberRequest) -> HttpResponse:
    """The list, narrowed down by name, role or ended, and the invitations under way."""
    form = PeopleFilter(request.GET)
    found = Paginator(form.narrow(request.member), PEOPLE_A_PAGE)
    context = {
        "form": form,
        "page": found.get_page(request.GET.get("page")),
        "invitations": open_invitations(request.member, now=timezone.now()),
    }
    return render(request, "accounts/people.html", context)


def person(request: MemberRequest, pk: int) -> HttpResponse:
    """One person's roles and marks."""
    membership = get_object_or_404(everybody(request.member), pk=pk)
    form = TermsForm(posted(request), initial=TermsForm.initial_from(membership))
    if form.is_valid():
        try:
            change_membership(
                membership=membership, actor=request.user, terms=form.terms, now=timezone.now()
            )
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(
                request,
                _("Saved. It holds from the next page %(name)s opens.") % {"name": membership},
            )
            return redirect("accounts:people", association=request.association.slug)
    return render(request, "accounts/person.html", {"form": form, "membership": membership})


def end(request: MemberRequest, pk: int) -> HttpResponse:
    """End a membership."""
    membership = get_object_or_404(everybody(request.member), pk=pk)
    try:
        end_membership(membership=membership, actor=request.user, now=timezone.now())
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
    else:
        messages.success(request, _("The membership of %(name)s has ended.") % {"name": membership})
    return redirect("accounts:person", association=request.association.slug, pk=pk)


def return_(request: MemberRequest, pk: int) -> HttpResponse:
    """Open an ended membership again."""
    membership = get_object_or_404(everybody(request.member), pk=pk)
    return_to_membership(membership=membership, actor=request.user, now=timezone.now())
    messages.success(request, _("%(name)s is a member again.") % {"name": membership})
    return redirect("accounts:person", association=request.association.slug, pk=pk)

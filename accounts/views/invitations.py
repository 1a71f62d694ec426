"""Invitations: sending, revoking, accepting."""

from __future__ import annotations

from allauth.account.utils import perform_login
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache

from accounts.forms import AcceptForm, InviteForm
from accounts.http import MemberRequest, posted
from accounts.models import Invitation, InvitationState, User
from accounts.queries.invitations import account_exists, invitation_with
from accounts.queries.people import open_invitations
from accounts.services import invitations as services
from accounts.services.mail import invitation_link, send_invitation


def invite(request: MemberRequest) -> HttpResponse:
    """Invite somebody. The link is shown in the answer and never again."""
    form = InviteForm(posted(request))
    if form.is_valid():
        try:
            invitation, token = services.invite(
                association=request.association,
                actor=request.user,
                email=form.cleaned_data["email"],
                name=form.cleaned_data["name"],
                terms=form.terms,
                now=timezone.now(),
            )
        except ValidationError as error:
            form.add_error(None, error)
        else:
            mailed = send_invitation(invitation=invitation, token=token)
            context = {"invitation": invitation, "link": invitation_link(token), "mailed": mailed}
            return render(request, "accounts/invited.html", context)
    return render(request, "accounts/invite.html", {"form": form})


def revoke(request: MemberRequest, pk: int) -> HttpResponse:
    """Make an invitation's link worthless."""
    invitation = get_object_or_404(open_invitations(request.member, now=timezone.now()), pk=pk)
    try:
        services.revoke_invitation(invitation=invitation, actor=request.user, now=timezone.now())
    except services.InvitationClosed:
        messages.error(request, _("This invitation was used or revoked a moment ago."))
    else:
        messages.success(
            request, _("The invitation to %(email)s is revoked.") % {"email": invitation.email}
        )
    return redirect("accounts:people", association=request.association.slug)


@never_cache
def accept(request: HttpRequest, token: str) -> HttpResponseBase:
    """The page of an invitation's link: as a new person, or with the account there is."""
    invitation = invitation_with(services.token_hash(token))
    if invitation is None or invitation.state(timezone.now()) is not InvitationState.OPEN:
        return _closed(request, invitation)
    try:
        if isinstance(request.user, User):
            return _accept_signed_in(request, invitation, request.user)
        if account_exists(invitation.email):
            return render(request, "accounts/invitation_sign_in.html", {"invitation": invitation})
        return _accept_new(request, invitation)
    except services.InvitationClosed:
        invitation.refresh_from_db()
        return _closed(request, invitation)


def _closed(request: HttpRequest, invitation: Invitation | None) -> HttpResponse:
    """Says why the link is good for nothing and what to do: 410, or 404 if it never was."""
    state = invitation.state(timezone.now()) if invitation else None
    context = {"invitation": invitation, "state": state}
    status = 410 if invitation else 404
    return render(request, "accounts/invitation_closed.html", context, status=status)


def _accept_signed_in(request: HttpRequest, invitation: Invitation, user: User) -> HttpResponse:
    context = {"invitation": invitation}
    if request.method != "POST":
        other = user.email.lower() != invitation.email
        template = "invitation_other" if other else "invitation_join"
        return render(request, f"accounts/{template}.html", context)
    try:
        membership = services.accept_as_existing_person(
            invitation=invitation, user=user, now=timezone.now()
        )
    except services.WrongPerson:
        return render(request, "accounts/invitation_other.html", context, status=403)
    return redirect("evaluations:home", association=membership.association.slug)


def _accept_new(request: HttpRequest, invitation: Invitation) -> HttpResponseBase:
    initial = {"name": invitation.name, "language": invitation.association.language}
    form = AcceptForm(posted(request), initial=initial)
    if form.is_valid():
        try:
            membership = services.accept_as_new_person(
                invitation=invitation,
                name=form.cleaned_data["name"],
                password=form.cleaned_data["password"],
                language=form.cleaned_data["language"],
                now=timezone.now(),
            )
        except ValidationError as error:
            form.add_error(None, error)
        else:
            there = reverse("evaluations:home", args=[membership.association.slug])
            answer: HttpResponseBase = perform_login(request, membership.user, redirect_url=there)
            return answer
    context = {"invitation": invitation, "form": form}
    return render(request, "accounts/invitation_new.html", context)

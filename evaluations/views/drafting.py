"""What the pages of a draft rubric share: only drafts open, and a refused save keeps the text."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial, wraps
from typing import Concatenate, ParamSpec, TypeVar

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _

from accounts.http import MemberRequest
from evaluations.forms.rubric_fields import DraftForm
from evaluations.models import Rubric
from evaluations.queries.rubrics import rubrics_for
from evaluations.services.errors import Refused, StaleVersion
from evaluations.views.refusals import attempt

P = ParamSpec("P")
T = TypeVar("T")
OfRubric = Callable[Concatenate[MemberRequest, Rubric, P], HttpResponse]


def of_draft(view: OfRubric[P]) -> Callable[..., HttpResponse]:
    """A page that edits: it opens for drafts only, and shows others where they can be read.

    What is sent goes to the service in any case, which refuses it with the text kept.
    """

    @wraps(view)
    def page(request: MemberRequest, pk: int, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        rubric = get_object_or_404(rubrics_for(request.member), pk=pk)
        if request.method != "POST" and rubric.state != Rubric.State.DRAFT:
            messages.info(request, _("Only a draft can be changed."))
            return redirect("evaluations:rubric", request.association.slug, rubric.pk)
        return view(request, rubric, *args, **kwargs)

    return page


def or_404(found: T | None) -> T:
    """What was found, or the page that isn't there."""
    if found is None:
        raise Http404
    return found


def saved(request: MemberRequest, form: DraftForm, write: Callable[[], object]) -> bool:
    """Whether a checked form could be written; a refusal stands at the form, with what to do."""
    try:
        write()
    except StaleVersion as refusal:
        form.show_stored()
        form.add_error(None, str(refusal))
    except Refused as refusal:
        form.add_error(None, str(refusal))
    except ValidationError as error:
        form.add_error(None, error.messages)
    else:
        messages.success(request, _("Saved."))
        return True
    return False


def done(request: MemberRequest, write: Callable[..., object], message: str) -> None:
    """Do what a single button asks for; the answer or the refusal is said on the next page."""
    form = DraftForm(request.POST, version=0)
    if form.is_valid():
        attempt(request, partial(write, version=form.cleaned_data["version"]), message)
    else:
        messages.error(request, _("Load the page again and repeat the step."))

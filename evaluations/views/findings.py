"""A season's findings over the association, for admins and the board: a page and a file."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from accounts.http import MemberRequest
from evaluations.core.mechanics import training
from evaluations.forms.findings import FindingsFilter
from evaluations.queries.findings import season_findings
from evaluations.queries.findings_pages import file_name, findings_csv, findings_page
from evaluations.queries.games import local_day
from evaluations.queries.seasons import current_season
from evaluations.voice import SiteVoice


def findings(request: MemberRequest) -> HttpResponse:
    """The next training topics, and every rule with its share and interval."""
    form = _filter(request)
    context = {"form": form, "training": training, "found": None}
    if form.asked is not None:
        found = season_findings(request.member, form.asked)
        context |= {
            "found": found,
            "page": findings_page(found, SiteVoice(request.user.language)),
        }
    return render(request, "evaluations/season/findings.html", context)


def findings_export(request: MemberRequest) -> HttpResponse:
    """The same figures as a file of comma-separated values."""
    asked = _filter(request).asked
    if asked is None:
        raise Http404
    found = season_findings(request.member, asked)
    text = findings_csv(found, SiteVoice(request.user.language))
    name = f'attachment; filename="{file_name(found)}"'
    headers = {"Content-Disposition": name}
    return HttpResponse(text, content_type="text/csv; charset=utf-8", headers=headers)


def _filter(request: MemberRequest) -> FindingsFilter:
    today = local_day(timezone.now(), request.association.time_zone)
    season = current_season(request.association, today)
    return FindingsFilter(request.member, request.GET, season=season)

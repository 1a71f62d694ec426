"""Every address of an association's pages. One action a line; who may do it stands in
`accounts.permissions`."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver

app_name = "evaluations"

urlpatterns: list[URLPattern | URLResolver] = []

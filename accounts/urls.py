"""Addresses of people and associations. Each name has its line in `accounts.permissions`."""

from django.urls import path

from accounts.views import conflicts, home, invitations, people, profile, settings

app_name = "accounts"

urlpatterns = [
    path("", home.home, name="home"),
    path("profile/", profile.profile, name="profile"),
    path("invitation/<str:token>/", invitations.accept, name="invitation_accept"),
    path("a/<slug:association>/people/", people.people, name="people"),
    path("a/<slug:association>/people/invite/", invitations.invite, name="invite"),
    path(
        "a/<slug:association>/people/invitations/<int:pk>/revoke/",
        invitations.revoke,
        name="invitation_revoke",
    ),
    path("a/<slug:association>/people/<int:pk>/", people.person, name="person"),
    path("a/<slug:association>/people/<int:pk>/end/", people.end, name="person_end"),
    path("a/<slug:association>/people/<int:pk>/return/", people.return_, name="person_return"),
    path("a/<slug:association>/conflicts/", conflicts.conflicts, name="conflicts"),
    path(
        "a/<slug:association>/conflicts/<int:pk>/withdraw/",
        conflicts.withdraw,
        name="conflict_withdraw",
    ),
    path("a/<slug:association>/settings/", settings.settings, name="settings"),
]

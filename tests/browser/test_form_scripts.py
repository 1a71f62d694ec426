"""What the form's scripts add: answers are saved as one goes, and nothing typed is ever lost.

The page is made of the site's own templates; what the server answers is set by each test.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from urllib.parse import parse_qs

import pytest
from django import forms
from django.template import engines
from playwright.sync_api import Dialog, Page, Request, Route, expect

from evaluations.forms.widgets import NOT_SEEN, LevelScale
from tests.browser.accessibility import violations

LEVELS = [("1", "seldom"), ("2", "at times"), ("3", "usually"), (NOT_SEEN, "not seen")]
CRITERIA = {"still": "Stands still before the first sign", "round": "Goes round the players"}

SHEET = """{% extends "base.html" %}{% load static crispy_forms_tags %}
{% block title %}Evaluation{% endblock %}{% block heading %}Evaluation{% endblock %}
{% block content %}
  {% include "partials/save_conflict.html" with newest_url="/newest/" %}
  <form id="sheet" method="post" action="/checked/" novalidate
        data-save-url="/save/" data-version="3" data-time-zone="America/Chicago">
    <input type="hidden" name="csrfmiddlewaretoken" value="{{ token }}">
    <input type="hidden" name="version" value="3">
    {% for part in form %}<div class="row">{{ part|as_crispy_field }}</div>{% endfor %}
    <p class="budget" data-budget-of="step" data-limit="20" data-text-left="{n} left in all"
       data-text-over="{n} too many in all">At most 20 in all.</p>
    <div data-weight-group data-text="{weight} of {total} → {share} %">
      <label for="w1">Signals</label><input id="w1" data-weight data-unsaved name="w1" value="20">
      <output data-share-of="w1"></output>
      <label for="w2">Switching</label><input id="w2" data-weight data-unsaved name="w2" value="60">
      <output data-share-of="w2"></output>
    </div>
  </form>
{% endblock %}
{% block bar %}<section class="bar" aria-label="Progress"><div>
  <div class="standing">{% include "partials/progress.html" with answered=0 total=2 not_seen=0 %}
  {% include "partials/save_status.html" %}</div>
  <a class="button quiet" href="#" data-next-open hidden>Next open one</a>
  <button class="button primary" form="sheet">Check answers</button>
</div></section>{% endblock %}
{% block scripts %}{% for name in scripts %}
  <script type="module" src="{% static 'evaluations/js/' %}{{ name }}.js"></script>
{% endfor %}{% endblock %}"""


class Sheet(forms.Form):
    still = forms.ChoiceField(
        label=CRITERIA["still"],
        choices=LEVELS,
        widget=LevelScale(wordings={"2": "Up to about half.", "3": "More than half."}),
    )
    round = forms.ChoiceField(label=CRITERIA["round"], choices=LEVELS, widget=LevelScale())
    comment = forms.CharField(widget=forms.Textarea(attrs={"data-budget": 30}))
    seen = forms.CharField(widget=forms.Textarea(attrs={"data-budget-group": "step"}))
    practice = forms.CharField(widget=forms.Textarea(attrs={"data-budget-group": "step"}))


@dataclass
class Server:
    """Answers saves with what `answers` says in turn, then with success; keeps what was sent."""

    token: str = "first-token"
    answers: list[Callable[[Route], None]] = field(default_factory=list)
    saves: list[dict[str, list[str]]] = field(default_factory=list)
    submitted: list[dict[str, list[str]]] = field(default_factory=list)

    def page(self, route: Route) -> None:
        scripts = ["scale", "autosave", "counter", "shares"]
        context = {"form": Sheet(), "token": self.token, "scripts": scripts}
        html = engines["django"].from_string(SHEET).render(context)
        route.fulfill(body=html, content_type="text/html; charset=utf-8")

    def save(self, route: Route) -> None:
        self.saves.append(sent(route.request))
        if self.answers:
            self.answers.pop(0)(route)
        else:
            self.success(route)

    def success(self, route: Route) -> None:
        version = int(self.saves[-1]["version"][0]) + 1
        answer = {"version": version, "saved_at": "2026-11-11T01:42:10+00:00"}
        route.fulfill(body=json.dumps(answer), content_type="application/json")

    def checked(self, route: Route) -> None:
        self.submitted.append(sent(route.request))
        route.fulfill(body="<!doctype html><title>Check</title>", content_type="text/html")


def sent(request: Request) -> dict[str, list[str]]:
    return parse_qs(request.post_data or "", keep_blank_values=True)


def status(code: int, body: str = "") -> Callable[[Route], None]:
    return lambda route: route.fulfill(status=code, body=body)


@pytest.fixture
def server(phone: Page) -> Server:
    server = Server()
    phone.route("**/sheet/", server.page)
    phone.route("**/save/", server.save)
    phone.route("**/checked/", server.checked)
    phone.goto("/sheet/")
    return server


def choose(page: Page, criterion: str, level: str) -> None:
    page.get_by_role("radiogroup", name=CRITERIA[criterion]).get_by_label(level).check()


def says(page: Page, text: str) -> None:
    expect(page.locator("[data-save-line]")).to_have_text(text)


def test_the_sheet_is_accessible(phone: Page, server: Server) -> None:
    assert violations(phone) == []
    assert server.saves == []


def test_a_level_is_saved_at_once_and_alone(phone: Page, server: Server) -> None:
    choose(phone, "still", "at times")
    says(phone, "saved 19:42")  # the association's clock, not the phone's
    assert server.saves == [
        {"still": ["2"], "version": ["3"], "csrfmiddlewaretoken": ["first-token"]}
    ]
    choose(phone, "round", "not seen")
    expect(phone.locator("[name=version]")).to_have_value("5")
    assert server.saves[1]["round"] == [NOT_SEEN]
    assert server.saves[1]["version"] == ["4"]
    assert "still" not in server.saves[1]


def test_typing_is_saved_when_it_pauses_and_the_spoken_line_stays(
    phone: Page, server: Server
) -> None:
    comment = phone.locator("#id_comment")
    comment.press_sequentially("Dead ball 9")
    says(phone, "saved 19:42")
    assert [save["comment"] for save in server.saves] == [["Dead ball 9"]]
    spoken = phone.locator("[data-save-announce]")
    spoken.evaluate(
        "e => new MutationObserver(() => e.dataset.again = '').observe(e, {childList: true})"
    )
    comment.press_sequentially(", Q2")
    expect(phone.locator("[name=version]")).to_have_value("5")
    assert spoken.get_attribute("data-again") is None


@pytest.mark.parametrize(
    "answer",
    [
        lambda route: route.abort(),
        status(503),
        status(200, "<!doctype html><title>Gym guest network</title>"),
    ],
    ids=["no network", "site down", "the gym's own sign-in page"],
)
def test_what_could_not_be_saved_is_kept_and_sent_again(
    answer: Callable[[Route], None], phone: Page, server: Server, complaints: list[str]
) -> None:
    server.answers = [answer]
    choose(phone, "still", "usually")
    says(phone, "kept on this page, not saved yet")
    says(phone, "saved 19:42")
    assert [save["still"] for save in server.saves] == [["3"], ["3"]]
    complaints.clear()


def test_a_newer_version_stops_saving_and_takes_nothing_away(
    phone: Page, server: Server, complaints: list[str]
) -> None:
    server.answers = [status(409, json.dumps({"newest_url": "/newest/7/"}))]
    phone.locator("#id_comment").fill("Dead ball 9")
    says(phone, "not saved: there is a newer version")
    expect(phone.get_by_role("link", name="Open the newest version")).to_have_attribute(
        "href", "/newest/7/"
    )
    expect(phone.locator("#id_comment")).to_have_value("Dead ball 9")
    choose(phone, "still", "usually")
    phone.wait_for_timeout(1000)
    assert len(server.saves) == 1
    complaints.clear()


@pytest.mark.parametrize("code", [302, 401, 403])
def test_after_signing_in_again_elsewhere_the_page_goes_on(
    code: int, phone: Page, server: Server, complaints: list[str]
) -> None:
    server.answers = [
        lambda route: route.fulfill(status=code, headers={"location": "/accounts/login/"})
    ]
    choose(phone, "still", "usually")
    says(phone, "sign in again; what you typed is kept on this page")
    server.token = "second-token"
    choose(phone, "round", "seldom")
    says(phone, "saved 19:42")
    assert server.saves[1]["csrfmiddlewaretoken"] == ["second-token"]
    assert (server.saves[1]["still"], server.saves[1]["round"]) == (["3"], ["1"])
    complaints.clear()


def test_a_refused_answer_is_said_and_not_sent_over_and_over(
    phone: Page, server: Server, complaints: list[str]
) -> None:
    server.answers = [status(422)]
    choose(phone, "still", "usually")
    says(phone, "not saved: the site refused this answer; it is kept on this page")
    phone.wait_for_timeout(2500)
    assert len(server.saves) == 1
    complaints.clear()


def test_what_is_typed_while_sending_is_sent_next(phone: Page, server: Server) -> None:
    waiting: list[Route] = []
    server.answers = [waiting.append]
    choose(phone, "still", "usually")
    phone.locator("#id_comment").fill("Dead ball 9")
    phone.wait_for_timeout(1000)
    assert len(server.saves) == 1
    server.success(waiting[0])
    expect(phone.locator("[name=version]")).to_have_value("5")
    assert server.saves[1]["comment"] == ["Dead ball 9"]
    assert server.saves[1]["version"] == ["4"]


def test_the_forms_own_request_waits_for_a_save_under_way(phone: Page, server: Server) -> None:
    waiting: list[Route] = []
    server.answers = [waiting.append]
    choose(phone, "still", "usually")
    phone.get_by_role("button", name="Check answers").click(no_wait_after=True)
    phone.wait_for_timeout(300)
    assert server.submitted == []
    server.success(waiting[0])
    phone.wait_for_url("**/checked/")
    assert server.submitted[0]["version"] == ["4"]


@pytest.mark.parametrize(("saved", "asks"), [(True, 0), (False, 1)])
def test_leaving_asks_only_when_something_is_unsaved(
    saved: bool, asks: int, phone: Page, server: Server, complaints: list[str]
) -> None:
    server.answers = [] if saved else [status(503)]
    choose(phone, "still", "usually")
    says(phone, "saved 19:42" if saved else "kept on this page, not saved yet")
    asked: list[str] = []

    def leave(dialog: Dialog) -> None:
        asked.append(dialog.type)
        dialog.accept()

    phone.on("dialog", leave)
    phone.goto("/accounts/login/")
    assert asked == ["beforeunload"] * asks
    complaints.clear()


def test_the_chosen_level_is_put_in_words_and_counted(phone: Page, server: Server) -> None:
    reads = phone.locator("[data-reads]")
    counts = phone.locator("[data-counts] span")
    expect(counts).to_have_text("0 of 2 answered, 0 not seen")
    choose(phone, "still", "at times")
    expect(reads).to_have_text("Up to about half.")
    choose(phone, "still", "not seen")
    expect(reads).to_have_text("")
    expect(counts).to_have_text("1 of 2 answered, 1 not seen")


def test_the_next_open_criterion_is_one_step_away(phone: Page, server: Server) -> None:
    choose(phone, "still", "at times")
    following = phone.get_by_role("link", name="Next open one")
    following.click()
    expect(phone.locator("#id_round_0")).to_be_focused()
    phone.keyboard.press("Space")
    expect(following).to_be_hidden()


def test_a_budget_counts_down_and_takes_what_is_too_long(phone: Page, server: Server) -> None:
    budget = phone.locator("[data-budget-for=id_comment]")
    expect(budget).to_have_text("30 characters left")
    phone.locator("#id_comment").fill("Łukasz held the sign.\nTwice. 👏")
    expect(budget).to_have_text("0 characters left")
    phone.locator("#id_comment").fill("x" * 31)
    expect(budget).to_have_text("1 characters too many")
    expect(phone.locator("#id_comment")).to_have_value("x" * 31)


def test_several_fields_share_a_budget(phone: Page, server: Server) -> None:
    phone.locator("#id_seen").fill("x" * 12)
    phone.locator("#id_practice").fill("y" * 9)
    expect(phone.locator("[data-budget-of=step]")).to_have_text("1 too many in all")


def test_a_weight_shows_its_share_while_it_is_typed(phone: Page, server: Server) -> None:
    share = phone.locator("[data-share-of=w1]")
    expect(share).to_have_text("20 of 80 → 25 %")
    phone.locator("#w1").fill("30,5")
    expect(share).to_have_text("30.5 of 90.5 → 33.7 %")
    phone.locator("#w1").fill("none")
    expect(share).to_have_text("")
    expect(phone.locator("[data-share-of=w2]")).to_have_text("60 of 60 → 100 %")

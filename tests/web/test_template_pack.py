"""What an observer meets in a form: questions, points on a line, and errors that lead somewhere."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest
from crispy_forms.helper import FormHelper
from crispy_forms.layout import Fieldset, Layout, Row, Submit
from crispy_forms.utils import render_crispy_form
from django import forms
from django.template import engines
from django.template.loader import render_to_string
from django.utils.translation import override

from evaluations.forms.widgets import NOT_SEEN, Counted, LevelScale

WORDS = ["seldom", "at times", "usually", "nearly always", "every time"]
WORDING = "Up to about half of the reports begin from a standstill."


class Ratings(forms.Form):
    still = forms.ChoiceField(
        label="Stands still before the first sign",
        help_text="Both feet <still>.",
        choices=[*((str(n), word) for n, word in enumerate(WORDS, 1)), (NOT_SEEN, "not seen")],
        widget=LevelScale(
            wordings={"2": WORDING}, counted=Counted("4 of 6", "stood still, 3 more not judged")
        ),
    )
    comment = forms.CharField(
        label="What was seen",
        required=False,
        max_length=160,
        widget=forms.Textarea(attrs={"data-budget": 160}),
    )
    talk = forms.ChoiceField(
        label="Talk after the game",
        choices=[("held", "held"), ("declined", "declined")],
        widget=forms.RadioSelect(attrs={"class": "inline"}),
    )


class Page(HTMLParser):
    """Every element of a page as (name, attributes), and the text of each label and legend."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.labels: dict[str, str] = {}
        self.legends: list[str] = []
        self._open: list[tuple[str, dict[str, str]]] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = (tag, {name: value or "" for name, value in attrs})
        self.elements.append(element)
        if tag == "legend":
            self.legends.append("")
        if tag in {"label", "legend"}:
            self._open.append(element)

    def handle_endtag(self, tag: str) -> None:
        if tag in {"label", "legend"}:
            self._open.pop()

    def handle_data(self, data: str) -> None:
        for tag, attributes in self._open:
            if tag == "legend":
                self.legends[-1] += data.strip()
            else:
                name = attributes["for"]
                self.labels[name] = f"{self.labels.get(name, '')} {data}".strip()

    def all(self, tag: str, **wanted: str) -> list[dict[str, str]]:
        return [
            attributes
            for name, attributes in self.elements
            if name == tag and wanted.items() <= attributes.items()
        ]

    def one(self, tag: str, **wanted: str) -> dict[str, str]:
        (found,) = self.all(tag, **wanted)
        return found


@pytest.fixture
def blank() -> Page:
    return Page(render_crispy_form(Ratings()))


@pytest.fixture
def refused() -> Page:
    return Page(render_crispy_form(Ratings({"comment": "Dead ball 9."})))


def test_a_criterion_is_a_group_with_its_question_as_legend(blank: Page) -> None:
    assert blank.legends == ["Stands still before the first sign", "Talk after the game"]
    assert blank.all("fieldset", role="radiogroup")[0]["aria-describedby"] == "id_still_helptext"
    assert blank.one("div", id="id_still_helptext")


def test_every_level_is_a_radio_with_a_word_for_its_label(blank: Page) -> None:
    radios = [radio["id"] for radio in blank.all("input", type="radio", name="still")]
    labels = [blank.labels[radio] for radio in radios]
    assert labels == ["1 seldom", "2 at times", "3 usually", "4 nearly always", "5 every time",
                      "– not seen"]  # fmt: skip


def test_nothing_is_preselected(blank: Page) -> None:
    assert [radio for radio in blank.all("input", type="radio") if "checked" in radio] == []


def test_not_seen_stands_apart_from_the_levels(blank: Page) -> None:
    apart = [label["for"] for label in blank.all("label") if "apart" in label.get("class", "")]
    (not_seen,) = blank.all("input", value=NOT_SEEN)
    assert apart == [not_seen["id"]]


def test_the_browser_does_not_refuse_a_form_that_is_half_done(blank: Page) -> None:
    assert "novalidate" in blank.one("form")
    assert [r for r in blank.all("input", name="still") if "required" in r] == []


def test_a_level_is_described_by_its_own_wording(blank: Page) -> None:
    described = [r.get("aria-describedby") for r in blank.all("input", name="still")]
    assert described == [None, "id_still_1_wording", None, None, None, None]
    assert blank.one("dd", id="id_still_1_wording")


def test_the_wording_of_the_chosen_level_needs_no_script() -> None:
    html = render_crispy_form(Ratings(initial={"still": "2"}))
    assert f'<p class="reads" data-reads>{WORDING}</p>' in html
    (checked,) = [r for r in Page(html).all("input", type="radio") if "checked" in r]
    assert checked["value"] == "2"


def test_the_counted_fact_stands_beside_the_judgement() -> None:
    html = render_crispy_form(Ratings())
    assert "<b>4 of 6</b> <span>stood still, 3 more not judged</span>" in html


def test_what_an_association_writes_is_text_and_never_markup() -> None:
    html = render_crispy_form(Ratings())
    assert "Both feet &lt;still&gt;." in html
    assert "<still>" not in html


def test_an_error_is_tied_to_its_criterion(refused: Page) -> None:
    scale = refused.all("fieldset", role="radiogroup")[0]
    assert scale["aria-describedby"].split() == ["id_still_helptext", "id_still_error"]
    assert scale["aria-invalid"] == "true"
    assert refused.one("div", id="id_still_error")
    assert [r for r in refused.all("input", name="still") if "aria-invalid" in r] == []


def test_the_summary_comes_first_takes_the_focus_and_leads_to_the_first_radio(
    refused: Page,
) -> None:
    summary = refused.one("section")
    assert summary["tabindex"] == "-1" and "autofocus" in summary
    links = [link["href"].removeprefix("#") for link in refused.all("a")]
    assert links == ["id_still_0", "id_talk_0"]
    assert all(refused.one("input", id=link)["type"] == "radio" for link in links)
    order = [name for name, _ in refused.elements]
    assert order.index("section") < order.index("fieldset")


def test_what_was_typed_is_kept_when_a_form_is_refused() -> None:
    assert "Dead ball 9.</textarea>" in render_crispy_form(Ratings({"comment": "Dead ball 9."}))


def test_an_error_of_a_text_is_tied_to_its_text_box() -> None:
    page = Page(render_crispy_form(Ratings({"comment": "x" * 161})))
    box = page.one("textarea")
    assert box["aria-describedby"] == "id_comment_error"
    assert box["aria-invalid"] == "true"
    assert "id_comment" in [link["href"].removeprefix("#") for link in page.all("a")]


def test_a_budget_is_a_sentence_before_it_is_a_countdown() -> None:
    html = render_crispy_form(Ratings())
    assert "At most 160 characters." in html
    assert (
        Page(html).one("p", **{"data-budget-for": "id_comment"})["data-text-left"].startswith("{n}")
    )


def test_an_answer_that_may_be_left_out_says_so() -> None:
    assert render_crispy_form(Ratings()).count("(optional)") == 1


def test_a_draft_in_which_everything_may_wait_marks_nothing_optional() -> None:
    class Draft(Ratings):
        marks_optional = False

    assert "(optional)" not in render_crispy_form(Draft())


def test_a_layout_groups_fields_and_names_its_buttons() -> None:
    helper = FormHelper()
    helper.layout = Layout(Fieldset("The talk", Row("talk", "comment")))
    helper.add_input(Submit("save", "Save"))
    helper.add_input(Submit("drop", "Delete the draft", css_class="danger"))
    page = Page(render_crispy_form(Ratings(), helper))
    assert page.legends == ["The talk", "Talk after the game"]
    assert page.one("div", **{"class": "beside"})
    assert [b["class"] for b in page.all("button")] == ["button primary", "button danger"]


def test_no_page_part_carries_style_or_script_of_its_own() -> None:
    html = render_crispy_form(Ratings({"comment": "x" * 161}))
    html += render_to_string("base.html") + render_to_string("partials/save_conflict.html")
    page = Page(html)
    assert page.all("style") == []
    assert [s for s in page.all("script") if "src" not in s] == []
    inline = [name for _, a in page.elements for name in a if name == "style" or name[:2] == "on"]
    assert inline == []


def test_a_state_is_a_word_in_the_readers_language_or_the_label_given() -> None:
    stamp = "partials/stamp.html"
    assert ">released</span>" in render_to_string(stamp, {"state": "released"})
    assert ">locked</span>" in render_to_string(stamp, {"state": "x", "label": "locked"})


@pytest.mark.parametrize("name", ["400", "403", "403_csrf", "404", "500", "503"])
def test_a_page_about_a_failure_needs_nothing_from_the_site(name: str) -> None:
    page = render_to_string(f"{name}.html")
    assert page.count("<h1>") == 1
    assert "adopted rules and mechanics manual prevail" in page


def test_a_page_says_its_language_and_that_it_holds_errors() -> None:
    with override("es"):
        assert '<html lang="es">' in render_to_string("base.html")
    title = engines["django"].from_string(
        '{% extends "base.html" %}{% block title %}Ratings{% endblock %}'
    )
    assert "<title>Error: Ratings · Crewmark</title>" in title.render({"form": Ratings({})})
    assert "<title>Ratings · Crewmark</title>" in title.render({"form": Ratings()})

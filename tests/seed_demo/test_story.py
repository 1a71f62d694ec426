"""What there is to see in the demo: everybody, every state, and the stories."""

from __future__ import annotations

from collections import Counter

import pytest

from accounts.models import Association, Membership, Role
from accounts.queries.people import people
from evaluations.core.games import Kind, Seen, Talk
from evaluations.core.mechanics.facts import Kept
from evaluations.core.mechanics.judging import Verdict
from evaluations.core.release import LogEvidence, State
from evaluations.core.scoring import Withheld
from evaluations.models import (
    DeadBallLog,
    Evaluation,
    Game,
    Mail,
    Observation,
    Release,
    Review,
    ReviewLine,
    Rubric,
)
from evaluations.queries.home import home_page
from evaluations.queries.releases import content_of, letters_to, snapshot_of, state_of
from evaluations.queries.seasons import current_season, officials_seen, own_season
from evaluations.queries.work import to_do
from seed_demo.moments import NOW
from seed_demo.people import EVERYBODY, PASSWORD, SLUG, WRITES_SPANISH, sign_ins

pytestmark = pytest.mark.usefixtures("own_demo")


def somebody(key: str) -> Membership:
    return Membership.objects.select_related("user", "association").get(
        association__slug=SLUG, user__email=EVERYBODY[key].email
    )


def letters(key: str) -> list[Release]:
    """The letters to somebody, in the order of their release."""
    return list(Release.objects.filter(evaluation__official=somebody(key)).order_by("released_at"))


@pytest.mark.parametrize(
    ("role", "count"),
    [(Role.OFFICIAL, 24), (Role.OBSERVER, 6), (Role.ADMIN, 2), (Role.BOARD, 1)],
)
def test_everybody_is_there(role: Role, count: int) -> None:
    assert people(somebody("tallow"), role=role).count() == count


def test_a_season_of_sixty_games_and_about_ninety_evaluations() -> None:
    assert Game.objects.count() == 60
    assert 80 <= Evaluation.objects.count() <= 100
    assert Game.objects.filter(crew_size=3).count() == 8
    assert Game.objects.filter(plays_at__gt=NOW).count() == 11


def test_evaluations_are_in_every_state() -> None:
    states = Counter(Evaluation.objects.values_list("state", flat=True))
    assert set(states) == {State.DRAFT, State.SUBMITTED, State.RETURNED, State.RELEASED}
    assert {state_of(release) for release in Release.objects.all()} == {
        State.RELEASED,
        State.ACKNOWLEDGED,
        State.RESPONDED,
        State.SUPERSEDED,
        State.WITHDRAWN,
    }


def test_every_letter_is_open_by_the_demos_day() -> None:
    assert not Release.objects.filter(opens_at__gt=NOW).exists()


def test_somebody_gets_better_over_four_observations() -> None:
    totals = [release.total for release in letters("birdsong")]
    assert len(totals) == 4
    assert None not in totals
    assert totals == sorted(totals, key=lambda total: total or 0)
    assert (totals[-1] or 0) - (totals[0] or 0) > 40
    season = current_season(somebody("birdsong").association, NOW.date())
    assert season is not None
    assert own_season(somebody("birdsong"), season, NOW).value.observations == 4


def test_the_newest_letter_of_that_official_waits_to_be_read() -> None:
    newest = letters_to(somebody("birdsong"), NOW)[0]
    assert state_of(newest) is State.RELEASED


def test_one_observer_rates_lower_than_the_others_rate_the_same_officials() -> None:
    by_official: dict[int, dict[bool, list[float]]] = {}
    for release in Release.objects.exclude(total=None).select_related("evaluation__observation"):
        low = release.evaluation.observation.observer_id == somebody("voss").pk
        found = by_official.setdefault(release.evaluation.official_id, {True: [], False: []})
        found[low].append(float(release.total or 0))
    differences = [
        sum(both[True]) / len(both[True]) - sum(both[False]) / len(both[False])
        for both in by_official.values()
        if both[True] and both[False]
    ]
    assert len(differences) >= 8
    assert sum(differences) / len(differences) < -12
    twice = [r.evaluation.observation.observer_id for r in letters("thornquist")]
    assert twice.count(somebody("voss").pk) == 2
    assert len(twice) == 3


def test_a_talk_was_declined_one_was_impossible_and_nothing_was_raised_then() -> None:
    without = Observation.objects.filter(talk__in=[Talk.DECLINED, Talk.IMPOSSIBLE])
    assert {o.talk for o in without} == {Talk.DECLINED, Talk.IMPOSSIBLE}
    assert {o.raised for o in without} == {""}


def test_an_answer_led_to_an_amended_letter() -> None:
    first, second = letters("mabry")[1:3]
    assert first.evaluation == second.evaluation
    assert [line.criterion for line in first.response.lines.all()] == ["players-before-ball"]
    assert state_of(first) is State.SUPERSEDED
    assert state_of(second) is State.ACKNOWLEDGED
    levels = [
        {r.criterion: r.level for r in snapshot_of(release).ratings} for release in (first, second)
    ]
    changed = {key for key in levels[0] if levels[0][key] != levels[1][key]}
    assert changed == {"players-before-ball"}


def test_a_review_corrected_one_line_and_another_review_is_open() -> None:
    closed = Review.objects.get(closed_at__isnull=False)
    assert [line.outcome for line in closed.lines.all()] == [
        ReviewLine.Outcome.CORRECTED,
        ReviewLine.Outcome.STANDS,
    ]
    assert state_of(closed.release) is State.SUPERSEDED
    opened = Review.objects.get(closed_at__isnull=True)
    assert opened.reviewer is None
    assert opened.release.evaluation.official == somebody("brandvold")


def test_a_letter_was_withdrawn() -> None:
    assert [state_of(r) for r in letters("lindqvist")].count(State.WITHDRAWN) == 1


def test_a_new_official_has_two_coaching_letters_and_then_a_total() -> None:
    cards = [snapshot_of(release).card for release in letters("pritchett")]
    assert [card.withheld for card in cards] == [Withheld.COACHING, Withheld.COACHING, None]


def test_an_official_under_18_never_has_a_total() -> None:
    young = letters("halloway")
    assert len(young) == 3
    assert {r.total for r in young} == {None}
    assert {snapshot_of(r).card.withheld for r in young} == {Withheld.UNDER_18}


def test_of_somebody_not_enough_was_seen() -> None:
    late = [r for r in letters("haddadin") if r.evaluation.observation.seen == Seen.PART]
    assert [r.total for r in late] == [None]
    assert snapshot_of(late[0]).card.withheld is Withheld.NOT_ENOUGH_SEEN


def test_one_game_was_moved_and_one_was_cancelled() -> None:
    moved = Game.objects.get(moved_from__isnull=False)
    assert moved.moved_from is not None
    assert moved.plays_at > moved.moved_from
    assert moved.observations.get().evaluations.count() == 2
    cancelled = Game.objects.get(cancelled_at__isnull=False)
    assert cancelled.observations.get().closed_at == cancelled.cancelled_at


def test_one_official_was_never_seen() -> None:
    admin = somebody("tallow")
    season = current_season(admin.association, NOW.date())
    assert season is not None
    seen = officials_seen(admin, season)
    assert [one.official.user.name for one in seen if not one.letters] == ["Sadie Kowal"]


def test_the_admins_first_page_has_something_in_every_list() -> None:
    admin = home_page(somebody("tallow"), NOW).admin
    assert admin is not None
    assert admin.waiting_count == 4
    assert admin.overdue_count == 3
    assert len(admin.reviews) == 1
    assert admin.answers


def test_the_observer_has_a_returned_form_a_coaching_one_and_a_draft() -> None:
    waiting = list(to_do(somebody("marchetti")))
    forms = Evaluation.objects.filter(observation__in=waiting, state__in=["draft", "returned"])
    assert Counter(forms.values_list("state", "kind")) == {
        (State.RETURNED, Kind.SCORED): 1,
        (State.DRAFT, Kind.COACHING): 2,
        (State.DRAFT, Kind.SCORED): 2,
    }
    begun = [f for f in forms if f.ratings.exists() and f.state == State.DRAFT]
    assert [0 < f.ratings.count() < 12 for f in begun] == [True]


def test_letters_in_spanish_go_to_those_who_read_it() -> None:
    in_spanish = [r for r in Release.objects.all() if r.content["language"] == "es"]
    readers = {r.evaluation.official.user.language for r in in_spanish}
    assert len(in_spanish) >= 6
    assert readers == {"es"}
    writers = {r.evaluation.observation.observer.user.email for r in in_spanish}
    assert writers <= {EVERYBODY[key].email for key in WRITES_SPANISH}


def test_mail_about_the_letters_waits_to_be_shown_on_the_console() -> None:
    addresses = set(Mail.objects.filter(sent_at=None).values_list("to", flat=True))
    assert EVERYBODY["birdsong"].email in addresses
    assert EVERYBODY["halloway"].guardian in addresses
    assert all(address.endswith("@example.org") for address in addresses)


def test_the_rubric_in_force_was_published_by_two_admins_and_a_draft_is_in_work() -> None:
    published = Rubric.objects.get(state=Rubric.State.PUBLISHED)
    assert published.proposed_by == somebody("tallow")
    assert published.approved_by == somebody("moray")
    draft = Rubric.objects.get(state=Rubric.State.DRAFT)
    assert sum(area.weight for area in draft.areas.all()) == 100


def test_every_address_is_one_that_nobody_has() -> None:
    members = Membership.objects.filter(association__slug=SLUG).select_related("user")
    addresses = {m.user.email for m in members} | {m.guardian_email for m in members} - {""}
    assert all(address.endswith("@example.org") for address in addresses)


def test_the_sign_ins_cover_every_role_and_work() -> None:
    roles: set[Role] = set()
    for sign_in in sign_ins():
        member = somebody(sign_in.person.key)
        roles |= member.roles
        assert member.user.check_password(PASSWORD)
    assert roles == set(Role)


def test_the_demos_names_hold_letters_from_all_over_europe() -> None:
    names = "".join(
        Association.objects.get(slug=SLUG).memberships.values_list("user__name", flat=True)
    )
    assert set("ŁŽİĐÞ") <= set(names)


def test_twenty_observations_have_a_log_of_twelve_to_thirty_dead_balls() -> None:
    sizes = [log.dead_balls.count() for log in DeadBallLog.objects.all()]
    assert len(sizes) == 20
    assert 12 <= min(sizes) <= max(sizes) <= 30
    assert set(DeadBallLog.objects.values_list("kept", flat=True)) == {
        Kept.EVERY_FOUL,
        Kept.EVERY_NTH,
        Kept.STRIKING,
    }


def evidence() -> list[LogEvidence]:
    found = [snapshot_of(release).log for release in Release.objects.all()]
    return [log for log in found if log is not None]


def test_letters_show_a_long_switch_that_was_missed() -> None:
    drawn = [log.movement for log in evidence() if log.movement is not None]
    missed = [m for m in drawn if m.long_switch and m.verdict is Verdict.NOT_MET]
    assert len(missed) >= 2
    texts = [content_of(release).movement for release in Release.objects.all()]
    assert any(text and "long switch" in text.caption for text in texts)


def test_letters_count_ways_through_the_players() -> None:
    walked = [log.counted["route-round-players"].count for log in evidence()]
    assert any(len(count.dead_balls) >= 3 for count in walked)


def test_letters_count_an_option_that_the_crew_had_agreed_on() -> None:
    places = [log.counted["code-place-when-live"].count for log in evidence()]
    assert any(count.by_option for count in places)


def test_levels_fit_the_log_or_say_why_not() -> None:
    reasons = 0
    for release in Release.objects.all():
        snapshot = snapshot_of(release)
        for rating in snapshot.ratings if snapshot.log else ():
            found = snapshot.log.counted.get(rating.criterion) if snapshot.log else None
            if found is None or found.suggested is None or rating.level is None:
                continue
            fits = found.suggested.lowest <= rating.level <= found.suggested.highest
            assert fits or rating.reason
            reasons += not fits
    assert 2 <= reasons <= 20

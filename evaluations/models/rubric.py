"""The rubric as rows: a draft that admins edit, locked from publication on.

Weights are positive decimals, shares lie between 0 and 1. What the arithmetic may assume of them is
checked once more by `evaluations.core.rubric` whenever a rubric is saved.
"""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.core.validators import MaxLengthValidator, MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from accounts.models import Membership
from evaluations.core.rubric_content import HINT_BUDGET, LABEL_BUDGET, STEP_TEXTS_BUDGET
from evaluations.models.mechanics import CodeEdition
from evaluations.models.season import Season


def default_cut_points() -> list[str]:
    """Shares from which on a count reaches level 2, 3, 4 and 5."""
    return ["0.3", "0.55", "0.8", "1"]


class Rubric(models.Model):
    """One edition of a season's rubric.

    `version` counts saves; a save that names an older one is refused. `undo` holds the rubric as
    it was before its last step took something away, until the next step.
    """

    class State(models.TextChoices):
        DRAFT = "draft", _("draft")
        PROPOSED = "proposed", _("waits for a second admin")
        PUBLISHED = "published", _("published")

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="rubrics")
    edition = models.PositiveSmallIntegerField(_("edition"))
    state = models.CharField(max_length=12, choices=State.choices, default=State.DRAFT)
    note = models.CharField(_("note for readers"), max_length=400, blank=True)
    mechanics = models.CharField(_("mechanics manual and edition"), max_length=120, blank=True)
    levels = models.PositiveSmallIntegerField(
        _("number of levels"), default=5, validators=[MinValueValidator(2), MaxValueValidator(7)]
    )
    target_level = models.PositiveSmallIntegerField(_("target level"), default=4)
    minimum_seen = models.DecimalField(
        _("share of the form that must be seen for a total"),
        max_digits=5,
        decimal_places=4,
        default=Decimal("0.7"),
        validators=[MinValueValidator(0), MaxValueValidator(1)],
    )
    cut_points = models.JSONField(default=default_cut_points)
    minimum_count = models.PositiveSmallIntegerField(
        _("findings that must be judged for a count"),
        default=5,
        validators=[MinValueValidator(1), MaxValueValidator(50)],
    )
    code_of_two = models.ForeignKey(
        CodeEdition,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="rubrics_of_two",
        verbose_name=_("mechanics code for crews of two"),
    )
    code_of_three = models.ForeignKey(
        CodeEdition,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="rubrics_of_three",
        verbose_name=_("mechanics code for crews of three"),
    )
    proposed_by = models.ForeignKey(
        Membership, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    proposed_at = models.DateTimeField(null=True, blank=True)
    approved_by = models.ForeignKey(
        Membership, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    published_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)
    undo = models.JSONField(null=True, blank=True)

    class Meta:
        verbose_name = _("rubric")
        verbose_name_plural = _("rubrics")
        ordering = ["-season__starts_on", "-edition"]
        constraints = [
            models.UniqueConstraint(fields=["season", "edition"], name="one_rubric_an_edition"),
            models.UniqueConstraint(
                fields=["season"],
                condition=~Q(state="published"),
                name="one_rubric_in_work_a_season",
            ),
            models.CheckConstraint(
                condition=~Q(state="published") | Q(published_at__isnull=False),
                name="published_rubric_has_its_time",
            ),
            models.CheckConstraint(
                condition=~Q(state="published")
                | Q(proposed_by__isnull=False)
                & Q(approved_by__isnull=False)
                & ~Q(approved_by=F("proposed_by")),
                name="published_rubric_has_two_admins",
            ),
        ]

    def __str__(self) -> str:
        return gettext("%(season)s, edition %(edition)s") % {
            "season": self.season.name,
            "edition": self.edition,
        }


class LevelWord(models.Model):
    """The word of a level in one language, such as "usually"."""

    rubric = models.ForeignKey(Rubric, on_delete=models.CASCADE, related_name="level_words")
    level = models.PositiveSmallIntegerField()
    language = models.CharField(max_length=8, choices=settings.LANGUAGES)
    word = models.CharField(_("word"), max_length=24)

    class Meta:
        ordering = ["level"]
        constraints = [
            models.UniqueConstraint(
                fields=["rubric", "level", "language"], name="one_word_a_level_and_language"
            )
        ]

    def __str__(self) -> str:
        return self.word


class Band(models.Model):
    """A band of the total, from `lower` (inclusive) on."""

    rubric = models.ForeignKey(Rubric, on_delete=models.CASCADE, related_name="bands")
    key = models.SlugField(max_length=40)
    lower = models.DecimalField(
        _("from"),
        max_digits=4,
        decimal_places=1,
        validators=[MinValueValidator(0), MaxValueValidator(Decimal("99.9"))],
    )

    class Meta:
        ordering = ["lower"]
        constraints = [
            models.UniqueConstraint(fields=["rubric", "key"], name="one_band_a_key"),
            models.UniqueConstraint(fields=["rubric", "lower"], name="one_band_a_cut_point"),
        ]

    def __str__(self) -> str:
        return self.key


class BandText(models.Model):
    band = models.ForeignKey(Band, on_delete=models.CASCADE, related_name="texts")
    language = models.CharField(max_length=8, choices=settings.LANGUAGES)
    name = models.CharField(_("name"), max_length=24)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["band", "language"], name="one_band_text_a_language")
        ]

    def __str__(self) -> str:
        return self.name


class Area(models.Model):
    """An area of a rubric; areas weigh against each other."""

    rubric = models.ForeignKey(Rubric, on_delete=models.CASCADE, related_name="areas")
    key = models.SlugField(max_length=40)
    order = models.PositiveSmallIntegerField(_("order"))
    weight = models.DecimalField(
        _("weight"),
        max_digits=7,
        decimal_places=2,
        validators=[MinValueValidator(Decimal("0.01"), _("A weight must be above 0."))],
    )
    minimum_share = models.DecimalField(
        _("share of the area that must be seen"),
        max_digits=5,
        decimal_places=4,
        default=Decimal("0.5"),
        validators=[MinValueValidator(Decimal("0.0001")), MaxValueValidator(1)],
    )
    needed = models.BooleanField(_("needed for a total"), default=False)

    class Meta:
        ordering = ["order"]
        constraints = [
            models.UniqueConstraint(fields=["rubric", "key"], name="one_area_a_key"),
            models.CheckConstraint(condition=Q(weight__gt=0), name="area_weight_above_zero"),
        ]

    def __str__(self) -> str:
        return self.key


class AreaText(models.Model):
    area = models.ForeignKey(Area, on_delete=models.CASCADE, related_name="texts")
    language = models.CharField(max_length=8, choices=settings.LANGUAGES)
    label = models.CharField(_("name"), max_length=60)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["area", "language"], name="one_area_text_a_language")
        ]

    def __str__(self) -> str:
        return self.label


class Criterion(models.Model):
    """One observable thing; criteria weigh against each other within their area."""

    area = models.ForeignKey(Area, on_delete=models.CASCADE, related_name="criteria")
    key = models.SlugField(max_length=40)
    order = models.PositiveSmallIntegerField(_("order"))
    weight = models.DecimalField(
        _("weight within the area"),
        max_digits=7,
        decimal_places=2,
        default=Decimal(1),
        validators=[MinValueValidator(Decimal("0.01"), _("A weight must be above 0."))],
    )
    findings = models.JSONField(_("counted findings"), default=list, blank=True)
    thresholds = models.JSONField(_("thresholds for film"), default=dict, blank=True)

    class Meta:
        ordering = ["area__order", "order"]
        verbose_name_plural = _("criteria")
        constraints = [
            models.UniqueConstraint(fields=["area", "key"], name="one_criterion_a_key"),
            models.CheckConstraint(condition=Q(weight__gt=0), name="criterion_weight_above_zero"),
        ]

    def __str__(self) -> str:
        return self.key


class CriterionText(models.Model):
    """A criterion in one language; a draft's texts may be missing.

    `levels` lists the wording from the lowest level up. It may be longer than the rubric has
    levels: what was written for more of them is kept, and not read.
    """

    criterion = models.ForeignKey(Criterion, on_delete=models.CASCADE, related_name="texts")
    language = models.CharField(max_length=8, choices=settings.LANGUAGES)
    label = models.CharField(_("name"), max_length=LABEL_BUDGET, blank=True)
    hint = models.CharField(_("what to look for"), max_length=HINT_BUDGET, blank=True)
    standard = models.TextField(
        _("standard"), blank=True, validators=[MaxLengthValidator(STEP_TEXTS_BUDGET)]
    )
    why = models.TextField(
        _("why it matters"), blank=True, validators=[MaxLengthValidator(STEP_TEXTS_BUDGET)]
    )
    try_this = models.TextField(
        _("try this"), blank=True, validators=[MaxLengthValidator(STEP_TEXTS_BUDGET)]
    )
    how_we_check = models.TextField(
        _("how we will check"), blank=True, validators=[MaxLengthValidator(STEP_TEXTS_BUDGET)]
    )
    levels = models.JSONField(_("wording of the levels"), default=list, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["criterion", "language"], name="one_criterion_text_a_language"
            )
        ]

    def __str__(self) -> str:
        return self.label


class Ceiling(models.Model):
    """With `criterion` at its lowest level, `area` (none: the total) is at most `at_most`."""

    rubric = models.ForeignKey(Rubric, on_delete=models.CASCADE, related_name="ceilings")
    criterion = models.ForeignKey(Criterion, on_delete=models.CASCADE, related_name="ceilings")
    area = models.ForeignKey(
        Area, on_delete=models.CASCADE, null=True, blank=True, related_name="ceilings"
    )
    at_most = models.DecimalField(
        _("at most"),
        max_digits=4,
        decimal_places=1,
        validators=[MinValueValidator(0), MaxValueValidator(100)],
    )

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["criterion", "area"], name="one_ceiling_a_criterion_and_area"
            ),
            models.UniqueConstraint(
                fields=["criterion"],
                condition=Q(area__isnull=True),
                name="one_ceiling_a_criterion_on_the_total",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.criterion} ≤ {self.at_most}"

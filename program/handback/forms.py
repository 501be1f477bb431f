"""How a car goes back unrepaired, as it is typed beside the car."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.conf import settings

from program.handback.actions import READ_AGAIN
from program.handback.sheet import Returning
from program.handback.wording import After, How
from program.households.stages import Stage, may_move
from shared.forms import CostField, DateField, Form, KeyField, VersionField
from vehicles.custody import kinds
from vehicles.custody.forms import one_of
from vehicles.custody.keeping import Leaving, TowOrder
from vehicles.custody.values import strokes_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from program.cases.models import Case
    from program.handback.sheet import Words
    from vehicles.intake.models import Intake

TOW = ("hauler", "to_place", "payer", "kind")
OPTIONAL_TOW = "Asked only where the offered tow is taken"


class ReturnForm(Form):
    """The reason, the notice as it is taken, the tow, the keys, and what becomes of the case."""

    because = forms.CharField(label="Why it goes back unrepaired", max_length=150)
    on = DateField(label="It leaves on")
    after = one_of(After, "What becomes of the case")
    taken_by = forms.CharField(label="Who takes the notice", max_length=120)
    how = one_of(How, "How it is taken", initial=How.PAPER)
    witness = forms.CharField(
        label="Witness",
        required=False,
        max_length=120,
        help_text="Who sees it signed on paper, or sees them decline",
    )
    interpreter = forms.CharField(label="Interpreter", required=False, max_length=120)
    contents_to = forms.CharField(label="Who takes what lies in it", max_length=120)
    keys_to = forms.CharField(label="Who takes the keys", max_length=120)
    tow_answer = one_of(kinds.TowAnswer, "The tow that was offered")
    kind = one_of(kinds.TowKind, "Carried by", initial="flatbed", required=False)
    hauler = forms.CharField(
        label="Who tows", required=False, max_length=120, help_text=OPTIONAL_TOW
    )
    to_place = forms.CharField(label="To", required=False, max_length=120)
    payer = one_of(kinds.TowPayer, "Who pays the tow", required=False)
    cost_cents = CostField(label="Cost of the tow")
    language = forms.ChoiceField(choices=settings.LANGUAGES, widget=forms.HiddenInput)
    read = forms.CharField(max_length=64, widget=forms.HiddenInput)
    strokes = forms.CharField(required=False, max_length=100_000, widget=forms.HiddenInput)
    version = VersionField()
    client_key = KeyField()

    def __init__(
        self,
        *args: Any,
        stay: Intake,
        case: Case | None,
        words: Words,
        left: Sequence[str],
        **kwargs: Any,
    ) -> None:
        household = case.household if case else None
        name = str(household) if household else ""
        self.today, self.stay, self.words = stay.program.today(), stay, words
        kwargs["initial"] = {
            "on": self.today,
            "taken_by": name,
            "keys_to": name,
            "language": words.language,
            "read": words.digest,
            "version": stay.version,
        }
        super().__init__(*args, **kwargs)
        self._keep_what_is_asked(case, left)

    def _keep_what_is_asked(self, case: Case | None, left: Sequence[str]) -> None:
        """Leave out the questions that nothing in this stay asks."""
        day = self.fields["on"]
        day.latest = self.today  # type: ignore[attr-defined]  # a day
        if left:
            self.fields["contents_to"].help_text = f"Still here: {', '.join(left)}"
        else:
            del self.fields["contents_to"]
        household = case.household if case and not case.closed_on else None
        if household is None:
            del self.fields["after"]
            return
        now = Stage(household.stage)
        self.fields["after"].choices = [  # type: ignore[attr-defined]  # a choice field
            (one.value, one.label)
            for one in After
            if one is After.DECIDE or may_move(now, Stage(one.value))
        ]

    def renew(self) -> None:
        """Take the notice and the stay as they are now; other words are signed anew."""
        sent = dict(self.data.items())
        if sent.get("read") != self.words.digest:
            sent["read"], sent["strokes"] = self.words.digest, ""
        sent["version"] = str(self.stay.version)
        self.data = sent

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        # Once the stay has ended, the action alone says whether this form ended it.
        if not self.stay.left_on and cleaned.get("read") != self.words.digest:
            self.add_error(None, READ_AGAIN)
        self._check_signature(cleaned)
        if cleaned.get("tow_answer") == kinds.TowAnswer.TAKEN:
            for name in TOW:
                if name not in self.errors and not cleaned.get(name):
                    label = self.fields[name].label
                    self.add_error(name, f"{label}: an answer is missing for the tow.")
        if self.errors:
            return cleaned
        return {"returning": self._returning(cleaned)}

    def _check_signature(self, cleaned: dict[str, Any]) -> None:
        how, witness = cleaned.get("how"), cleaned.get("witness", "")
        if how is How.SCREEN:
            try:
                cleaned["strokes"] = strokes_of(cleaned.get("strokes", ""))
            except ValueError as error:
                self.add_error("strokes", str(error))
            return
        cleaned["strokes"] = []
        if how and not witness:
            self.add_error("witness", "Name who sees it signed on paper, or sees them decline.")
        elif how and witness.casefold() == cleaned.get("taken_by", "").casefold():
            self.add_error("witness", "The witness is somebody else than who takes the notice.")

    def _returning(self, cleaned: dict[str, Any]) -> Returning:
        declined = cleaned["how"] is How.DECLINED
        leaving = Leaving(
            on=cleaned["on"],
            because=cleaned["because"],
            notice=kinds.NoticeHow.DECLINED if declined else kinds.NoticeHow.SIGNED,
            taken_by=cleaned["taken_by"],
            witness="" if cleaned["strokes"] else cleaned["witness"],
            strokes=cleaned["strokes"],
            tow_answer=cleaned["tow_answer"],
            tow=self._tow(cleaned),
            keys_to=cleaned["keys_to"],
            contents_to=cleaned.get("contents_to", ""),
            content_hash=cleaned["read"],
            language=cleaned["language"],
            client_key=cleaned["client_key"],
        )
        return Returning(
            leaving=leaving,
            version=cleaned["version"],
            after=cleaned.get("after"),
            interpreter=cleaned["interpreter"],
        )

    def _tow(self, cleaned: dict[str, Any]) -> TowOrder | None:
        """Return the order of a tow that was taken; it leaves on the day the car does."""
        if cleaned["tow_answer"] != kinds.TowAnswer.TAKEN:
            return None
        return TowOrder(
            kind=cleaned["kind"],
            hauler=cleaned["hauler"],
            from_place=self.stay.program.postal_address[:120],
            to_place=cleaned["to_place"],
            on=cleaned["on"],
            payer=cleaned["payer"],
            cost_cents=cleaned["cost_cents"],
        )

"""Every page that a GET reaches in the demonstration, and who opens it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from program.models import Case, Entry, ImportRun, Plan, Question
from program.planning.actions import ask_what_if
from program.planning.trying import Change, ChangeKind
from program.status.actions import give_page
from shared.links.queries import link_token
from shared.models import Job, Message, Person, User
from sponsors.models import Appeal, Reservation, Sponsor
from sponsors.pledges.queries import pledges_of
from sponsors.portal.queries import wishes
from sponsors.register.actions import give_portal_link, stop_link
from tests.journeys.bank_pages import bank
from tests.journeys.budget_pages import budgets
from tests.journeys.closing_pages import months
from tests.journeys.decided import decisions
from tests.journeys.gifts_pages import funds, gifts
from tests.journeys.grants_pages import grants
from tests.journeys.laid_out import days
from tests.journeys.ledger_pages import proposals
from tests.journeys.looked_into import Rows, diagnoses, each, fluids
from tests.journeys.priced import estimates
from tests.journeys.reports_pages import reports
from tests.journeys.statements_pages import statements
from tests.journeys.worked_in import bays_and_wheels
from tests.vehicles.pages import BACKEND
from vehicles.custody.kinds import ContentKind
from vehicles.models import (
    CodeScan,
    Content,
    Intake,
    LocalLimit,
    RepairItem,
    Vehicle,
)

if TYPE_CHECKING:
    from collections.abc import Iterator


@dataclass(frozen=True, kw_only=True)
class Page:
    """One page, and who is signed in on it (nobody for an empty name)."""

    path: str
    username: str


#: Who opens a page: the first of them that may.
PEOPLE = ("", "imke", "rosalind", "jonas", "benno")
OK, FOUND, NOT_ALLOWED = 200, 302, 405
SIGN_IN = "accounts:sign_in"
WITHOUT_ARGUMENTS: list[list[Any]] = [[]]
OTHERS = (
    Page(path="/nothing-is-here/", username=""),
    Page(path="/nothing-is-here/", username="imke"),
    Page(path="/week/", username="rosalind"),  # refused
    Page(path="/", username="rosalind"),
    Page(path="/", username="jonas"),
    Page(path="/week/", username="jonas"),
    Page(path="/money/entries/new/", username="jonas"),
    Page(path="/cases/?q=26-04", username="imke"),
    Page(path="/cases/?q=nobody", username="imke"),
)


def names(resolver: URLResolver | None = None, space: str = "") -> Iterator[str]:
    """Yield the name of every address of the site."""
    for entry in (resolver or get_resolver()).url_patterns:
        if isinstance(entry, URLResolver):
            yield from names(entry, entry.namespace or space)
        elif isinstance(entry, URLPattern):
            yield f"{space}:{entry.name}"


def arguments() -> dict[str, list[list[Any]]]:
    """Return what the addresses take that take anything, from the demonstration's rows."""
    return {name: args for rows in (_office(), _shop(), _givers()) for name, args in rows}


def _office() -> Rows:
    case = Case.objects.get(number="26-041")
    entry, message = Entry.objects.latest("pk").pk, Message.objects.latest("pk").pk
    household = [[case.household_id]]
    return [
        *_people(),
        ("desk:case_page", [[number] for number in ("26-041", "26-045", "26-056")]),
        ("desk:case_answer", [["26-041", Question.objects.get().pk]]),
        *each([["26-041"]], "desk:case_link", "desk:case_print_link", "desk:case_take_link"),
        ("status:page", [[link_token(give_page(case=case, by=None))]]),
        *each(household, "households:safe_contact", "households:move_stage"),
        ("households:declare_tie", household),
        ("importing:run_page", [[run.pk] for run in ImportRun.objects.all()]),
        ("importing:try_again", [[ImportRun.objects.latest("pk").pk]]),
        ("importing:sheet_template", [["cases"]]),
        *each([[Job.objects.latest("pk").pk]], "jobs:retry", "jobs:stop"),
        *each([[message]], "outbox:message_page", "outbox:send_again", "outbox:mark_arrived"),
        *funds(),
        *gifts(case.program, User.objects.get(username="jonas")),
        *each([[entry]], "ledger:entry_page", "ledger:entry_reverse"),
        *proposals(User.objects.get(username="jonas")),
        *each([[1]], "planning:plan_approve", "planning:week_pdf"),
        *each([["26-041"]], "planning:case_pin", "planning:case_unpin"),
        *_plans(),
        *decisions(),
        *days(),
        *months(case.program, User.objects.get(username="jonas")),
        *grants(case.program, User.objects.get(username="jonas")),
        *bank(),
        *budgets(),
        *reports(case.program),
        *statements(),
    ]


def _plans() -> Rows:
    """Return pages of the newest computed plan, of a question to it, and of the plan in force."""
    plan = Plan.objects.filter(state__in=["ready", "approved"]).latest("number")
    imke = User.objects.get(username="imke")
    money = Change(kind=ChangeKind.MONEY, amount=50_000)
    question = ask_what_if(plan=plan, changes=[money], by=imke)
    of_plan = ("plan_cancel", "search_end", "try_out", "waiting_list", "home_list")
    approved = Plan.objects.filter(approved_at__isnull=False).latest("number")
    return [
        *each([[plan.number]], *(f"planning:{name}" for name in of_plan)),
        ("planning:case_why", [[plan.number, number] for number in ("26-041", "26-046")]),
        ("planning:what_if", [[plan.number, question.pk]]),
        ("planning:plan_page", [[approved.number]]),
    ]


def _people() -> Rows:
    joris = Person.objects.get(name="Joris Achterberg")
    week = joris.weeks.latest("week_on").week_on.isoformat()
    about = ("person_page", "person_edit", "person_leave", "skill_sign_off", "paper_record")
    return [
        *each([[joris.pk]], *(f"people:{name}" for name in about)),
        ("people:skill_end", [[joris.skills.earliest("pk").pk]]),
        ("people:paper_end", [[joris.credentials.get().pk]]),
        ("people:person_hours", [[joris.pk]]),
        *each([[joris.pk, week]], "people:week_hours", "people:week_same"),
    ]


def _shop() -> Rows:
    car = Case.objects.get(number="26-041").vehicle
    stay = Intake.objects.get(vehicle=car, left_on=None)
    item = RepairItem.objects.filter(intake=stay).earliest("pk").pk
    photo = stay.photos.latest("pk")
    scan = CodeScan.objects.filter(intake=stay).latest("pk")
    gone = Vehicle.objects.exclude(intakes__left_on=None).latest("pk")
    shot = [[stay.pk, photo.pk]]
    return [
        *each([[stay.pk]], "custody:move_vehicle", "desk:stay_case"),
        *each([[stay.pk]], "intake:change_arrival", "intake:intake_sheet", "intake:walk_round"),
        ("intake:receive_car", [[], [gone.pk]]),
        ("intake:void_mark", [[stay.pk, stay.marks.latest("pk").pk]]),
        *each([[stay.pk]], "intake:photo_list", "intake:begin_upload"),
        ("intake:upload", [[stay.pk, photo.upload.client_key]]),
        *each(shot, "intake:photo_page", "intake:photo_file", "intake:void_photo"),
        ("codes:code_list", [[stay.pk]]),
        *diagnoses(stay),
        *each([[stay.pk, scan.pk]], "codes:clear_codes", "codes:withdraw_scan"),
        *each([[stay.pk]], "repairs:item_list", "repairs:add_item", "repairs:require_first"),
        ("repairs:make_estimate", [[stay.pk]]),
        *each([[stay.pk]], "repairs:take_proposals", "repairs:rank_page"),
        ("repairs:proposal_page", [[stay.pk, "alignment"]]),
        *each([[stay.pk, item]], "repairs:item_page", "repairs:mark_done"),
        *each([[stay.pk, item]], "repairs:withdraw_item", "repairs:reopen_item"),
        ("repairs:attach_finding", [[stay.pk, item, stay.findings.earliest("pk").pk]]),
        *_papers(stay),
        *_sheets(stay),
        *fluids(stay),
        *bays_and_wheels(stay),
        *estimates(stay),
    ]


def _sheets(stay: Intake) -> Rows:
    readings = [["tire-tread", "LF"], ["steering-lash-16"], ["wipers"]]
    begun = stay.inspections.filter(ended_at=None).earliest("pk").pk
    bad = stay.findings.filter(reading__isnull=False)
    reading = bad.earliest("pk").reading_id
    return [
        ("inspection:reading_page", [[stay.pk, *reading] for reading in readings]),
        ("inspection:begin_inspection", [[stay.pk]]),
        ("inspection:rest_good", [[stay.pk, "wipers"]]),
        ("inspection:report_file", [[stay.pk, f"R-{stay.pk}-1"]]),
        *each([[stay.pk, begun]], "inspection:end_inspection", "inspection:take_over"),
        ("inspection:regrade_page", [[stay.pk, reading]]),
        ("inspection:answer_regrade", [[stay.pk, reading]]),
        ("inspection:end_limit", [[LocalLimit.objects.earliest("pk").pk]]),
    ]


def _papers(stay: Intake) -> Rows:
    owner, consent = stay.vehicle.owners.earliest("pk"), stay.consents.earliest("pk")
    held = Content.objects.filter(kind=ContentKind.WEAPON).earliest("pk")
    both, thing = [[stay.pk], [held.intake_id]], [[held.intake_id, held.pk]]
    ways = ("custody_page", "record_standing", "decide_standing", "name_owner", "give_consents")
    things = ("keep_keys", "return_keys", "list_content", "order_tow")
    return [
        *each(both, *(f"custody:{name}" for name in ways + things)),
        *each(both, "handback:return_car", "handback:notice"),
        *each(both, "intake:vehicle_page", "inspection:sheet", "inspection:report"),
        ("custody:end_owner", [[stay.pk, owner.pk]]),
        ("custody:withdraw_consent", [[stay.pk, consent.pk]]),
        *each(thing, "custody:return_content", "custody:decide_content"),
    ]


def _givers() -> Rows:
    sponsor = Sponsor.objects.get(name="Larkspur Radiator Shop")
    token = link_token(give_portal_link(sponsor=sponsor, by=None))
    own = pledges_of(sponsor).intended().latest("pk").pk
    need = wishes(sponsor.program)[0].need.id
    one, appeal = [[sponsor.pk]], [[Appeal.objects.earliest("pk").pk]]
    kept = [[Reservation.objects.standing().earliest("pk").pk]]
    portal = ("need_list", "pledge_list", "preferences", "mail")
    return [
        *each(one, "register:sponsor_page", "register:sponsor_edit", "pledges:pledge_new"),
        *each(one, "register:open_page", "register:close_page"),
        *each([[own]], "pledges:pledge_end", "matching:pledge_fits"),
        *each(kept, "matching:match_confirm", "matching:match_free"),
        *each(appeal, "appeals:appeal_page", "appeals:appeal_drop"),
        *each([[need]], "purchasing:need_page", "purchasing:need_conditions"),
        *each([[need]], "purchasing:need_ask", "purchasing:need_checked"),
        ("portal:stop_mail", [[link_token(stop_link(sponsor))]]),
        ("portal:pledge_add", [[need], [token, need]]),
        ("portal:pledge_take_back", [[own], [token, own]]),
        *each([[], [token]], *(f"portal:{name}" for name in portal)),
    ]


@cache
def paths() -> tuple[str, ...]:
    """Return every address with its arguments; a new name that takes some is a NoReverseMatch.

    Asked again, they are those of the rows that `pages` made last.
    """
    known = arguments()
    return tuple(
        reverse(name, args=args)
        for name in sorted(set(names()))
        for args in known.get(name, WITHOUT_ARGUMENTS)
    )


def answer_of(client: Client, path: str, *, follow: bool = False) -> Any:
    """Return what a page answers; a file that streams is read to its end, which closes it."""
    answer: Any = client.get(path, follow=follow)
    if answer.streaming:
        list(answer.streaming_content)
    return answer


def led_elsewhere(answer: Any) -> bool:
    """Return whether an address only leads to another page, which isn't that to sign in."""
    return answer.status_code == FOUND and not answer["Location"].startswith(reverse(SIGN_IN))


def pages() -> list[Page]:
    """Return the pages of the site with the first person who may open each.

    What takes no GET, leads elsewhere or is a file to keep is left out.

    Raises:
        AssertionError: nobody can open an address.
    """
    clients = {username: Client() for username in PEOPLE}
    for username, client in clients.items():
        if username:
            client.force_login(User.objects.get(username=username), BACKEND)
    found = [*OTHERS]
    paths.cache_clear()  # the rows of the test before are gone
    for path in paths():
        answers = {username: answer_of(client, path) for username, client in clients.items()}
        opened = [username for username, answer in answers.items() if answer.status_code == OK]
        seen = sorted({answer.status_code for answer in answers.values()})
        leads = any(led_elsewhere(answer) for answer in answers.values())
        if not opened and not leads and NOT_ALLOWED not in seen:
            raise AssertionError(f"Nobody can open {path}: {seen}")
        if opened and answers[opened[0]].headers["Content-Type"].startswith("text/html"):
            found.append(Page(path=path, username=opened[0]))
    return found

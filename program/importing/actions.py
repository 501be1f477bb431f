"""Bringing sheets in: asking for it, checking, writing all or nothing."""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.db import IntegrityError, transaction
from django.utils import timezone

from program.importing import archive
from program.importing.batch import Batch
from program.importing.check import Checked, check
from program.importing.models import ImportRun
from program.importing.queries import facts, job_key, stamp
from program.importing.rows import Fault, Key
from program.importing.sheets import SHEETS
from program.importing.states import ImportState
from program.importing.writing import PROGRAM, write_batch
from shared.accounts.models import Program
from shared.audit.actions import log_event
from shared.jobs import actions as jobs

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping, Sequence
    from pathlib import Path
    from uuid import UUID

    from django.core.files.uploadedfile import UploadedFile

    from program.importing.check import Progress
    from program.importing.known import Facts
    from shared.accounts.models import User

DEFAULT_ZONE: Final = "America/Chicago"
IMPORT: Final = "import"  # the kind of job that checks and writes an upload
_TRIES: Final = 3


ON_RECORD: Final = Fault(
    sheet="",
    sentence="A row of these sheets is on record already, entered on a page.",
    remedy="Look which record it is, and take its row out.",
)


class StaleError(Exception):
    """Another import was written since the sheets were checked."""


@dataclass(frozen=True, kw_only=True)
class Looked:
    """What a check found, the facts it was made against, and the stamp of that moment."""

    checked: Checked
    there: Facts
    seen: int


def import_folder(
    path: Path,
    *,
    program: Program | None,
    by: User | None,
    leave_out: Collection[str] = (),
    progress: Progress | None = None,
) -> ImportRun:
    """Check and write the sheets of a folder or zip at once, and return what came of it.

    On an empty database `program` is None, and the sheet `program` makes it. Refused there, the run
    returned is not saved, since it would belong to nobody. `leave_out` holds rows such as
    `households:h7`.

    Raises:
        ValueError: the folder can't be read, or a row to leave out has no name.
    """
    contents = archive.from_path(path)
    run = ImportRun(
        program=program,
        name=path.name,
        sha256=archive.digest(contents),
        left_out=sorted(str(Key.parse(name)) for name in leave_out),
        by=by,
    )
    return _settle(run, contents, _look(run, contents, progress))


def check_folder(
    path: Path,
    *,
    program: Program | None,
    leave_out: Collection[str] = (),
    progress: Progress | None = None,
) -> Checked:
    """Return what `import_folder` would find, and write nothing."""
    keys = [Key.parse(name) for name in leave_out]
    return check(archive.from_path(path), facts(program), leave_out=keys, progress=progress)


def ask_import(
    *,
    sheets: Sequence[UploadedFile[Any]],
    client_key: UUID,
    by: User,
    leave_out: Collection[str] = (),
) -> ImportRun:
    """Keep what was uploaded and ask for its import; sent twice with one key, it is one import.

    `sheets` is one zip or any number of CSV sheets.

    Raises:
        ValidationError: the upload is cut off, too large, or holds what is no sheet.
    """
    name, content = _uploaded(sheets)
    left_out = sorted(set(leave_out))
    return _ask(by=by, client_key=client_key, name=name, content=content, left_out=left_out)


def ask_again(
    *, run: ImportRun, leave_out: Collection[str], client_key: UUID, by: User
) -> ImportRun:
    """Ask for the import of the same upload once more, without the rows named.

    Raises:
        ValidationError: the run was not refused, its upload is gone, or a row has no name.
    """
    if run.state != ImportState.REFUSED or not run.file:
        raise ValidationError("Only a refused upload can be sent again.")
    try:
        keys = sorted({str(Key.parse(name)) for name in (*run.left_out, *leave_out)})
    except ValueError as error:
        raise ValidationError(str(error)) from error
    with run.file.open("rb") as file:
        content = file.read()
    return _ask(by=by, client_key=client_key, name=run.name, content=content, left_out=keys)


AGAIN: Final = "Send them as they were made; sheets that you changed go without SHA256SUMS."


def work(payload: dict[str, Any], program: Program) -> Callable[[], object] | None:
    """Check one asked import, and return the function that writes it or what is wrong with it."""
    run = ImportRun.objects.get(pk=payload["run"], program=program)
    if run.state != ImportState.ASKED:
        return None

    def tell(sheet: str, done: int, total: int) -> None:
        words = f"Checking {SHEETS[sheet].title.lower()}: row {done:,} of {total:,}"
        ImportRun.objects.filter(pk=run.pk).update(progress=words)

    try:
        with run.file.open("rb") as file:
            contents = archive.from_zip(io.BytesIO(file.read()))
    except (ValueError, OSError) as error:
        fault = Fault(sheet="", sentence=str(error), remedy=AGAIN)
        return partial(_refuse, run, [fault])
    return partial(_settle, run, contents, _look(run, contents, tell))


def _uploaded(files: Sequence[UploadedFile[Any]]) -> tuple[str, bytes]:
    """Return the name of an upload and the zip that keeps it."""
    total = sum(file.size or 0 for file in files)
    if total > archive.MOST_ZIP_BYTES:
        most = archive.MOST_ZIP_BYTES // 1_000_000
        raise ValidationError({"sheets": f"The upload is larger than {most} MB."})
    read = [(str(file.name), file.read()) for file in files]
    try:
        if len(read) == 1 and read[0][0].lower().endswith(".zip"):
            archive.look_over(io.BytesIO(read[0][1]))
            return read[0]
        packed = archive.packed(archive.from_files(read))
    except ValueError as error:
        raise ValidationError({"sheets": str(error)}) from error
    return read[0][0] if len(read) == 1 else f"{len(read)} sheets", packed


def _ask(
    *, by: User, client_key: UUID, name: str, content: bytes, left_out: Sequence[str]
) -> ImportRun:
    """Write the run and its job, once for a key."""
    known = ImportRun.objects.for_user(by).filter(client_key=client_key).first()
    if known or by.program is None:
        return known or ImportRun()
    run = ImportRun(
        program=by.program,
        name=name[:200],
        sha256=archive.digest({"zip": content}),
        left_out=list(left_out),
        by=by,
        client_key=client_key,
    )
    try:
        with transaction.atomic():
            run.file.save(f"{client_key}.zip", ContentFile(content), save=False)
            run.save()
            jobs.ask(
                program=by.program,
                key=job_key(run),
                kind=IMPORT,
                payload={"run": run.pk},
            )
            log_event(run, "An import was asked for.", by=by)
    except IntegrityError:  # the same form, sent again while the first was on its way
        return ImportRun.objects.for_user(by).get(client_key=client_key)
    return run


def _look(
    run: ImportRun, contents: Mapping[str, bytes], progress: Progress | None = None
) -> Looked:
    """Check the sheets, outside any transaction, and remember what they were checked against."""
    program = run.program if run.program_id else None
    seen = stamp(program) if program else 0
    there = facts(program)
    keys = [Key.parse(name) for name in run.left_out]
    checked = check(contents, there, leave_out=keys, progress=progress)
    return Looked(checked=checked, there=there, seen=seen)


def _settle(run: ImportRun, contents: Mapping[str, bytes], looked: Looked) -> ImportRun:
    """Write the sheets or their problems; check anew where another import came between."""
    for _ in range(_TRIES):
        run.counts = _counts(looked.checked)
        if looked.checked.faults:
            return _refuse(run, looked.checked.faults)
        try:
            return _write(run, looked)
        except StaleError:
            looked = _look(run, contents)
        except IntegrityError:
            if not looked.there.program:
                raise
            break
    return _refuse(run, [ON_RECORD])


def _counts(checked: Checked) -> dict[str, Any]:
    counts: dict[str, Any] = {name: dict(count) for name, count in checked.counts.items()}
    if checked.notes:
        counts["ledger_entries"]["notes"] = list(checked.notes)
    return counts


@transaction.atomic
def _write(run: ImportRun, looked: Looked) -> ImportRun:
    """Write everything that is new, or nothing."""
    checked = looked.checked
    program = _program(run, checked)
    # Locks the program: two imports, or an import and a plan, can't write at once.
    Program.objects.select_for_update().get(pk=program.pk)
    if run.program_id and stamp(program) != looked.seen:
        raise StaleError
    run.program = program
    run.state, run.problems, run.progress = ImportState.DONE, [], ""
    run.done_at = timezone.now()
    # What was written is in the database; the upload with its names and addresses is not kept.
    storage, upload = run.file.storage, run.file.name
    run.file = ""
    run.save()
    if upload:
        transaction.on_commit(partial(storage.delete, upload))
    batch = Batch(program=program, by=run.by, today=program.today(), checked=checked)
    write_batch(batch, run, looked.there.known)
    is_new = any(checked.new.values())
    log_event(run, "Sheets were imported." if is_new else "Nothing in them was new.", by=run.by)
    if is_new:
        jobs.ask(program=program, key=f"rank:import:{run.pk}", kind="rank_items")
        jobs.ask(program=program, key=f"plan:import:{run.pk}", kind="plan")
    return run


def _program(run: ImportRun, checked: Checked) -> Program:
    """Return the program of the run; on an empty database the one that its sheet names."""
    if run.program_id:
        return run.program
    row = checked.new[PROGRAM][0]
    return Program.objects.create(
        name=row["name"],
        town=row["town"],
        region=row["state"],
        postal_address=row["postal_address"],
        phone=row["phone"],
        email=row["email"],
        time_zone=row["time_zone"] or DEFAULT_ZONE,
    )


def _refuse(run: ImportRun, faults: Sequence[Fault]) -> ImportRun:
    """Write down every problem, and nothing else."""
    run.state = ImportState.REFUSED
    run.problems = [fault.as_dict() for fault in faults]
    run.progress, run.done_at = "", timezone.now()
    if run.program_id:
        run.save()
    return run

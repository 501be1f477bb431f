from __future__ import annotations

import io
import stat
import zipfile
from typing import TYPE_CHECKING

import pytest

from program.importing import archive
from program.reports import checksums
from tests.program.importing.samples import folder, templates

if TYPE_CHECKING:
    from pathlib import Path

BAYS = b"ref,name\nb1,Bay 1\n"


def zipped(*entries: tuple[str | zipfile.ZipInfo, bytes]) -> io.BytesIO:
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as bundle:
        for name, content in entries:
            bundle.writestr(name, content, zipfile.ZIP_DEFLATED)
    whole.seek(0)
    return whole


def refusal(*entries: tuple[str | zipfile.ZipInfo, bytes]) -> str:
    with pytest.raises(ValueError, match=r"\w") as error:
        archive.from_zip(zipped(*entries))
    return str(error.value)


def test_a_folder_and_a_zip_of_it_hold_the_same_sheets(tmp_path: Path) -> None:
    sheets = templates()
    there = archive.from_folder(folder(tmp_path / "sheets", sheets))
    packed = archive.from_zip(io.BytesIO(archive.packed(sheets)))
    assert list(there) == list(packed) == list(sheets)
    assert there == packed
    assert archive.digest(there) == archive.digest(packed)


def test_one_folder_around_the_sheets_and_what_a_mac_adds_are_passed_over() -> None:
    entries = (("autumn/bays.csv", BAYS), ("__MACOSX/autumn/._bays.csv", b"\0"))
    assert archive.from_zip(zipped(*entries)) == {"bays": BAYS}


@pytest.mark.parametrize(
    "name", ["../bays.csv", "/etc/bays.csv", "a/../../bays.csv", "..\\bays.csv", "C:\\bays.csv"]
)
def test_a_path_outside_its_folder_is_refused(name: str) -> None:
    said = refusal((name, BAYS))
    assert said == f"“{name}” would lie outside its folder. Nothing was unpacked."


def test_a_bomb_is_refused_before_it_is_unpacked() -> None:
    said = refusal(("bays.csv", b"0" * 10_000_000))
    assert said == "“bays.csv” unpacks to far more than a sheet would. Nothing was unpacked."


def test_a_sheet_beyond_any_size_is_refused() -> None:
    said = refusal(("bays.csv", b"0" * (archive.MOST_FILE_BYTES + 1)))
    assert said == "“bays.csv” is larger than 15 MB. No sheet is so large."


def test_many_sheets_that_are_too_much_together_are_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(archive, "MOST_BYTES", 30)
    assert refusal(("bays.csv", BAYS), ("hours.csv", BAYS)) == "The zip unpacks to more than 0 MB."


def test_a_directory_that_lies_about_a_size_is_refused() -> None:
    content = zipped(("bays.csv", BAYS * 1000)).getvalue()
    size = (len(BAYS) * 1000).to_bytes(4, "little")
    lying = content.replace(size, (7).to_bytes(4, "little"))
    with pytest.raises(ValueError, match=r"^This zip can't be read: it is cut off or damaged\."):
        archive.from_zip(io.BytesIO(lying))


def test_too_many_files_are_refused() -> None:
    said = refusal(*((f"{number}.csv", b"") for number in range(61)))
    assert said == "The zip holds 61 files; 60 are the most."


def test_a_sheet_of_that_size_in_a_folder_is_refused_too(tmp_path: Path) -> None:
    most = archive.MOST_FILE_BYTES
    sheets = folder(tmp_path / "sheets", {"bays": b"0" * most})
    assert archive.from_path(sheets) == {"bays": b"0" * most}
    folder(sheets, {"hours": b"0" * (most + 1)})
    with pytest.raises(ValueError, match=r"^“hours\.csv” is larger than 15 MB\."):
        archive.from_path(sheets)


def test_an_upload_of_that_size_is_refused_too() -> None:
    with pytest.raises(ValueError, match=r"^“bays\.csv” is larger than 15 MB\."):
        archive.from_files([("bays.csv", b"0" * (archive.MOST_FILE_BYTES + 1))])


def test_a_sheet_that_is_there_twice_is_refused() -> None:
    said = refusal(("Repair items.csv", BAYS), ("repair_items.csv", BAYS))
    assert said == "The sheet “repair_items” is there twice."


def test_a_zip_packed_in_a_rare_way_is_refused() -> None:
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_BZIP2) as bundle:
        bundle.writestr("bays.csv", BAYS)
    with pytest.raises(ValueError, match=r"^“bays\.csv” is packed in a way that is not read here"):
        archive.from_zip(whole)


def test_a_link_in_a_zip_is_refused() -> None:
    info = zipfile.ZipInfo("bays.csv")
    info.external_attr = (stat.S_IFLNK | 0o777) << 16
    assert refusal((info, b"/etc/passwd")) == (
        "“bays.csv” is a link. Put the sheet itself into the zip."
    )


def test_a_zip_with_a_password_is_refused() -> None:
    content = bytearray(zipped(("bays.csv", BAYS)).getvalue())
    content[content.index(b"PK\x01\x02") + 8] |= 1
    content[content.index(b"PK\x03\x04") + 6] |= 1
    with pytest.raises(ValueError, match=r"^“bays.csv” is locked by a password\."):
        archive.from_zip(io.BytesIO(bytes(content)))


def test_folders_inside_a_zip_are_refused() -> None:
    assert refusal(("a/bays.csv", BAYS), ("b/hours.csv", BAYS)) == (
        "The sheets of a zip stand side by side, in one folder at most."
    )
    assert refusal(("a/b/bays.csv", BAYS)) == (
        "The sheets of a zip lie in one folder at most, not in folders inside it."
    )


def test_what_is_no_sheet_is_refused() -> None:
    assert refusal(("letter.pdf", b"")) == (
        "“letter.pdf” is no CSV sheet. An import holds CSV files only."
    )
    assert refusal(("inner.zip", b"PK")).startswith("“inner.zip” is no CSV sheet.")
    assert refusal(("bay.csv", BAYS)).startswith(
        "“bay.csv” is not one of the sheets. Likely meant: bays."
    )
    assert refusal(("bays.csv", BAYS), ("Bays.CSV", BAYS)) == "The sheet “bays” is there twice."


@pytest.mark.parametrize("cut", [1, 20, 60, 200])
def test_half_an_upload_is_told_as_what_it_is(cut: int) -> None:
    whole = archive.packed(templates())
    for look in (archive.from_zip, archive.look_over):
        with pytest.raises(ValueError, match=r"^This zip can't be read: it is cut off or damaged"):
            look(io.BytesIO(whole[:-cut]))


def test_an_empty_zip_says_which_sheets_there_are() -> None:
    assert refusal().startswith("There is no sheet in it. Sheets: program, people, hours,")


def test_a_link_or_folder_in_a_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "secret.csv").write_bytes(BAYS)
    sheets = folder(tmp_path / "sheets", {"hours": BAYS})
    (sheets / "bays.csv").symlink_to(tmp_path / "secret.csv")
    with pytest.raises(ValueError, match=r"^“bays\.csv” is a link\. Put the sheet itself into"):
        archive.from_folder(sheets)
    (sheets / "bays.csv").unlink()
    (sheets / "bays.csv").mkdir()
    with pytest.raises(ValueError, match=r"^“bays\.csv” is a folder\. Put the sheets side by"):
        archive.from_folder(sheets)


def test_a_path_to_a_zip_is_read_as_a_zip_and_any_other_as_a_folder(tmp_path: Path) -> None:
    there = folder(tmp_path / "sheets", templates())
    (tmp_path / "sheets.ZIP").write_bytes(archive.packed(templates()))
    assert archive.from_path(tmp_path / "sheets.ZIP") == archive.from_path(there)


def test_a_readme_beside_the_sheets_is_passed_over(tmp_path: Path) -> None:
    sheets = folder(tmp_path / "sheets", {"bays": BAYS})
    (sheets / "README.md").write_text("What these are.")
    (sheets / ".DS_Store").write_bytes(b"\0")
    assert archive.from_path(sheets) == {"bays": BAYS}


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"^“autumn” is not a folder\.$"):
        archive.from_path(tmp_path / "autumn")
    with pytest.raises(ValueError, match=r"^“autumn\.zip” can’t be opened\.$"):
        archive.from_path(tmp_path / "autumn.zip")


def summed(**changed: bytes) -> list[tuple[str, bytes]]:
    """Return two sheets with their checksums, some changed afterwards."""
    sheets = {"bays.csv": BAYS, "hours.csv": b"ref,person,week,hours,shifts\r\n"}
    sums = checksums.written(sheets).encode()
    later = {name: changed.get(name.partition(".")[0], data) for name, data in sheets.items()}
    return [*later.items(), (checksums.NAME, sums)]


def test_sheets_that_are_as_their_checksums_say_are_taken() -> None:
    assert list(archive.from_zip(zipped(*summed()))) == ["hours", "bays"]


def test_a_sheet_that_was_changed_after_its_checksum_is_refused() -> None:
    said = refusal(*summed(bays=BAYS + b"x"))
    assert said == (
        "“bays.csv” was changed since it was written: its checksum differs. Nothing was written."
    )


def test_a_sheet_that_its_checksums_name_and_that_is_missing_is_refused() -> None:
    _, *rest = summed()
    assert refusal(*rest) == "“bays.csv” stands in SHA256SUMS and is missing. Nothing was written."


def test_the_file_of_the_books_says_which_part_of_it_to_send() -> None:
    said = refusal(("journal.csv", b""), ("ledger-sheets.zip", b""), ("statements/trial.csv", b""))
    assert said == "This is the file of the books. Send ledger-sheets.zip, which lies in it."

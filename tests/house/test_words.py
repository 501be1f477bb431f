"""No file says where it was written: no path of one machine, no host that packages come from."""

from __future__ import annotations

import re

from tests.house.tree import APPS, ROOT, files, name, text_of

# Written in two pieces, since this file is read as well.
FOREIGN = re.compile(
    "|".join(
        f"{first}{second}"
        for first, second in [
            (r"(?<![\w.])/wo", r"rk/(?:main|shared|\.)"),
            (r"(?<![\w.])/ro", r"ot/"),
            (r"(?<![\w.])/ho", r"me/\w+/"),
            (r"(?<![\w.])/t", r"mp/"),
            (r"pypi\.", r"org"),
            (r"python", r"hosted\.org"),
            (r"npm", r"js\.(?:org|com)"),
            (r"deb\.", r"debian\.org"),
            (r"--index", r"-url\s+http"),
        ]
    )
)
READ = {
    ".py",
    ".html",
    ".css",
    ".js",
    ".md",
    ".toml",
    ".txt",
    ".csv",
    ".json",
    ".po",
    ".yml",
    ".sh",
}


def readable() -> list[str]:
    everything = [
        path for path in files(suffix="") if path.suffix in READ or path.parent.name == ".ci"
    ]
    return [name(path) for path in everything]


def test_no_file_names_a_machine_or_a_registry() -> None:
    found = [path for path in readable() if FOREIGN.search(text_of(ROOT / path))]
    assert found == []


def test_only_the_run_of_ci_looks_beside_the_checkout() -> None:
    beside = "../" + "shared"
    found = [path for path in readable() if beside in text_of(ROOT / path)]
    assert [path for path in found if path != ".ci/run"] == []


def test_the_top_level_holds_what_the_house_knows() -> None:
    known = {"DEVELOPERS.md", "LICENSE", "README.md", "manage.py", "pyproject.toml"}
    folders = {"deploy", "docs", "fixtures", "locale", "templates", "tests", "test-results", "var"}
    found = {
        path.name
        for path in ROOT.iterdir()
        if not path.name.startswith((".", "requirements")) and path.name != "__pycache__"
    }
    assert found - known - folders - set(APPS) == set()

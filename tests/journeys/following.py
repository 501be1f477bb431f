"""Which addresses somebody finds by following links from their first page on."""

from __future__ import annotations

import re
from collections import Counter
from typing import Any

from django.test import Client
from django.urls import resolve

from shared.models import User
from tests.journeys.addresses import answer_of, paths
from tests.vehicles.pages import BACKEND

ENOUGH = 12  # pages of one kind that are looked through for links


def reached(username: str) -> set[str]:
    """Return the names of the addresses that links lead to, from a person's first page on.

    Of each kind the oldest are looked through for links, and those that are tried out as examples.
    """
    tried = set(paths())
    client = Client()
    client.force_login(User.objects.get(username=username), BACKEND)
    names_seen: Counter[str] = Counter()
    seen, to_open = {"/"}, ["/"]
    while to_open:
        path = to_open.pop()
        name = resolve(path).view_name
        names_seen[name] += 1
        if names_seen[name] <= ENOUGH or path in tried:
            links = re.findall(
                r'<a[^>]*\shref="(/[^"#?]*)', text_of(answer_of(client, path, follow=True))
            )
            to_open += sorted(set(links) - seen, key=by_number, reverse=True)
            seen |= set(links)
    return set(names_seen)


def by_number(link: str) -> str:
    """Return what links are opened by, oldest rows first: as mere text, 998 comes after 1003, and
    where a database goes on counting, other pages of a kind would be looked through."""
    return re.sub(r"\d+", lambda found: found[0].zfill(12), link)


def text_of(answer: Any) -> str:
    """Return the markup of a page; nothing for a file to keep."""
    is_page = answer.headers["Content-Type"].startswith("text/html")
    return answer.content.decode() if is_page else ""

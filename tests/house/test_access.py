"""Pages are private unless they say otherwise: each view says who may open it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import URLPattern, URLResolver, get_resolver

if TYPE_CHECKING:
    from collections.abc import Iterator

# Shipped by Django, with a guard of its own; pages of the project are all marked.
GUARDED_BY_DJANGO = ("django.contrib.admin.",)


def patterns(resolver: URLResolver) -> Iterator[URLPattern]:
    for entry in resolver.url_patterns:
        if isinstance(entry, URLResolver):
            yield from patterns(entry)
        else:
            yield entry


def test_each_view_says_who_may_open_it() -> None:
    unmarked = [
        f"{pattern.pattern} ({pattern.lookup_str})"
        for pattern in patterns(get_resolver())
        if not hasattr(pattern.callback, "access")
        and not pattern.lookup_str.startswith(GUARDED_BY_DJANGO)
    ]
    assert unmarked == []


def test_the_site_has_pages() -> None:
    assert sum(1 for _ in patterns(get_resolver())) > 0


def test_an_address_is_named_for_its_view() -> None:
    """One name: view `vehicle_list`, URL `intake:vehicle_list`."""
    renamed = [
        f"{pattern.name} -> {pattern.callback.__name__}"
        for pattern in patterns(get_resolver())
        if not pattern.lookup_str.startswith("django.")
        and pattern.name != getattr(pattern.callback, "__name__", None)
    ]
    assert renamed == []

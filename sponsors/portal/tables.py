"""What a sponsor sees: open needs, and what became of their gifts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from django.utils.html import format_html
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from shared.tables import Column, DateColumn, NumberColumn, SayColumn, Table
from shared.templatetags import handback

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from sponsors.portal.access import Visit


class _SponsorTable(Table):
    """A short list without sorting, whose links know whose page it is on."""

    def __init__(self, data: Any = None, *, visit: Visit, **kwargs: Any) -> None:
        self.visit = visit
        super().__init__(data, orderable=False, **kwargs)


class WishTable(_SponsorTable):
    """Open needs within what a sponsor gives."""

    caption: ClassVar[Any] = _("Open needs that fit what you give")
    title = Column(verbose_name=_("Part"), accessor="need__title")
    fits = Column(verbose_name=_("Fits"), accessor="need__for_car")
    units = NumberColumn(verbose_name=_("How many"))
    opened_on = DateColumn(verbose_name=_("Open since"), accessor="need__opened_on")
    text = Column(verbose_name=_("What it does"), accessor="need__text")
    pledge = Column(verbose_name=_("Pledge"), accessor="need__id")

    def render_pledge(self, record: Any) -> SafeString:
        url = self.visit.url("pledge_add", record.need.id)
        said = gettext("Pledge")
        return format_html(
            '<a href="{}">{}<span class="sr"> {}</span></a>', url, said, record.title
        )


class OtherWishTable(WishTable):
    """All other open needs."""

    caption: ClassVar[Any] = _("Other open needs")


class GivenTable(_SponsorTable):
    """A sponsor's own pledges."""

    caption: ClassVar[Any] = _("What you promised and gave")
    title = Column(verbose_name=_("Part"))
    quantity = NumberColumn(verbose_name=_("How many"))
    mark = Column(verbose_name=_("State"))
    since_on = DateColumn(verbose_name=_("Since"))
    expires_on = DateColumn(verbose_name=_("Until"))
    became = SayColumn(verbose_name=_("What became of it"))
    may_be_taken_back = Column(verbose_name=_("Change"))

    def render_mark(self, record: Any) -> SafeString:
        return handback.mark(record.mark, record.word)

    def render_may_be_taken_back(self, record: Any) -> Any:
        if not record.may_be_taken_back:
            return self.default
        url = self.visit.url("pledge_take_back", record.id)
        said = gettext("Take it back")
        return format_html(
            '<a href="{}">{}<span class="sr"> {}</span></a>', url, said, record.title
        )

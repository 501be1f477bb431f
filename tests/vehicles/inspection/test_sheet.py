"""Sections and sheets: what is left, what asks for a look, where a look ends."""

from __future__ import annotations

import datetime as dt
from typing import Any

from vehicles.inspection.catalogue import load
from vehicles.inspection.depths import Depth
from vehicles.inspection.points import Point, Setting
from vehicles.inspection.sheet import Section, Sheet, stops
from vehicles.models import Finding, NotRead, Reading

SETTING = Setting(
    today=dt.date(2026, 11, 30), miles_per_week=0, odometers={}, criteria=load().criteria
)


def read(code: str, position: str, typed: str, **fields: Any) -> Point:
    reading = Reading(typed=typed, unit="mm", **{"deficiency": "none"} | fields)
    return Point(criterion=load()[code], position=position, reading=reading)


def unread(code: str, position: str = "", **fields: Any) -> Point:
    return Point(criterion=load()[code], position=position, **fields)


def section(*points: Point, **fields: Any) -> Section:
    defaults: dict[str, Any] = {
        "criterion": points[0].criterion,
        "points": points,
        "setting": SETTING,
    }
    return Section(**defaults | fields)


def test_what_need_not_be_read_is_unread_and_not_left() -> None:
    asked, idle = section(unread("horn")), section(unread("noise"), in_the_way=False)
    assert (asked.left, asked.unread, idle.left, idle.unread) == (1, 1, 0, 1)
    assert (asked.state, idle.state) == ("not read", "not needed")
    assert Sheet(Depth.FULL, (asked, idle)).total == 1


def test_a_section_says_in_short_how_far_it_is() -> None:
    two = read("tire-tread", "LF", "5"), unread("tire-tread", "RF")
    assert section(*two).state == "1 of 2 left"
    same = read("tire-tread", "LF", "5"), read("tire-tread", "RF", "5")
    assert section(*same).state == "5 mm"
    assert section(read("tire-tread", "LF", "5"), read("tire-tread", "RF", "6")).state == "all read"
    assert section(*two).first.position == "RF"


def test_a_place_in_the_middle_has_its_own_line_beside_left_and_right() -> None:
    glass = section(*(unread("side-glass", place) for place in load()["side-glass"].positions))
    lines = [[point.position if point else "" for point in row.points] for row in glass.rows]
    assert [row.label for row in glass.rows] == ["front", "rear", "rear"]
    assert lines == [["LF", "RF"], ["LR", "RR"], ["rear"]]


def test_one_tap_calls_good_what_is_seen_and_of_which_nobody_said_a_thing() -> None:
    seized = unread("tire-damage", "RF", not_read=NotRead(because="Weather"))
    left = [unread("tire-damage", place) for place in ("LF", "LR")]
    done = read("tire-damage", "RR", "good")
    assert section(*left, seized, done).rest == left
    assert section(left[0], seized, done).rest == []
    assert section(unread("tire-tread", "LF"), unread("tire-tread", "RF")).rest == []


def test_left_and_right_are_held_against_each_other() -> None:
    pads = [read("brake-pads", f"{side}-inner", mm) for side, mm in [("LF", "3"), ("RF", "6")]]
    (pair,) = section(*pads).pairs
    assert (str(pair.difference), pair.asks) == ("3 mm", True)


def test_what_is_seen_or_bears_its_own_limit_is_not_compared() -> None:
    assert (
        section(read("stop-lamps", "left", "good"), read("stop-lamps", "right", "good")).pairs == []
    )
    rotors = [read("brake-rotor", side, "22 min 21") for side in ("LF", "RF")]
    assert section(*rotors).pairs == []


def test_a_good_number_near_its_limit_is_named_with_its_place() -> None:
    ((point, said),) = section(read("tire-tread", "LF", "2"), read("tire-tread", "RF", "7")).near
    assert (point.position, str(said).partition(":")[0]) == ("LF", "2.52/32 in of tread")


def test_equipment_that_the_shop_lacks_is_named_and_the_other_way_shown() -> None:
    lacking = Setting(
        **{
            name: getattr(SETTING, name)
            for name in ("today", "miles_per_week", "odometers", "criteria")
        },
        lacking={"lining gauge": "out of use"},
    )
    pads = section(unread("brake-pads", "LF-inner"), setting=lacking)
    assert pads.lacked == [("lining gauge", "out of use")]
    assert pads.method == load()["brake-pads"].substitute
    assert section(unread("brake-pads", "LF-inner")).method == load()["brake-pads"].method


def test_the_worst_place_that_is_not_put_right_speaks_for_driving() -> None:
    bad = read("tire-tread", "LF", "1", deficiency="dangerous")
    minor = read("tire-tread", "RF", "1", deficiency="minor")
    assert section(minor, bad).worst is bad
    done = Point(
        criterion=bad.criterion,
        reading=bad.reading,
        finding=Finding(deficiency="dangerous", cleared_on=SETTING.today),
    )
    assert (section(done).worst, section(read("horn", "", "good")).worst) == (None, None)


def test_what_strands_a_car_says_nothing_of_driving() -> None:
    stranded = section(read("coolant", "", "PP leak", strands=True))
    assert (len(stranded.faults), stranded.worst) == (1, None)


def test_a_look_ends_at_what_makes_the_rest_not_worth_the_time() -> None:
    reason = next(one for one in load()["structure"].reasons if one.stops)
    rust = read("structure", "", reason.key, reason_key=reason.key, deficiency="dangerous")
    sections = (section(rust), section(unread("horn")))
    look, full = Sheet(Depth.LOOK, sections), Sheet(Depth.FULL, sections)
    assert stops(rust)
    assert (look.stop, look.next_unread(rust)) == (rust, None)
    assert (full.stop, full.next_unread(rust)) == (None, sections[1].points[0])


def test_other_findings_end_no_look() -> None:
    horn = read("horn", "", "7.7 a.2", reason_key="7.7 a.2", deficiency="major")
    assert not stops(horn)
    assert not stops(unread("structure"))


def test_nobody_is_asked_again_for_what_cant_be_read_or_need_not_be() -> None:
    seized = unread("tire-tread", "LF", not_read=NotRead(because="Weather"))
    idle = section(unread("noise"), in_the_way=False)
    last = section(unread("horn"))
    sheet = Sheet(Depth.FULL, (section(seized), idle, last))
    assert sheet.next_unread(seized) is last.points[0]
    assert sheet.next_unread(idle.points[0]) is last.points[0]
    assert section(seized).not_read == [seized]
    assert sheet.left == 2


def test_a_point_and_a_section_that_there_are_not_are_none() -> None:
    sheet = Sheet(Depth.FULL, (section(unread("horn")),))
    assert (sheet.point("horn", "roof"), sheet.section("tire-tread")) == (None, None)
    assert (sheet.inspection, sheet.is_open) == (None, False)

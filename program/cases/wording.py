"""The words of the next step where nothing but the stage, or where the car is, decides on it.

>>> str(SERVED[Step.REPAIR][1])
'Your car is being repaired.'
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from program.households.stages import Stage
from shared.accounts.roles import RoleKind
from shared.say import Say, say
from vehicles.custody.conditions import Step

if TYPE_CHECKING:
    from collections.abc import Mapping

Words = tuple[Say, Say, RoleKind]  # for staff, for the household, who does it

#: What comes next while a car is served, by where it is.
SERVED: Final[Mapping[Step, Words]] = {
    Step.EXPECTED: (
        say("Bring the car in."),
        say("We are waiting for your car."),
        RoleKind.COORDINATOR,
    ),
    Step.ON_LOT: (
        say("Take the car into a bay."),
        say("Your car is with us. The work starts soon."),
        RoleKind.LEAD_TECHNICIAN,
    ),
    Step.ASSESSMENT: (
        say("Close the inspection and write the estimate."),
        say("Your car is with us. We are finding out what it needs."),
        RoleKind.LEAD_TECHNICIAN,
    ),
    Step.AWAITING_PARTS: (
        say("Ask when the parts arrive."),
        say("Your car is waiting for parts."),
        RoleKind.COORDINATOR,
    ),
    Step.REPAIR: (
        say("Finish the work and hand the car to the final inspection."),
        say("Your car is being repaired."),
        RoleKind.TECHNICIAN,
    ),
    Step.SUBLET: (
        say("Ask the other shop when the car comes back."),
        say("Your car is at another shop for a part of the work."),
        RoleKind.COORDINATOR,
    ),
    Step.FINAL_INSPECTION: (
        say("Close the final inspection and the hand-back."),
        say("Your car is repaired. We check it before you get it back."),
        RoleKind.LEAD_TECHNICIAN,
    ),
    Step.HANDED_BACK: (
        say("Note that this household is back on the road."),
        say("Your car is back with you."),
        RoleKind.COORDINATOR,
    ),
}
#: What comes next in a stage that needs no other fact.
PLAIN: Final[Mapping[Stage, Words]] = {
    Stage.CALLED: (
        say("Take the application."),
        say("The next thing is the application. We help you with it."),
        RoleKind.COORDINATOR,
    ),
    Stage.APPLIED: (
        say("Read the application and decide on it."),
        say("We are reading your application."),
        RoleKind.CASEWORKER,
    ),
    Stage.DECIDING: (
        say("Decide whether the car is repaired, and sign."),
        say("We know what your car needs. We are deciding what we can do."),
        RoleKind.COORDINATOR,
    ),
    Stage.FOLLOWED_UP: (
        say("Nothing is left to do."),
        say("Everything is done. Call us if the same trouble comes back."),
        RoleKind.CASEWORKER,
    ),
    Stage.DECLINED: (
        say("Call and say why, then send the letter with what was found and who may help."),
        say("We will call you about your car."),
        RoleKind.CASEWORKER,
    ),
    Stage.WITHDRAWN: (
        say("Nothing is left to do."),
        say("You asked us to stop. Call us if you want to start again."),
        RoleKind.CASEWORKER,
    ),
    Stage.REFERRED: (
        say("Ask whether the other organization helped."),
        say("Another organization is helping you. Call us if it does not work out."),
        RoleKind.CASEWORKER,
    ),
}

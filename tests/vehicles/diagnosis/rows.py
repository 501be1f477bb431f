"""Rows of a diagnosis: a small fault model of the program's own, begun on an open stay."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shared.accounts.roles import RoleKind
from tests.factories import make_intake, make_user
from vehicles.diagnosis.actions import begin_diagnosis, record, verify_complaint
from vehicles.diagnosis.keeping import save_model
from vehicles.diagnosis.kinds import Verified
from vehicles.diagnosis.values import Seen

if TYPE_CHECKING:
    from shared.models import User
    from vehicles.models import Diagnosis, Intake, Observation

HOT = """\
format = "fault model 1"
code = "hot"
version = "1"
title = "Runs hot"
system = "cooling"
causes = "one"
unlisted = 0.05
words = ["runs hot"]
words_es = ["se calienta"]
verify = ["Look at the gauge."]
weights = "invented for a test"
sources = []

[specialist]
title = "Cooling specialist"
minutes = 30
dollars = "900.00"

[faults.fan]
title = "Fan stands still"
system = "cooling"
weight = 0.50
operation = "fan-motor"
look = { minutes = 30 }
deficiency = "major"
severity = 3

[faults.hose]
title = "Hose leaks"
system = "cooling"
weight = 0.40
operation = "radiator-hose"
look = { minutes = 30 }
deficiency = "major"
severity = 3

[faults.gasket]
title = "Head gasket leaks"
system = "engine"
weight = 0.05
caused_by = { fan = 0.30 }
operation = "head-gasket"
look = { minutes = 60 }
deficiency = "dangerous"
severity = 2
never_release = true

[checks.when]
title = "When it gets hot"
method = "Ask."
asked = true
minutes = 1
outcomes = { moving = "On the road", standing = "Standing" }
sound = [0.50, 0.50]
source = "common practice, no source"
mark = "from-memory"

[checks.when.given]
fan = [0.10, 0.90]

[checks.level]
title = "Coolant level, cold"
method = "Read the tank."
minutes = 3
setups = ["cold"]
cautions = ["hot-fluids"]
outcomes = { normal = "At its mark", low = "Low" }
sound = [0.95, 0.05]
source = "common practice, no source"
mark = "from-memory"

[checks.level.given]
hose = [0.05, 0.95]

[checks.level.names]
hose = ["low"]

[checks.fan-runs]
title = "Fan with the engine hot"
method = "Look."
minutes = 5
setups = ["warm"]
outcomes = { runs = "It runs", stands = "It stands still" }
sound = [0.99, 0.01]
source = "common practice, no source"
mark = "from-memory"

[checks.fan-runs.given]
fan = [0.02, 0.98]

[checks.fan-runs.names]
fan = ["stands"]

[[checks.fan-runs.bars]]
check = "level"
outcomes = ["low"]
because = "Without coolant the engine is not run."

[checks.gas]
title = "Combustion gas in the coolant"
method = "Draw it through the dye."
minutes = 20
setups = ["warm"]
outcomes = { none = "Stays blue", gas = "Turns yellow" }
sound = [0.99, 0.01]
source = "common practice, no source"
mark = "from-memory"

[checks.gas.given]
gasket = [0.03, 0.97]

[checks.gas.names]
gasket = ["gas"]

[[checks.gas.after]]
check = "level"
outcomes = ["normal"]
because = "The dye needs coolant."

[checks.road]
title = "Twenty minutes on the road"
method = "Drive."
minutes = 20
setups = ["road"]
cautions = ["road-test"]
outcomes = { cool = "Stays cool", hot = "Gets hot" }
sound = [0.90, 0.10]
source = "common practice, no source"
mark = "from-memory"

[checks.road.given]
hose = [0.30, 0.70]
"""


def technician(stay: Intake) -> User:
    """Return a technician of the stay's program who may do everything."""
    return make_user(RoleKind.TECHNICIAN, program=stay.program)


def make_diagnosis(stay: Intake | None = None, **fields: Any) -> Diagnosis:
    """Return a diagnosis of a hot engine that just began; its complaint was shown.

    `verified=None` leaves the complaint untried, `text` is another model of the complaint `hot`.
    """
    stay = stay or make_intake()
    by = fields.pop("by", None) or technician(stay)
    text = fields.pop("text", HOT)
    save_model(
        program=stay.program, complaint="hot", text=text, because="Ours", seen_number=0, by=by
    )
    row = begin_diagnosis(intake=stay, complaint="hot", by=by)
    verified = fields.pop("verified", Verified.SHOWN)
    if verified:
        verify_complaint(diagnosis=row, verified=verified, by=by)
        row.refresh_from_db()
    return row


def see(row: Diagnosis, check: str, outcome: str, **fields: Any) -> Observation:
    """Record what a check showed."""
    by = fields.pop("by", None) or row.begun_by
    client_key = fields.pop("client_key", None)
    seen = Seen(check=check, outcome=outcome, **fields)
    return record(diagnosis=row, seen=seen, client_key=client_key, by=by)

"""Words of the shop, known before any model.

>>> EquipmentKind("torque_wrench").label
'Torque wrench'
>>> EquipmentKind.LIFT.interval_months
12
"""

from __future__ import annotations

from enum import StrEnum


class EquipmentKind(StrEnum):
    """What has to be looked after before it may be used."""

    LIFT = "lift"
    JACK = "jack"
    STANDS = "stands"
    TORQUE_WRENCH = "torque_wrench"
    GLOVES = "gloves"
    GAS_ALARM = "gas_alarm"
    EXTINGUISHER = "extinguisher"
    REFRIGERANT = "refrigerant"
    OTHER = "other"

    @property
    def label(self) -> str:
        """The kind at the start of a sentence."""
        return _LABELS[self]

    @property
    def interval_months(self) -> int:
        """Months between two inspections, unless the maker or the law asks for less."""
        return _MONTHS.get(self, 12)


_LABELS = {
    EquipmentKind.LIFT: "Lift",
    EquipmentKind.JACK: "Jack",
    EquipmentKind.STANDS: "Stands",
    EquipmentKind.TORQUE_WRENCH: "Torque wrench",
    EquipmentKind.GLOVES: "High-voltage gloves",
    EquipmentKind.GAS_ALARM: "Carbon monoxide alarm",
    EquipmentKind.EXTINGUISHER: "Fire extinguisher",
    EquipmentKind.REFRIGERANT: "Refrigerant machine",
    EquipmentKind.OTHER: "Other",
}
# Lifts yearly: ANSI/ALI ALOIM (second hand). Jacks every six months: OSHA, text seen. Torque
# wrench yearly, gloves every six months: from memory. The rest: common practice, no source.
_MONTHS = {EquipmentKind.JACK: 6, EquipmentKind.GLOVES: 6}

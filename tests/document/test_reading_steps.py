"""What an instrument can show, in the unit a reading is written down in."""

from decimal import Decimal

import pytest

from author.checks.reading_steps import fineness, step_of
from author.contract import read_procedure
from author.procedure.items import Tool
from author.procedure.specs import LimitSpec, TorqueSpec
from author.resources import schema_folder

BORE = {"id": "bore", "characteristic": "Bore", "quantity": "length", "upper": "5", "source": "x"}


@pytest.mark.parametrize(
    ("measures", "resolution", "unit", "step"),
    [
        ("mm", "0.002", "mm", "0.002"),
        ("mm", "0.010", "µm", "10"),
        ("µm", "1", "mm", "0.001"),
        ("mm", None, "mm", None),
        # Its digits are others once they are converted.
        ("in", "0.001", "mm", None),
        ("N·m", "0.1", "mm", None),
        (None, None, "mm", None),
    ],
)
def test_a_step_is_told_in_the_unit_of_the_spec_or_not_at_all(measures, resolution, unit, step):
    known = None if resolution is None else Decimal(resolution)
    tool = Tool(id="gauge", name="Gauge", measures=measures, resolution=known)
    found = step_of(tool, LimitSpec.model_validate({**BORE, "unit": unit}))
    assert found == (None if step is None else Decimal(step))


def test_a_spread_and_a_torque_behind_an_adapter_are_not_what_the_scale_shows():
    gauge = Tool(id="gauge", name="Gauge", measures="mm", resolution=Decimal("0.01"))
    spread = LimitSpec.model_validate({**BORE, "unit": "mm", "spread_of": "other"})
    assert step_of(gauge, spread) is None
    file = schema_folder() / "examples" / "valid" / "everything-once.yaml"
    procedure = read_procedure(file).procedure
    tools = {tool.id: tool for tool in procedure.tools}
    torques = [spec for _, _, spec in procedure.placed_specs() if isinstance(spec, TorqueSpec)]
    adapted = [spec for spec in torques if spec.extension is not None]
    assert {step_of(tools[spec.instrument], spec) for spec in adapted} == {None}


@pytest.mark.parametrize(
    ("value", "step", "kind"),
    [
        ("39.987", "0.001", None),
        ("39.9873", "0.001", "finer"),
        ("39.9870", "0.001", "finer"),
        ("39.987", "0.002", "finer"),
        ("6.03", "0.05", "finer"),
        ("6.0", "0.05", "coarser"),
        ("6.0", "0.10", None),
        ("205", "10", "finer"),
        ("-40", "10", None),
        ("20", "0.5", "coarser"),
        ("0", "0.5", "coarser"),
    ],
)
def test_digits_are_held_against_the_steps(value, step, kind):
    assert fineness(Decimal(value), Decimal(step)) == kind

"""The storekeeper's desk as fixtures: its job is accepted; see `tests.van.desks`."""

from tests.van.desks import desk, stocked_template

__all__ = ["desk", "stocked_template"]

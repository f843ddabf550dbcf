"""The storekeeper's desk as fixtures; see `desks`."""

from tests.van.desks import (
    desk,
    issued_template,
    made,
    on_site,
    out,
    picked_template,
    stocked_template,
)

__all__ = [
    "desk", "issued_template", "made", "on_site", "out", "picked_template", "stocked_template"]

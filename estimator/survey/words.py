"""The vocabularies of the survey: which words each fact may hold."""

from __future__ import annotations

from typing import Literal

from catalogue.specs import Covering, WallKind

Part = Literal["storage", "panels", "converter", "backup"]
Building = Literal["detached", "semi", "terrace", "bungalow", "flat", "outbuilding"]
PlaneKind = Literal["pitched", "in-roof", "flat", "ground"]
Layout = Literal["portrait", "landscape", "best"]
Shade = Literal["none", "some", "heavy"]
Terrain = Literal["sea", "open", "farmland", "suburb", "town"]
ScaffoldGround = Literal[
    "clear", "glazed below", "neighbour's ground", "pavement", "soft or sloping", "not needed"
]
StoragePlace = Literal[
    "garage", "detached garage", "outbuilding", "outside wall", "utility room", "plant room",
    "hall", "kitchen", "under stairs", "landing", "bedroom", "cupboard off bedroom", "loft",
    "cellar",
]
StorageMount = Literal["wall", "floor"]
Floor = Literal["slab", "suspended timber", "paving", "soft ground"]
HouseAlarm = Literal["interlinked wired", "interlinked radio", "battery only", "none"]
Side = Literal["inside", "outside"]
Signal = Literal["good", "weak", "none"]
Earthing = Literal["TN-C-S", "TN-S", "TT"]
BoardCondition = Literal["sound", "replace"]
DeviceDirection = Literal["both ways", "one way", "not marked"]
LegRun = Literal["converter circuit", "d.c.", "data", "backup"]
LegMethod = Literal[
    "clipped", "trunking", "conduit", "loft", "under floor", "armoured outside", "buried soft",
    "buried hard",
]
TrenchSurface = Literal["lawn", "drive", "slab"]

__all__ = [
    "BoardCondition", "Building", "Covering", "DeviceDirection", "Earthing", "Floor",
    "HouseAlarm", "Layout", "LegMethod", "LegRun", "Part", "PlaneKind", "ScaffoldGround",
    "Shade", "Side", "Signal", "StorageMount", "StoragePlace", "Terrain", "TrenchSurface",
    "WallKind",
]

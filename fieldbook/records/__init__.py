"""What an entry holds: frozen dataclasses that are also the schema of the notebook."""

from fieldbook.records.batch import Batch, BatchLine, Marked, OvenDry, Size
from fieldbook.records.build import Build, BuildLine, Layer
from fieldbook.records.common import Entry, Line, Moment
from fieldbook.records.earth import Bar, BurnOut, Clay, Jar, Mix, Part
from fieldbook.records.firing import (
    Fault,
    Firing,
    FiringLine,
    FiringPlan,
    Fuel,
    Load,
    Setting,
    Unloaded,
)
from fieldbook.records.kiln import Battery, Fan, Kiln, KilnLine
from fieldbook.records.notebook import FOLDERS, KINDS, Notebook
from fieldbook.records.schema import Spec, attribute, specs
from fieldbook.records.settings import (
    Instrument,
    Instruments,
    Practice,
    Settings,
    Show,
    Site,
    Stage,
)
from fieldbook.records.test import Lever, Specimen, Test, TestLine

__all__ = [
    "FOLDERS",
    "KINDS",
    "Bar",
    "Batch",
    "BatchLine",
    "Battery",
    "Build",
    "BuildLine",
    "BurnOut",
    "Clay",
    "Entry",
    "Fan",
    "Fault",
    "Firing",
    "FiringLine",
    "FiringPlan",
    "Fuel",
    "Instrument",
    "Instruments",
    "Jar",
    "Kiln",
    "KilnLine",
    "Layer",
    "Lever",
    "Line",
    "Load",
    "Marked",
    "Mix",
    "Moment",
    "Notebook",
    "OvenDry",
    "Part",
    "Practice",
    "Setting",
    "Settings",
    "Show",
    "Site",
    "Size",
    "Spec",
    "Specimen",
    "Stage",
    "Test",
    "TestLine",
    "Unloaded",
    "attribute",
    "specs",
]

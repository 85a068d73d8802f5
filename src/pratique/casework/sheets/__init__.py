"""The pieces every page is made of, page by page. No HTML here."""

from pratique.casework.sheets.animal import AnimalSheet
from pratique.casework.sheets.chart import Chart, ChartMark, ChartPoint, ChartReading
from pratique.casework.sheets.concern import WEIGHT_ORDER, Concern, Due, Rounds, Weight
from pratique.casework.sheets.course import Advice, CourseSheet, DayCell, LikelyDip
from pratique.casework.sheets.growth import FindingLine, GrowthSheet
from pratique.casework.sheets.lines import About, Coincidence, Evidence, FeedMark, NextStep, Reason
from pratique.casework.sheets.listing import ListGroup, ListLine
from pratique.casework.sheets.passage import AnimalGate, CriterionLine, LegLine, PassageSheet, TroubleLine
from pratique.casework.sheets.system import LevelNow, Place, Resident, SystemSheet

__all__ = [
    "WEIGHT_ORDER",
    "About",
    "Advice",
    "AnimalGate",
    "AnimalSheet",
    "Chart",
    "ChartMark",
    "ChartPoint",
    "ChartReading",
    "Coincidence",
    "Concern",
    "CourseSheet",
    "CriterionLine",
    "DayCell",
    "Due",
    "Evidence",
    "FeedMark",
    "FindingLine",
    "GrowthSheet",
    "LegLine",
    "LevelNow",
    "LikelyDip",
    "ListGroup",
    "ListLine",
    "NextStep",
    "PassageSheet",
    "Place",
    "Reason",
    "Resident",
    "Rounds",
    "SystemSheet",
    "TroubleLine",
    "Weight",
]

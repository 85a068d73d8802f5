"""Figures of the trade: each with a source and a status, or refused."""

from pratique.knowledge.body_shapes import BodyDepth, BodyShape, body_depth_of, body_depths, body_shape_of, body_shapes
from pratique.knowledge.cautions import Caution, cautions_for
from pratique.knowledge.close_looks import CloseLook, Finds, close_look, close_looks
from pratique.knowledge.constituents import Constituent, constituent, constituents
from pratique.knowledge.copper import Band, CopperForm, copper_band
from pratique.knowledge.courses import (
    Alternative,
    Combination,
    CourseNote,
    alternatives,
    combination_of,
    combinations,
    course_notes,
    notes_for,
)
from pratique.knowledge.due import DueRule, due_rules
from pratique.knowledge.findings import FindingKind, finding_kind, finding_kinds
from pratique.knowledge.foods import Food, food, foods
from pratique.knowledge.loading import FigureRefused
from pratique.knowledge.methods import MethodFigure, method, methods
from pratique.knowledge.parasites import Parasite, parasite, parasites
from pratique.knowledge.protocols import (
    CoursePlan,
    GateCriterion,
    Leg,
    MovesPlan,
    Protocol,
    ReadingPlan,
    protocol,
    protocol_text,
    protocols,
)
from pratique.knowledge.solubilities import Solubility, solubilities, solubility
from pratique.knowledge.species import Species, all_species, species
from pratique.knowledge.status import Status
from pratique.knowledge.substances import Substance, substance, substances
from pratique.knowledge.thresholds import Figure, figure, figures
from pratique.knowledge.unknown import (
    PROTOCOL_KNOWN,
    constituent_or_unknown,
    protocol_or_unknown,
    species_or_unknown,
    substance_or_unknown,
)

__all__ = [
    "PROTOCOL_KNOWN",
    "Alternative",
    "Band",
    "BodyDepth",
    "BodyShape",
    "Caution",
    "CloseLook",
    "Combination",
    "Constituent",
    "CopperForm",
    "CourseNote",
    "CoursePlan",
    "DueRule",
    "Figure",
    "FigureRefused",
    "FindingKind",
    "Finds",
    "Food",
    "GateCriterion",
    "Leg",
    "MethodFigure",
    "MovesPlan",
    "Parasite",
    "Protocol",
    "ReadingPlan",
    "Solubility",
    "Species",
    "Status",
    "Substance",
    "all_species",
    "alternatives",
    "body_depth_of",
    "body_depths",
    "body_shape_of",
    "body_shapes",
    "cautions_for",
    "close_look",
    "close_looks",
    "combination_of",
    "combinations",
    "constituent",
    "constituent_or_unknown",
    "constituents",
    "copper_band",
    "course_notes",
    "due_rules",
    "figure",
    "figures",
    "finding_kind",
    "finding_kinds",
    "food",
    "foods",
    "method",
    "methods",
    "notes_for",
    "parasite",
    "parasites",
    "protocol",
    "protocol_or_unknown",
    "protocol_text",
    "protocols",
    "solubilities",
    "solubility",
    "species",
    "species_or_unknown",
    "substance",
    "substance_or_unknown",
    "substances",
]

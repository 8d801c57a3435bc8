"""The closed sets of words of a plan. What is free text in the format is plain text in the model."""

from enum import StrEnum


class PointKind(StrEnum):
    """What hangs on a point of a circuit."""

    SOCKET = "socket"
    SWITCH = "switch"
    LIGHT = "light"
    FAN = "fan"
    COOKER = "cooker"
    HEATING = "heating"
    LAUNDRY = "laundry"
    APPLIANCE = "appliance"
    JUNCTION = "junction"


class Serves(StrEnum):
    """What a circuit is there for."""

    SOCKETS = "sockets"
    LIGHTS = "lights"
    COOKER = "cooker"
    HEATING = "heating"
    LAUNDRY = "laundry"
    APPLIANCE = "appliance"


class Joint(StrEnum):
    """How a corner, or the edge of a reveal, is finished."""

    BEAD = "bead"
    SEALANT = "sealant"
    FILLER = "filler"
    TAPE = "tape"
    NONE = "none"


class Edge(StrEnum):
    """The edge of a cut piece: one of the factory's, tapered or square, a cut one, or cut and bevelled."""

    TAPERED = "tapered"
    SQUARE = "square"
    CUT = "cut"
    GROOVED = "grooved"


class OpeningKind(StrEnum):
    """What a hole in a wall is."""

    WINDOW = "window"
    DOOR = "door"
    NICHE = "niche"
    PASSAGE = "passage"


class Faces(StrEnum):
    """What is on the other side of a wall."""

    OUTSIDE = "outside"
    GROUND = "ground"
    NEIGHBOUR = "neighbour"
    LOFT = "loft"
    INSIDE = "inside"


class Scale(StrEnum):
    """The scale on which moisture was read."""

    WOOD_EQUIVALENT = "wood-equivalent"
    WOOD = "wood"
    RELATIVE = "relative"
    CARBIDE = "carbide"
    OVEN_DRY = "oven-dry"
    AIR_HUMIDITY = "air-humidity"


class ReadOf(StrEnum):
    """What a moisture reading was taken of."""

    WALL = "wall"
    BATTENS = "battens"
    FRAME = "frame"
    SCREED = "screed"


class HeightsFrom(StrEnum):
    """The floor that heights of points and sills are measured from."""

    FINISHED = "finished"
    RAW = "raw"


class Earthing(StrEnum):
    """How the supply is earthed (IEC 60364-1)."""

    TN_S = "TN-S"
    TN_C_S = "TN-C-S"
    TT = "TT"


class Curve(StrEnum):
    """How a breaker trips on a short circuit (IEC 60898-1)."""

    B = "B"
    C = "C"
    D = "D"


class Cable(StrEnum):
    """What is laid: single wires, or one cable with all conductors."""

    SINGLES = "singles"
    MULTICORE = "multicore"


class Method(StrEnum):
    """How a cable lies, as the capacity tables name it (IEC 60364-5-52); the later, the cooler it stays."""

    A2 = "A2"
    A1 = "A1"
    B2 = "B2"
    B1 = "B1"
    C = "C"


class BoardKind(StrEnum):
    """What a sheet is made of."""

    GYPSUM = "gypsum"
    GYPSUM_FIBRE = "gypsum-fibre"
    CEMENT = "cement"
    OSB = "osb"
    PLYWOOD = "plywood"
    CHIPBOARD = "chipboard"
    MDF = "mdf"
    SOFTBOARD = "softboard"


class Edges(StrEnum):
    """The long edges of a sheet as they leave the factory."""

    TAPERED = "tapered"
    SQUARE = "square"
    TONGUED = "tongued"


class Salts(StrEnum):
    """What is known of salts in a wall: they raise what a meter shows."""

    SUSPECTED = "suspected"
    TESTED = "tested"


class PassageKind(StrEnum):
    """What stands in the way of a board that is carried in."""

    TURN = "turn"
    DOOR = "door"
    HATCH = "hatch"


class PipeKind(StrEnum):
    """What a pipe carries."""

    WATER = "water"
    HEATING = "heating"
    WASTE = "waste"
    GAS = "gas"
    VENT = "vent"


class Screed(StrEnum):
    """What a screed is bound with."""

    CEMENT = "cement"
    CALCIUM_SULPHATE = "calcium-sulphate"


class Swing(StrEnum):
    """Which way a leaf opens, seen from the room."""

    IN = "in"
    OUT = "out"
    SLIDE = "slide"


class FixtureKind(StrEnum):
    """Something fixed that takes room on a wall."""

    BATH = "bath"
    SHOWER = "shower"
    BASIN = "basin"
    SINK = "sink"
    HOB = "hob"
    STOVE = "stove"
    RADIATOR = "radiator"
    RAIL = "rail"
    WORKTOP = "worktop"


class Protection(StrEnum):
    """What guards a cable in a wall against nails and screws."""

    STEEL_PLATE = "steel-plate"
    STEEL_CONDUIT = "steel-conduit"
    ARMOUR = "armour"


class Direction(StrEnum):
    """Which way a chase goes."""

    VERTICAL = "vertical"
    HORIZONTAL = "horizontal"


class TaskKind(StrEnum):
    """What is done in a task."""

    HAZARD_SURVEY = "hazard-survey"
    DAMP_REPAIR = "damp-repair"
    STRIPPING = "stripping"
    WINDOWS = "windows"
    PLUMBING = "plumbing"
    FIRST_FIX = "first-fix"
    DEAD_TEST = "dead-test"
    PHOTOGRAPHS = "photographs"
    INSULATION = "insulation"
    CLOSING_IN = "closing-in"
    PLASTERING = "plastering"
    SCREED = "screed"
    TANKING = "tanking"
    TILING = "tiling"
    FLOORING = "flooring"
    BEADS = "beads"
    FILLING = "filling"
    SANDING = "sanding"
    CORNER_SEALING = "corner-sealing"
    PRIMING = "priming"
    PAINTING = "painting"
    SECOND_FIX = "second-fix"
    LIVE_TEST = "live-test"


class Tested(StrEnum):
    """What was tested on a dead circuit, or on its loop."""

    CONTINUITY = "continuity"
    INSULATION = "insulation"
    POLARITY = "polarity"
    LOOP = "loop"

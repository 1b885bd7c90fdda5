"""What a form calls the fields of a plan, in the words of the trade, and which of them it shows first."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.plan.kinds import KINDS, is_consumer

#: Labels by record and field, or by field where every record calls it so.
_LABELS: Mapping[str, str] = MappingProxyType(
    {
        # header and vehicle
        "loomwright": "Version of the format",
        "of": "Builds on the file",
        "drawn_by": "Drawn by",
        "checked_by": "Checked by",
        "serials": "Vans built from it",
        "removed": "Taken away",
        "system": "System voltage",
        "load_space": "Load space: length, width, height",
        "steering": "Steering wheel",
        "pop_top": "Rising roof",
        "Vehicle.body": "Body made of",
        "ready_mass": "Mass ready to drive",
        "permitted_mass": "Permitted mass",
        "front_axle": "Permitted on front axle",
        "rear_axle": "Permitted on rear axle",
        "rear_axle_at": "Rear axle at",
        "Vehicle.standby": "Drain when parked",
        "lat": "Latitude",
        "lon": "Longitude",
        "mean": "Air, daily mean",
        "night": "Air, daily low",
        "day": "Air, daily high",
        "sun_hours": "Peak sun hours a day",
        "rainy_sun_hours": "Peak sun hours, rainy day",
        "snow_days": "Days with snow on the panel",
        "snow_leaves": "Sun left under snow",
        # wiring
        "from": "From",
        "to": "To",
        "through": "Goes through",
        "via": "Lies in",
        "return": "Return",
        "area": "Area",
        "Run.length": "Length, one way",
        "Return.length": "Length, one way",
        "Leg.length": "Length from the joint",
        "joined": "Loads joined",
        "conductor": "Copper",
        "Run.temperature": "Air beside it",
        "bundle": "Loaded cores together",
        "clips": "Clips every",
        "joints": "Lugs and crimps, counted",
        "Run.resistance": "Resistance, measured",
        "factory": "The vehicle maker's own",
        "sheathed": "In a second sleeve",
        "built": "How far built",
        # places, paths, studs
        "Place.at": "Coordinates: back, right, up",
        "Part.at": "Coordinates: back, right, up",
        "zones": "Sort of place",
        "temperature": "Air temperature",
        "thermal_lag": "Lags the outside air by",
        "heat_loss": "Heat loss of the box",
        "along": "Runs past",
        "hole": "Smallest hole",
        "conduit": "Closed conduit",
        "surface": "Under the ring",
        "sealed": "Sealed after tightening",
        "bolt": "Bolt of",
        "Stud.resistance": "Resistance, ring to body",
        "body_to": "Body to other studs",
        # parts
        "like": "Like",
        "type": "Type",
        "order": "Order text",
        "source": "Figures from",
        "voltage": "Voltage class",
        "count": "How many",
        "mass": "Mass of each",
        "Cargo.mass": "Mass",
        "Part.price": "Price of each",
        "heat": "Heat given off",
        "ip": "Protection (IP)",
        "ambient": "Permitted air",
        "takes": "Terminals take",
        "lead": "Its own thinnest lead",
        "rating": "Rated current",
        "Part.terminals": "Further terminals",
        "Part.wired": "Is wired",
        "running": "Runs at",
        "start": "Starts at",
        "Part.standby": "Standby",
        "average": "Runs at, on average",
        "down_to": "Lowest setting",
        "behaves": "Current goes with volts as",
        "cut_out": "Cuts out at",
        "cut_in": "Cuts in at",
        "factory_cut_out": "Cuts out at, as delivered",
        "duty": "Thermostat on",
        "keep_on": "Stays on with the master off",
        "own_switch": "Has its own switch",
        "pressure_switch": "Runs by pressure",
        "case": "Metal case",
        "works": "Works when",
        "capacity": "Capacity, 20 h",
        "capacity_at": "Capacity when cold",
        "usable": "Usable share",
        "open_circuit": "Resting volts",
        "peukert": "Peukert exponent",
        "charge_limit": "Most charging current",
        "discharge_limit": "Most current given",
        "charge_temperature": "May be charged at",
        "cut_off": "Own management cuts off",
        "charge_efficiency": "Out per Ah in",
        "self_discharge": "Self-discharge a month",
        "vent": "Vented to outside by",
        "clamp": "Held down",
        "Part.joined": "Joined as",
        "controlled": "Engine management controls it",
        "charges": "Charges the battery",
        "form": "Sort of charging",
        "output": "Output volts",
        "azimuth": "Faces (180 is south)",
        "working_volts": "Volts at best point",
        "working_current": "Current at best point",
        "short_current": "Current when shorted",
        "idle": "Draws for itself",
        "profile": "Charging profile",
        "probe": "Temperature probe",
        "start_on": "Starts on",
        "input_min": "Least input",
        "yield": "Yield of the panel",
        "second": "Second output",
        "fold_back": "Limits current to",
        "isolated": "Output minus apart",
        "peak": "Peak power",
        "alarm": "Warns below",
        "neutral_bond": "Neutral to earth bond",
        "transfer": "Passes through",
        "charge_current": "Charges with",
        "fuse_type": "Fuses it takes",
        "main_fuse": "Main fuse",
        "minus_rail": "Has a minus rail",
        "drop": "Forward drop",
        "by": "Moved by",
        "Revision.by": "By",
        "Accepted.by": "By",
        "Reading.by": "By",
        "rests": "At rest",
        "contact": "Contact",
        "coil": "Coil current",
        "coil_voltage": "Coil volts",
        "latching": "Latching",
        "diode": "Diode across the coil",
        "coil_plus": "Coil plus at",
        "off_while": "Held off while live",
        "delay": "Delay",
        "sense": "Senses",
        "Part.switches": "Switches the",
        "Output.switches": "Switches the",
        "ports": "Ports and what is behind",
        "inside": "Insides",
        "live": "Live when",
        "monitored": "Lamp circuit monitored",
        "draws": "Draws by pin",
        "tank": "Tank holds",
        "empty": "Sender, tank empty",
        "full": "Sender, tank full",
        "sender_current": "Measuring current",
        "purge": "Runs on after stopping",
        "per_metre": "Power per metre",
        "Part.length": "Length",
        "includes": "Standby of",
        "factory_drain": "Factory drain",
        "lid": "Lid",
        "notice": "Notice beside it",
        "rcd": "RCD",
        "main_breaker": "Main breaker",
        "plugged": "Plugged into",
        "priority": "Dropped first to last",
        # how the van lives
        "Mode.engine": "Engine",
        "ignition": "Ignition on",
        "towing": "Trailer on",
        "hook_up": "Hook-up",
        "Mode.switches": "Switches and what they are at",
        "Mode.running": "Loads on",
        "starting": "Loads starting",
        "Mode.plugged": "What is plugged in where",
        "Mode.charge": "Charge of the battery",
        "Mode.volts": "Volts at the posts",
        "drives": "Drives",
        "nights": "Nights a week",
        "loads": "Used a day",
        "total": "Used a day, in all",
        "rooms": "Kept inside at",
        "Promise.says": "What was promised",
        "Question.says": "What is asked",
        "Revision.says": "What changed and why",
        "loop": "Earth loop impedance",
        "where": "Where",
        "because": "Because",
    }
)

#: Shown first, in this order, by record; the rest stands under *more*.
_MAIN: Mapping[str, str] = MappingProxyType(
    {
        "Plan": "title region system customer drawn_by date revision",
        "Vehicle": "load_space steering body",
        "Site": "lat sun_hours",
        "Run": "from through to fuse area length colour via return",
        "Leg": "length area through fuse",
        "Return": "to length area",
        "Part": "kind name place",
        "Stud": "place thread",
        "Place": "at zones",
        "Path": "along length hole",
        "Supply": "current earthing",
        "Mode": "engine hook_up switches running",
        "Season": "months drives hook_up loads",
        "Promise": "says season days",
        "Basis": "cable_rating conductors insulation temperature bundle limit_set",
        "Prices": "hour small waste tax margin",
        "Cargo": "mass price place",
        "Revision": "date by says",
        "Accepted": "rule where because by",
    }
)
#: Shown first besides what a part of the kind needs.
_MAIN_OF_KIND: Mapping[str, str] = MappingProxyType(
    {
        "battery": "charge_limit resistance",
        "vehicle_battery": "chemistry capacity",
        "alternator": "charges current controlled",
        "b2b": "output",
        "solar_panel": "count working_current short_current",
        "solar_regulator": "current",
        "mains_charger": "current power",
        "converter": "current",
        "inverter": "peak efficiency",
        "inverter_charger": "peak transfer charge_current",
        "fuse_box": "fuse_type minus_rail main_fuse",
        "busbar": "rating",
        "plug": "rating",
        "switch": "rating poles",
        "master_switch": "rating by",
        "relay": "contact rating coil coil_voltage",
        "sensing_relay": "rating cut_in cut_out",
        "low_voltage_cut": "cut_out cut_in delay",
        "strip": "per_metre length",
        "sender": "tank",
        "gauge": "sender_current",
        "inlet": "rating lid",
        "breaker_box": "rcd",
        "appliance": "power plugged",
        "hook_up_lead": "length area",
    }
)
_CONSUMER_MAIN = "count running start own_switch"


def label_of(record: str, name: str) -> str:
    """Return what a form calls a field."""
    return _LABELS.get(f"{record}.{name}") or _LABELS.get(name) or name.replace("_", " ").capitalize()


def main_fields(record: str, kind: str = "", mains: bool = False) -> tuple[str, ...]:
    """Return the fields that a form shows first, in order.

    Parameters
    ----------
    record : str
        `Run`, `Part` ... as `model.RECORDS` calls them.
    kind : str
        Of a part.
    mains : bool
        A run of mains has a breaker, and its neutral and earth in it.
    """
    names = _MAIN.get(record, "").split()
    if kind in KINDS:
        names += [*KINDS[kind].needed, *(_CONSUMER_MAIN.split() if is_consumer(kind) else ())]
        names += _MAIN_OF_KIND.get(kind, "").split()
    if mains:
        names = ["breaker" if name == "fuse" else name for name in names if name != "return"]
    return tuple(dict.fromkeys(names))

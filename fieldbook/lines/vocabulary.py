"""The words a line is typed in, beside the names of fields: plain data, in small letters."""

from fieldbook.lines.fields import UNLOADED


def words(text: str) -> frozenset[str]:
    """Give the words of a text."""
    return frozenset(text.split())


PLACES = words(
    "top upper middle centre center bottom lower base front back rear left right door corner crown "
    "north south east west"
)
"""Places in a kiln that need not be named in its entry."""

BENIGN = words(
    "on from with at in into over under by again and but all through after since out up down for "
    "as to"
)
"""Words after which a phrase such as `turned` still means what it says."""

DOUBTFUL = words(
    "not no never none nothing stopped stops gone yet ended ceased almost nearly soon later "
    "tomorrow if without hardly unless until till maybe perhaps"
)
"""Words that may turn the meaning of a phrase before them."""

KEYED = {
    "settled": ("settled", "length"),
    "lean": ("lean", "length"),
    "leans": ("lean", "length"),
    "oxygen": ("oxygen", "percent"),
    "o2": ("oxygen", "percent"),
    "charge": ("charge", "percent"),
    "battery": ("charge", "percent"),
    "humidity": ("humidity", "percent"),
}
"""Word -> field and dimension of the amount that follows it."""

FLAGS: dict[str, tuple[str, object]] = {
    "no steam": ("steam", False),
    "steam stopped": ("steam", False),
    "steam gone": ("steam", False),
    "steam over": ("steam", False),
    "steaming": ("steam", True),
    "steam": ("steam", True),
    "white smoke": ("smoke", "white"),
    "black smoke": ("smoke", "black"),
    "clear smoke": ("smoke", "none"),
    "smoke clear": ("smoke", "none"),
    "smoke white": ("smoke", "white"),
    "smoke black": ("smoke", "black"),
    "smoke none": ("smoke", "none"),
    "no smoke": ("smoke", "none"),
    "not covered": ("covered", False),
    "uncovered": ("covered", False),
    "covered": ("covered", True),
    "turned": ("turned", True),
    "no frost": ("frost", False),
    "frost": ("frost", True),
    "no rain": ("rain", False),
    "raining": ("rain", True),
    "rained": ("rain", True),
    "rain": ("rain", True),
    "dried": ("dried", True),
    "lit the kiln": ("event", "lit"),
    "lit the fire": ("event", "lit"),
    "lit": ("event", "lit"),
    "sealed": ("event", "sealed"),
    "peak reached": ("event", "peak"),
    "at peak": ("event", "peak"),
    "peak": ("event", "peak"),
    "cooling": ("event", "cooling"),
    "opened": ("event", "opened"),
    "unloaded": ("event", "unloaded"),
    "soak began": ("soak", "began"),
    "soak ended": ("soak", "ended"),
    "boil began": ("boil", "began"),
    "boil ended": ("boil", "ended"),
    "soak started": ("soak", "began"),
    "boil started": ("boil", "began"),
    "soak over": ("soak", "ended"),
    "boil over": ("boil", "ended"),
}
"""Words that say it all -> field and value; what is no field of the kind is not looked for."""

FROST_TO_COME = (
    *("frost tonight", "frost tomorrow", "frost expected", "frost forecast", "frost to come"),
    *("frost is forecast", "frost coming", "frost warning", "night frost", "ground frost"),
    *("hard frost", "light frost", "white frost", "hoar frost"),
)
"""A frost, come or to come, whose words say more than the field holds."""

SHADES = words(
    "faint first just very dark deep dull blood black low lowest full bright light clear pale "
    "dazzling"
)
COLOURS = words("red cherry orange yellow white salmon straw visible")
SETTINGS = (
    *("on", "off", "full", "half", "low", "high", "quarter", "third", "two thirds"),
    *("three quarters", "shut", "closed", "open", "out", "in", "ajar"),
)
"""How a fan or a damper stands."""

OF_ENDS = words(
    "because as since to at then but when while after before from in and for still with by it is "
    "was so not now"
)
"""Words that end the name of a fuel."""

CONE_STATES = {
    "standing": "standing",
    "stands": "standing",
    "bending": "bent",
    "bent": "bent",
    "down": "down",
}

WINDS = words(
    "light gentle moderate fresh strong gusty gusts calm still none n ne e se s sw w nw north "
    "northeast north-east east southeast south-east south southwest south-west west northwest "
    "north-west from the"
)

COUNTED = ("cracked", "sold", "broken", "laid")
CAME_OUT = [field for field, shape in UNLOADED.items() if shape == "count"]

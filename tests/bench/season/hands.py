"""How a maker does what an action says, and with what they fill its line."""

HANDS = {}


def hand(*rules):
    """What is done when one of these rules speaks: gives the lines that are written then."""

    def register(does):
        for rule in rules:
            HANDS[rule] = does
        return does

    return register


def nothing_to_write(*rules):
    """Orders and cautions that are obeyed and need no line."""
    for rule in rules:
        HANDS[rule] = lambda world, action, notes: ()


def load_hands():
    """Each of the files of hands fills the table."""
    from tests.bench.season import hands_at_fire, hands_in_yard, hands_on_clay, hands_on_tests  # noqa: F401

    return HANDS

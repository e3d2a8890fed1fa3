"""A press on a card of a lesson, as the browser sends it."""


def press(card, command="keep", **values):
    """What the card then shows; fields keep their values but those given, whose names may begin
    with "_".
    """
    filled = {field["name"]: field["value"] for field in card.face["fields"]}
    given = {name.lstrip("_"): value for name, value in values.items()}
    card._hear(None, {"command": command, "values": {**filled, **given}}, None)
    return card.face

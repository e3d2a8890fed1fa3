"""Draws a group of the electrical network: reads data/workshop/wiring_*.toml and follows the
network step by step, so that no line can be drawn that is not there.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

from tractionlab.catalogue.places import data_folder
from tractionlab.errors import UserError
from tractionlab.view import WiringPart, WiringPlug, WiringPoint, WiringScene
from tractionlab.workshop.part_values import parts
from tractionlab.workshop.wiring.drawing_file import DrawingFile, value_words
from tractionlab.workshop.wiring.netlist import plan
from tractionlab.workshop.wiring.symbols import HALF, block, symbol, symbol_of

PIN = 12  #: from the middle of a pin to each of its halves


@dataclass(frozen=True)
class Drawing:
    """A drawing without readings, and which leads and elements of the network it shows."""

    scene: WiringScene
    leads: frozenset
    elements: frozenset


@lru_cache(maxsize=32)
def wiring(vehicle, group):
    """Drawing of a group of a vehicle's network."""
    net = plan(vehicle)
    if group not in net.groups:
        raise UserError(f"there is no drawing of {group!r}; there are: {', '.join(net.groups)}")
    path = data_folder() / "workshop" / f"wiring_{group}.toml"
    return _Drawer(path, vehicle, group, net).drawing()


class _Drawer:
    """Goes down the columns of a drawing."""

    def __init__(self, path, vehicle, group, net):
        self.path, self.vehicle, self.group, self.net = path, vehicle, group, net
        self.file = DrawingFile(path, vehicle)
        self.size = self.file.size
        self.parts, self.lines, self.joints, self.points, self.dots = {}, [], [], {}, []
        self.leads, self.elements, self.pins, self.words = set(), set(), {}, []
        self.rails = {key: entry["at"] for key, entry in self.file.entries("rails")}
        self.blocks = dict(self.file.entries("blocks"))
        self.lying = dict(self.file.entries("lying"))

    def drawing(self):
        boxes = [entry for _, entry in self.file.entries("boxes")]
        self.words += [(*entry["name_at"], entry["name"], "left") for entry in boxes]
        for node, (y, left, right) in self.rails.items():
            self.lines.append(((left, y), (right, y)))
            if not node.endswith(".device"):
                self._point(node, (left, y))
            if node.startswith("fuse_box."):
                self.words.append(
                    (left + 8, y - 9, self.net.points[node].name.removeprefix("fuse box, "), "left")
                )
        for key, entry in self.file.entries("columns"):
            self._column(key, entry["x"], entry["stack"])
            if "label" in entry:
                self.words.append((entry["x"], entry["label_y"], entry["label"], "middle"))
        for key, entry in self.blocks.items():
            self._block(key, entry)
        for key, entry in self.file.entries("forbidden"):
            self.points[key] = WiringPoint(
                key=key, name=self.net.forbidden[key][0], at=tuple(entry["at"])
            )
            self.words.append((entry["at"][0] + 9, entry["at"][1], entry["words"], "left"))
        for key, entry in self.lying.items():
            self._symbol(key, entry["x"], entry["y"], True, entry.get("label"))
        plugs, marks = self._plugs()
        scene = WiringScene(
            layout=f"{self.vehicle}/{self.group}",
            title=self.net.groups[self.group],
            size=self.size,
            parts=tuple(self.parts.values()),
            lines=tuple(self.lines),
            joints=tuple(self.joints),
            points=tuple(self.points.values()),
            plugs=tuple(plugs),
            frames=tuple(tuple(entry["at"]) for entry in boxes),
            marks=tuple(marks),
            dots=tuple(dict.fromkeys(self.dots)),
            active=(0.0,) * len(self.parts),
        )
        return Drawing(scene, frozenset(self.leads), frozenset(self.elements))

    def _column(self, column, x, stack):
        nodes, bottom = None, None
        for y, thing, *label in stack:
            nodes, top, goes_on = self._thing(column, x, y, thing, nodes)
            if bottom is not None:
                self.lines.append(((x, bottom), (x, top)))
            bottom = goes_on
            if label:
                fuse = thing in self.net.elements and self.net.elements[thing].kind == "fuse"
                wide = -8 if fuse else 9 if thing in self.net.points else 15
                self.words.append(
                    (x + wide, y, value_words(self.vehicle, label[0]), "right" if fuse else "left")
                )

    def _thing(self, column, x, y, thing, nodes):
        """Draws one thing of a column: (nodes it leads on to, height where a line from above ends,
        height where it goes on).
        """
        if thing in self.rails:
            self._join(column, nodes, {thing}, thing)
            if self.rails[thing][1] <= x <= self.rails[thing][2]:
                self.dots.append((x, y))
            return {thing}, y, y
        if f"{thing}.device" in self.net.points:
            return self._pin(column, x, y, thing, nodes)
        if thing in self.net.points:
            self._join(column, nodes, {thing}, thing)
            if thing == "body":
                self.parts[f"earth {x} {y}"] = WiringPart(
                    key=f"earth {x} {y}", name="ground", at=(x, y), shapes=symbol("earth")
                )
                self._point("body", (x, y - HALF))
                return {thing}, y - HALF, y
            self._point(thing, (x, y))
            self.dots.append((x, y))
            return {thing}, y, y
        return self._element(column, x, y, thing, nodes)

    def _pin(self, column, x, y, pin, nodes):
        halves = (pin, f"{pin}.device")
        if nodes is None:
            first = halves[1]
        else:
            first = next((half for half in halves if self._joined(nodes, {half})), None)
            if first is None:
                raise UserError(
                    f"{self.path}, [columns.{column}]: the network does not join"
                    f" {', '.join(sorted(nodes))} and {pin}"
                )
            self._join(column, nodes, {first}, pin)
        second = halves[1] if first == pin else pin
        self._point(first, (x, y - PIN))
        self._point(second, (x, y + PIN))
        plug = pin.partition(".")[0]
        self.joints.append((x, y - PIN, y + PIN, plug))
        self.pins.setdefault(plug, []).append((x, y, pin))
        return {second}, y - PIN, y + PIN

    def _element(self, column, x, y, thing, nodes):
        key, _, coil = thing.partition(":")
        if key not in self.net.elements:
            raise UserError(
                f"{self.path}, [columns.{column}]: no point and no part is called {thing!r}"
            )
        element = self.net.elements[key]
        ends = element.more["coil"] if coil else element.at
        if nodes is not None:
            self._join(column, nodes, set(ends), thing)
        self.elements.add(thing)
        rest = (
            set(ends)
            if nodes is None
            else {end for end in ends if not self._joined(nodes, {end})} or set(ends)
        )
        if key in self.blocks:
            tall = self.blocks[key]["size"][1] / 2
            middle = self.blocks[key]["y"]
            return rest, middle - tall, middle + tall
        if key in self.lying:
            entry = self.lying[key]
            self.lines.append(
                ((x, entry["y"]), (entry["x"] + (HALF if x > entry["x"] else -HALF), entry["y"]))
            )
            return rest, entry["y"], entry["y"]
        self._symbol(thing, x, y, False)
        return rest, y - HALF, y + HALF

    def _symbol(self, thing, x, y, turned, label=None):
        key, _, coil = thing.partition(":")
        element = self.net.elements[key]
        words = (
            parts(self.vehicle)[element.part].name
            if element.part in parts(self.vehicle)
            else key.replace("_", " ")
        )
        self.parts[thing] = WiringPart(
            key=thing,
            name=words,
            at=(x, y),
            shapes=symbol(symbol_of(element, coil), turned),
            label=value_words(self.vehicle, label or ""),
            label_at=(x, y - 22, "middle") if label else None,
        )

    def _block(self, key, entry):
        element = self.net.elements[key]
        self.elements.add(key)
        self.parts[key] = WiringPart(
            key=key,
            name=parts(self.vehicle)[element.part].name,
            at=(entry["x"], entry["y"]),
            shapes=block(*entry["size"], entry["words"]),
        )

    def _joined(self, nodes, others):
        return bool(nodes & others) or self._lead(nodes, others) is not None

    def _lead(self, nodes, others):
        return next(
            (
                lead.key
                for lead in self.net.leads.values()
                if (lead.a in nodes and lead.b in others) or (lead.b in nodes and lead.a in others)
            ),
            None,
        )

    def _join(self, column, nodes, others, thing):
        if nodes is None or nodes & others:
            return
        lead = self._lead(nodes, others)
        if lead is None:
            raise UserError(
                f"{self.path}, [columns.{column}]: the network does not join"
                f" {', '.join(sorted(nodes))} and {thing}"
            )
        self.leads.add(lead)

    def _point(self, node, at):
        if node in self.net.points and node not in self.points:
            place = self.net.points[node]
            self.points[node] = WiringPoint(
                key=node, name=place.name, at=at, plug=place.plug, device=place.device
            )

    def _plugs(self):
        """Buttons of plugs, fuses and relays, and the numbers of pins."""
        plugs, marks = [], list(self.words)
        for key, pins in self.pins.items():
            plug = self.net.plugs[key]
            marks += [
                (x + 6, y, str(plug.pins.index(pin.partition(".")[2]) + 1), "left")
                for x, y, pin in pins
            ]
            left = min(pins)
            plugs.append(
                WiringPlug(
                    key=key,
                    name=plug.name,
                    box=(left[0] - 30, left[1] - 8, left[0] - 8, left[1] + 8),
                )
            )
        for part in self.parts.values():
            element = self.net.elements.get(part.key)
            if element is not None and element.kind in ("fuse", "relay"):
                plugs.append(
                    WiringPlug(
                        key=part.key,
                        name=part.name.lower(),
                        box=(part.at[0] + 8, part.at[1] - 8, part.at[0] + 30, part.at[1] + 8),
                    )
                )
        return plugs, marks


def laid_on(drawing, active, pulled, probes, letters):
    """The scene with the state of its parts, what is pulled as (key, name), the probes that are on
    it, and the letters of those there are.
    """
    return replace(
        drawing.scene,
        active=tuple(active),
        pulled=tuple(pulled),
        probes=tuple(probes),
        letters=tuple(letters),
    )

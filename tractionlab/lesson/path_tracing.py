"""Trace the path: the learner picks, part by part, the way of the fluid through a circuit; a wrong
pick is explained by valve and pressure.
"""

from pathlib import Path

import anywidget
import numpy as np
import traitlets

from tractionlab.bench.stories import film
from tractionlab.errors import UserError
from tractionlab.hydraulics.drawing import drawing
from tractionlab.hydraulics.layout import layout as layout_of
from tractionlab.hydraulics.paths import ENDS, explain_step, shortest_path
from tractionlab.hydraulics.places import VALVES
from tractionlab.lesson.riddle import riddle
from tractionlab.paint.bundle import bundle, sheets
from tractionlab.paint.card import CARD_SHEETS
from tractionlab.paint.live import CIRCUIT_SHEET
from tractionlab.paint.wire import drawing_of, pack
from tractionlab.units import BAR
from tractionlab.view import View
from tractionlab.written.record import day_of, my_record

_HERE = Path(__file__).parent
_LESSON = {"A": 6, "B": 7}
_PEDAL = 60.0  # bar
_WRONG_ALLOWED = 2  #: more wrong picks, or a hint, and the round does not count as shown


class TracePath(anywidget.AnyWidget):
    """The exercise in the browser. `pick(part)`, `undo()`, `hint()` and `again()` do what the
    learner's clicks do.

    Attributes
    ----------
    place : str, where the fluid is now; way : list of (part key, place before, place after)
    """

    _esm = bundle(_HERE / "trace_path.js", sheets(*CARD_SHEETS, CIRCUIT_SHEET))
    face = traitlets.Dict().tag(sync=True)
    picture = traitlets.Dict().tag(sync=True)
    drawing = traitlets.Dict().tag(sync=True)
    block = traitlets.Bytes().tag(sync=True)

    def __init__(self, layout, mode, start, goal):
        self.plan, self.plot, self.mode, self.start, self.goal = (
            layout_of(layout),
            drawing(layout),
            mode,
            start,
            goal,
        )
        rules = [
            rule.path
            for rule in self.plan.paths
            if rule.mode == mode
            and rule.rule == "must"
            and (rule.path[0], rule.path[-1]) == (start, goal)
        ]
        known = rules[0] if rules else shortest_path(self.plan, mode, start, goal)
        if known is None:
            raise UserError(f"layout {layout}, {mode}: no way leads from {start} to {goal}")
        self.parts = {part.key: part for part in self.plot.parts}
        scene = film(layout, mode, _PEDAL)
        self.pressures, time = self._telling_moment(scene, known)
        self.best = self._ahead(start)
        if self.best is None:
            raise UserError(
                f"layout {layout}, {mode}: fluid never flows all the way from {start} to {goal}"
            )
        super().__init__(drawing=drawing_of(scene))
        self._pictures = {
            done: pack(View(charts=(), circuit=shown, sentence=""))
            for done, shown in ((True, scene), (False, riddle(scene)))
        }
        self._time = time
        self.on_msg(self._hear)
        last = my_record().last(self._name(), "exercise")
        self._begin(f"Right on {day_of(last)}. Here it is once more." if last else "")

    def _telling_moment(self, scene, path):
        """Pressures [Pa] and time of the frame, after all valves have moved, in which pressure
        falls most clearly along `path`, pumps left out.
        """
        index = {node: i for i, (node, _, _) in enumerate(scene.nodes)}
        driven = {
            (edge.start, edge.goal) for edge in self.plan.edges if edge.kind in ("pump", "suction")
        }
        drops = [
            scene.pressure[:, index[a]] - scene.pressure[:, index[b]]
            for a, b in zip(path, path[1:])
            if (a, b) not in driven
        ]
        valves = [i for i, part in enumerate(scene.parts) if part.component in VALVES[scene.layout]]
        moved = np.flatnonzero(
            np.any(np.diff(np.round(scene.motion[:, valves, 0]), axis=0) != 0, axis=1)
        )
        first = int(moved[-1]) + 1 if len(moved) else 0
        frame = (
            first + int(np.argmax(np.min(drops, axis=0)[first:])) if drops else len(scene.time) - 1
        )
        return {node: float(scene.pressure[frame, i]) * BAR for node, i in index.items()}, float(
            scene.time[frame]
        )

    def _ahead(self, place):
        """Places of the shortest way from `place` to the goal that the pressures allow, or None."""
        before, waiting = {place: None}, [place]
        for here in waiting:
            if here == self.goal:
                path = [here]
                while before[path[-1]] is not None:
                    path.append(before[path[-1]])
                return path[::-1]
            if here in ENDS and here != place:
                continue
            for after in self.plan.nodes:
                if (
                    after not in before
                    and explain_step(self.plan, self.mode, here, after, self.pressures).possible
                ):
                    before[after] = here
                    waiting.append(after)
        return None

    def _begin(self, message):
        self.place, self.way, self.wrong, self.hints, self.done = self.start, [], 0, 0, False
        plan, words = self.plan, self.plan.mode_names[self.mode]
        text = (
            f"{words}. The fluid starts in {plan.nodes[self.start]}. Pick the parts it flows"
            f" through, one after the other, until it is in {plan.nodes[self.goal]}: click them, or"
            " Tab into the drawing, arrow keys, Enter."
        )
        self._turn(message, title=f"Trace the path, layout {plan.key}", text=text)

    def _turn(self, message, **changes):
        meta, block = self._pictures[self.done]
        if block != self.block:
            with self.hold_sync():
                self.block, self.picture = (
                    block,
                    {
                        **meta,
                        "time": self._time,
                        "riddle": not self.done,
                    },
                )
        steps = [
            [self.parts[key].name, f"to {self.plan.nodes[after]}"] for key, _, after in self.way
        ]
        self.face = {
            **self.face,
            "here": self.plan.nodes[self.place],
            "marked": [key for key, _, _ in self.way],
            "steps": steps,
            "done": self.done,
            "message": message,
            "notice": my_record().note,
            "turn": self.face.get("turn", 0) + 1,
            **changes,
        }

    def _hear(self, _, message, buffers):
        {
            "pick": lambda: self.pick(message["part"]),
            "undo": self.undo,
            "hint": self.hint,
            "again": lambda: self._begin("From the start again."),
        }[message["command"]]()

    def pick(self, key):
        """Let the fluid go on through a part, or say why it cannot."""
        if self.done:
            return self._turn("You have arrived. Start again, or go on with the lesson.")
        part = self.parts[key]
        after, words = self._through(part)
        if after is None:
            self.wrong += 1
            return self._turn(words)
        self.way.append((key, self.place, after))
        self.place = after
        if after == self.goal:
            self.done = True
            self._keep()
            again = (
                ""
                if len(self.way) == len(self.best) - 1
                else f" The shortest way has {len(self.best) - 1} steps, yours {len(self.way)}."
            )
            return self._turn(f"{words} Arrived in {self.plan.nodes[after]}.{again}")
        dead = self.place in ENDS or self._ahead(self.place) is None
        self._turn(
            f"{words} Now the fluid is in {self.plan.nodes[after]}."
            + (" From there no way leads to the goal: undo this step." if dead else "")
        )

    def _through(self, part):
        """(place after the part or None, why)."""
        here, joined = self.plan.nodes[self.place], self.plot.ports[part.key]
        name = f"{part.name[0].lower()}{part.name[1:]}"
        if self.place not in joined:
            near = sorted(
                {
                    f"{p.name[0].lower()}{p.name[1:]}"
                    for p in self.plot.parts
                    if self.place in self.plot.ports[p.key] and self._beyond(p)
                }
            )
            return (
                None,
                (
                    f"No pipe joins the {name} to {here}. The pipes from there lead to:"
                    f" {'; '.join(near)}."
                ),
            )
        beyond = self._beyond(part)
        if not beyond:
            return None, f"The fluid is in {here} already. It does not go on through the {name}."
        steps = {
            other: explain_step(self.plan, self.mode, self.place, other, self.pressures)
            for other in beyond
        }
        open_to = [
            other
            for other, step in steps.items()
            if step.possible and step.component == part.component
        ]
        if not open_to:
            return None, " ".join(dict.fromkeys(step.words for step in steps.values()))
        ways = {other: self._ahead(other) for other in open_to}
        after = min(open_to, key=lambda other: len(ways[other] or range(99)))
        return after, steps[after].words

    def _beyond(self, part):
        """Places on the other side of a part, seen from where the fluid is."""
        ports = self.plot.ports[part.key]
        pairs = [
            (edge.start, edge.goal) for edge in self.plan.edges if edge.component == part.component
        ]
        return [
            other
            for other in ports
            if other != self.place
            and ((self.place, other) in pairs or (other, self.place) in pairs)
        ]

    def undo(self):
        """Take the last step back."""
        if not self.way:
            return self._turn("There is no step to take back.")
        _, self.place, _ = self.way.pop()
        self.done = False
        self._turn(f"Back. The fluid is in {self.plan.nodes[self.place]} again.")

    def hint(self):
        """Name the place the fluid reaches next."""
        self.hints += 1
        ahead = self._ahead(self.place)
        if self.done or ahead is None:
            return self._turn(
                "You have arrived."
                if self.done
                else "From here no way leads to the goal. Undo the last step."
            )
        self._turn(
            f"Next it has to get into {self.plan.nodes[ahead[1]]}. Which part joins the two?"
        )

    def _name(self):
        return f"trace.{self.plan.key}.{self.mode}.{self.start}.{self.goal}"

    def _keep(self):
        my_record().add(
            "exercise",
            _LESSON[self.plan.key],
            self._name(),
            " > ".join(key for key, _, _ in self.way),
            right=True,
            hints=self.hints,
            wrong=self.wrong,
            counts=self.hints == 0 and self.wrong <= _WRONG_ALLOWED,
        )


def trace_path(layout, mode, start, goal):
    """The exercise for a way in layout "A" or "B": places as in the layout's data, e.g.
    trace_path("A", "tc_increase", "ACC", "W_RL").
    """
    return TracePath(layout, mode, start, goal)

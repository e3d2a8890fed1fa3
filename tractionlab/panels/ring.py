"""Close-up of a sensor ring that turns in step with the signal of its sensor."""

import numpy as np

from tractionlab.sensors.ring import tooth_gap
from tractionlab.sensors.ring_shape import magnet_poles, ring_outline
from tractionlab.sensors.waveform import tooth_phase
from tractionlab.units import MM
from tractionlab.view.closeups import RingCloseup

_PLAY = 10.0  # s: so long the whole window lasts
_FRAMES = 400


def ring_closeup(time, angle, sensor):
    """Close-up of the ring over a window of a run.

    time : array (n,) from 0 on [ms]; angle : array (n,) of the wheel [rad]
    """
    frames = np.unique(np.linspace(0, len(time) - 1, _FRAMES).round().astype(int))
    tooth, _ = tooth_phase(angle[frames], sensor)
    return RingCloseup(
        time=time[frames],
        angle=angle[frames],
        gap=np.array([tooth_gap(float(k), sensor) for k in tooth]) / MM,
        tooth=tooth,
        outline=ring_outline(sensor),
        poles=magnet_poles(sensor),
        face=(sensor.ring_radius + sensor.gap) / MM,
        teeth=int(sensor.teeth),
        active=sensor.active == 1.0,
        rate=float(time[-1]) / _PLAY,
    )

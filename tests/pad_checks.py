"""What pads are measured by: rays cast at their sides, and a number that no choice of them can do with less."""

import math

import numpy as np
import shapely
from scipy.optimize import LinearConstraint, milp

from canivet.compose.finish._along import Along
from canivet.compose.finish.pads import hidden_places, pad_square, reaches_of


def share_hidden(paper, laid, angle_deg, azimuths=36):
    """Cast rays from all round at an angle to points of every pad's sides, from its foot to its top."""
    shapely.prepare(paper)
    hidden = rays = 0
    for pad in laid.pads:
        outline = pad_square(pad.at, laid.side, pad.turn_deg).exterior
        points = shapely.get_coordinates(shapely.segmentize(outline, 0.25))
        for depth in np.linspace(0, laid.raise_, 9):
            away = depth * math.tan(math.radians(angle_deg))
            for azimuth in np.arange(azimuths) * math.tau / azimuths:
                at = points + away * np.array([math.cos(azimuth), math.sin(azimuth)])
                hidden += int(shapely.contains_xy(paper, at[:, 0], at[:, 1]).sum())
                rays += len(at)
    return hidden / rays


def fewest(paper, laid):
    """Return a number of pads that no choice can do with less, from one point of the paper in thirty."""
    grow = laid.raise_ * math.tan(math.radians(laid.viewed_deg))
    places, turns, _ = hidden_places(paper, side=laid.side, grow=grow)
    reaches = reaches_of(Along.of(paper), places, turns, span=laid.span)
    covers = np.unique(np.isfinite(reaches.away)[:, ::30], axis=1).T.astype(float)
    one = np.ones(covers.shape[1])
    return round(milp(one, constraints=LinearConstraint(covers, lb=1), integrality=one, bounds=(0, 1)).fun)

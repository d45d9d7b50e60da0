"""Arrays whose number of axes is part of their type: the machine code behind a door is made for it."""

from __future__ import annotations

from typing import Annotated

import numpy as np
from numpy.typing import NDArray

Vector = Annotated[NDArray[np.float64], 1]
Matrix = Annotated[NDArray[np.float64], 2]
Cube = Annotated[NDArray[np.float64], 3]
Stack = Annotated[NDArray[np.float64], 4]
Indices = Annotated[NDArray[np.int64], 1]
IndexRows = Annotated[NDArray[np.int64], 2]
Phasors = Annotated[NDArray[np.complex128], 1]
PhasorRows = Annotated[NDArray[np.complex128], 2]

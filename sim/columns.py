"""Column numbers of the tables that the kernel reads. One place, so that a law and the network builder cannot disagree.

Tables are float64 arrays, a row a thing. ``P`` is the table of node properties (a row a node, recomputed at every evaluation); the others
are laid out once by ``sim.network`` and changed only by commands.
"""

from __future__ import annotations

# --- P: what is known of a node at one instant ------------------------------------------------
P_P = 0  # pressure, Pa
P_T = 1  # temperature, K
P_Q = 2  # generalised quality at the node's own temperature (from the state function)
P_VOID = 3  # vapour volume fraction
P_RHOL = 4  # density of the liquid (or of the single phase), kg/m3
P_RHOV = 5  # density of the vapour (or of the single phase), kg/m3
P_HL = 6  # enthalpy of the liquid (or of the single phase), J/kg
P_HV = 7  # enthalpy of the vapour (or of the single phase), J/kg
P_H = 8  # mixture enthalpy, J/kg
P_RHOSAT = 9  # saturated-liquid density at the node's temperature, kg/m3
P_TS = 10  # saturation temperature at the node's pressure, K
P_HLS = 11  # saturated-liquid enthalpy at the node's pressure, J/kg
P_HFG = 12  # latent heat at the node's pressure, J/kg
P_C = 13  # slip-weighted density ratio c = (rhoV/rhoL) S
P_Z = 14  # stored z = c + (1-c) x of a coil cell
P_CPL = 15  # specific heat of saturated liquid, J/(kg K)
P_CPV = 16  # specific heat of saturated vapour, J/(kg K)
P_VC = 17  # specific volume of the flow at a cell's centre, m3/kg
P_HEAT = 18  # heat from the wall into the node, W
P_SLIP = 19  # exponent of the slip ratio (faded near the critical point)
P_DELTA = 20  # size of the perturbation in this copy (Jacobian only)
P_VOUT = 21  # specific volume of the flow leaving a coil cell, m3/kg
P_FL = 22  # film coefficient of liquid, W/(m2 K)
P_FV = 23  # film coefficient of vapour
P_FA = 24  # first two-phase shape factor
P_FB = 25  # second two-phase shape factor
P_X = 26  # generalised quality at the node's pressure
P_VLS = 27  # specific volume of saturated liquid at the node's pressure, m3/kg
P_VVS = 28  # specific volume of saturated vapour at the node's pressure, m3/kg
P_UA = 29  # coil cell: conductance from air to wall, W/K
P_TA = 30  # coil cell: air temperature that the wall feels (latent heat included), K
P_WATER = 31  # coil cell: water leaving the air, kg/s
P_FC = 32  # third two-phase shape factor
P_FW = 33  # weight of boiling against condensing
P_HC = 34  # enthalpy of the flow leaving a coil cell at its filtered flow, J/kg
P_SAT = 35  # fourteen saturation properties at P_P, in the order of fluid_columns.SAT_*
P_FREEZE = 49  # coil cell: water that freezes onto the fins, kg/s
P_MELT = 50  # coil cell: frost that melts off them, kg/s
P_GAS_P = 51  # pressure of gas that does not condense, part of P_P, Pa
P_GAS_RATIO = 52  # kg of that gas beside a kg of vapour
P_COLUMNS = 53

# --- node table ------------------------------------------------------------------------------
N_VOLUME = 0  # m3
N_SINK = 1  # forced loss to outside, kg/s (a fault or a charge change; negative adds)
N_VENT = 2  # conductance to the room once burst, m2 in K sqrt(2 rho) ...
N_BURST = 3  # burst limit, Pa absolute
N_GAS = 4  # gas put in, kg/s
N_COLUMNS = 5
NI_COIL = 0  # coil number, -1 if the node is no coil cell
NI_WALL = 1  # wall number
NI_COLUMNS = 2

# --- wall table ------------------------------------------------------------------------------
W_CAPACITY = 0  # J/K
W_AREA = 1  # refrigerant film area, m2
W_UA = 2  # conductance to the room, W/K (coil walls: computed from the air side)
W_GAS_FILM = 3  # film coefficient of gas in a pipe or vessel, W/(m2 K)
W_COLUMNS = 4
WI_NODE = 0
WI_COIL = 1  # coil number or -1
WI_COLUMNS = 2

# --- coil table ------------------------------------------------------------------------------
C_BORE = 0  # m
C_SECTION = 1  # flow cross-section, m2
C_AIR_FLOW = 2  # dry air through one cell while clean of frost, kg/s
C_UA_AIR = 3  # air-film conductance of one cell while clean of frost, fouling included, W/K
C_NATURAL = 4  # conductance by natural convection and radiation of one cell, W/K
C_T_IN = 5  # entering air, K (ignored while the coil breathes the closed load box)
C_W_IN = 6  # entering humidity ratio
C_FLOW_TAU = 7  # time constant of the filtered flow, s
C_FIN_AREA = 8  # fins of one cell, both sides, m2
C_FIN_GAP = 9  # clear distance between two fins, m
C_AIR_DROP = 10  # share of the fan's shut-off pressure that the clean coil takes
C_COLUMNS = 11
CI_LINK = 0  # link whose flow is filtered
CI_STATE = 1  # slow-state index of the filtered flow
CI_BOX = 2  # 1 while the coil breathes the closed load box
CI_FIRST = 3  # first cell node
CI_CELLS = 4  # number of cells
CI_FROST = 5  # slow-state index of the first cell's frost, the others follow
CI_COLUMNS = 6

# --- link table ------------------------------------------------------------------------------
L_K = 0  # conductance, m2: flow = K opening sqrt(2 rho) dp / (dp^2 + d0^2)^(1/4)
L_D0 = 1  # below this pressure difference the law is linear, Pa
L_HEAD = 2  # liquid head, m: > 0 liquid in the upstream vessel, < 0 a riser carrying mixture
L_OPENING = 3  # product of the valves' commands, 0..1
L_FALL = 4  # m3/s: ``sim.drainage.fall`` of a passage that runs downhill to its second end; negative: to its first; 0: level
L_PART = 5  # first of the columns that a part's own row() fills
L_COLUMNS = 25
LI_KIND = 0
LI_FROM = 1
LI_TO = 2  # -1: to the room
LI_AUX = 3  # node that a law senses (equaliser, float drum), -1 none
LI_PORT_FROM = 4
LI_PORT_TO = 5
LI_STATE = 6  # absolute index of the slow state a law reads, -1 none
LI_EXTRA = 7  # passage of the reversing valve, row of the capillary tables
LI_COLUMNS = 8

# link kinds
PIPE, CHECK, CAPILLARY, NEEDLE, TXV, FLOAT, RELIEF, PASSAGE, SOLENOID = range(9)
SOLENOID_ENERGISED = 8  # offset from L_PART, behind the valve's own row

# ports of vessels
PORT_MIXED, PORT_BOTTOM, PORT_TOP = range(3)

# --- globals ---------------------------------------------------------------------------------
G_ATMOSPHERE = 0  # Pa
G_ROOM_T = 1  # K
G_ROOM_W = 2  # kg/kg
G_SLIP = 3  # Zivi exponent 1/3, or 0 for homogeneous
G_FLOW_EPS = 4  # kg/s, softening of q/m near zero flow
G_UPWIND = 5  # kg/s, width of the upwind switch
G_DP_BLEND = 6  # Pa, width of the density switch
G_VOLTS = 7
G_HERTZ = 8
G_CONTACT = 9  # compressor on its supply, 0/1
G_BOX_CLOSED = 10
G_BOX_HEAT = 11  # W, heater and fan
G_BOX_UA = 12  # W/K through the box wall
G_BOX_CAPACITY = 13  # J/K
G_BOX_AIR = 14  # kg of dry air in the box
G_BOX_LEAK = 15  # kg/s of dry air exchanged with the room
G_PILOT = 16  # reversing-valve pilot, 0 cooling, 1 heating
G_P_CRITICAL = 17  # Pa
G_FROST_HELD = 18  # 1: frost keeps its present amount, whatever the coil does
G_COLUMNS = 19

# --- feed: the circuit as the motor sees it, a row a phasor (rms, complex) in three columns c0, c1, c2:  c0 + c1 I_main + c2 I_start ---
FEED_MAIN = 0  # V across the main winding: c0 open-circuit, -c1 and -c2 impedances
FEED_START = 1  # V across the start winding, likewise
FEED_PANEL_V = 2  # V at the panel's voltmeter
FEED_PANEL_A = 3  # A through the panel's ammeter
FEED_MACHINE_V = 4  # V of the compressor's circuit
FEED_MACHINE_A = 5  # A into it
FEED_RELAY = 6  # A through the start relay's coil
FEED_OVERLOAD = 7  # A through the overload's heater
FEED_FIXED = 8  # further rows: volts of coils, in the order of the wiring

/**
 * Places in the state vector: kg passed by the valves; Pa in the tank; Pa by which the tank is above the
 * drive chamber; m; m/s; J of p dV on the piston; with a rod chamber its kg and its Pa above the air outside;
 * with a leak the kg leaked; with a feed, last, the kg fed. Pressures across a valve stand as their
 * difference, because the flow near equality goes with its root (see `signedFlow`).
 */
export const PASSED = 0;
export const TANK = 1;
export const DROP = 2;
export const TRAVEL = 3;
export const SPEED = 4;
export const WORK = 5;
export const ROD_MASS = 6;
export const ROD_GAUGE = 7;

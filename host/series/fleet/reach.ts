/** How far back a look at all rigs goes, and how many shots it lists. */
export const FLEET_DAYS = { usual: 30, most: 3_650 };
export const FLEET_SHOTS = { usual: 50, most: 1_000 };

/** Fewer leave every answer to what was believed before any shot. */
export const SHOTS_MIN = 4;

/** What stays, the most first. `shots`: no summaries either. */
export const KEEPS = ['tenths', 'seconds', 'minutes', 'shots'] as const;
export type Keep = (typeof KEEPS)[number];

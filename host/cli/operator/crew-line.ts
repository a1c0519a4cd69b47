import type { LiveSession } from '../live-session.ts';

/** Said once, on the terminal and nowhere else. */
export const crewLine = ({ crewUrl }: Pick<LiveSession, 'crewUrl'>): string =>
  `To tick, set to zero and acknowledge there, open ${crewUrl} (a key to this session: keep it in the crew).`;

import type { Shot } from '../../../protocol/index.ts';

/** Such as `shot 3`; among shots of several sessions with the day, and where one day had several, the session. */
export function shotName({ number, sessionId, firedAt }: Shot, among: readonly Shot[]): string {
  const others = among.filter((shot) => shot.sessionId !== sessionId);
  if (others.length === 0) return `shot ${number}`;
  const day = firedAt.slice(0, 10);
  return others.some((shot) => shot.firedAt.slice(0, 10) === day) ? `shot ${number} of ${sessionId}` : `shot ${number} of ${day}`;
}

import type { Shot } from '../../protocol/index.ts';

/** A shot that was opened again by a late edge and closed anew replaces its earlier self. */
export function keepShot(shots: Shot[], shot: Shot): void {
  const known = shots.findIndex((other) => other.id === shot.id);
  if (known < 0) shots.push(shot);
  else shots[known] = shot;
}

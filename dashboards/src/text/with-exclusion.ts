import type { Shot, ShotExcludedEvent } from '../../../protocol/index.ts';

/** The shot as it is after that was said of it. */
export function withExclusion(shot: Shot, { shotId, excluded, atNs, reason, who }: ShotExcludedEvent): Shot {
  if (shot.id !== shotId) return shot;
  const { exclusion: _before, ...counted } = shot;
  return excluded ? { ...counted, exclusion: { atNs, reason, who } } : counted;
}

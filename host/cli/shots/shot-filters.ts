/** Which shots a command is asked for: as the store's question, and as a choice among those that a running host lists. */
import type { ShotQuery } from '../../store/index.ts';
import { sinceUtc } from './since.ts';

export interface ShotFilters {
  readonly session?: string;
  readonly rig?: string;
  /** As a person gives it. */
  readonly since?: string;
  readonly flags?: 'clean' | 'flagged';
  readonly limit: number;
}

/** Of a command that makes something of many shots. */
export interface ShotsAsked extends Omit<ShotFilters, 'flags'> {
  readonly data: string;
  readonly projectile?: string;
}

export const ofProjectile = <S extends { readonly projectile: string }>(shots: readonly S[], { projectile }: ShotsAsked): readonly S[] =>
  projectile === undefined ? shots : shots.filter((shot) => shot.projectile === projectile);

/** @throws CommandError with exit code 2 for a time that is none */
export function shotQuery({ session, rig, since, flags, limit }: ShotFilters): Omit<ShotQuery, 'traces'> & { readonly limit: number } {
  return {
    limit,
    ...(session === undefined ? {} : { sessionId: session }),
    ...(rig === undefined ? {} : { rig }),
    ...(since === undefined ? {} : { since: sinceUtc(since) }),
    ...(flags === undefined ? {} : { flags }),
  };
}

interface Listed {
  readonly sessionId: string;
  readonly rigName: string;
  readonly firedAt: string;
  readonly flags: readonly unknown[];
}

/** What the store would have chosen: a host chooses by number alone. @param shots  newest first */
export function chosenBy<S extends Listed>(query: ReturnType<typeof shotQuery>, shots: readonly S[]): readonly S[] {
  const { sessionId, rig, since, flags, limit } = query;
  const matches = (shot: S): boolean =>
    (sessionId === undefined || shot.sessionId === sessionId) &&
    (rig === undefined || shot.rigName === rig) &&
    (since === undefined || Date.parse(shot.firedAt) >= Date.parse(since)) &&
    (flags === undefined || (flags === 'clean') === (shot.flags.length === 0));
  return shots.filter(matches).slice(0, limit);
}

/** `postern holds`: the list, and HOLD with what is missing, or READY. It is no interlock: it stops nothing. */
import type { HoldPointState, SnapshotMessage } from '../../../protocol/index.ts';
import { say } from '../output.ts';
import { columns } from '../text/columns.ts';
import { HostSession } from './host-session.ts';

/** @returns exit code: 0 only while every point is done */
export async function holds(options: { readonly data: string }): Promise<0 | 1> {
  const snapshot = await HostSession.find(options.data).snapshot();
  for (const line of holdLines(snapshot)) say(line);
  return snapshot.holdPoints?.ready ? 0 : 1;
}

export function holdLines({
  holdPoints,
  originUtcMs,
  offsets,
}: Pick<SnapshotMessage, 'holdPoints' | 'originUtcMs' | 'offsets'>): readonly string[] {
  if (!holdPoints) return ['HOLD: the rig file names no hold points, so nothing can be said (holdPoints in docs/rig-file.md).'];
  const { points, ready } = holdPoints;
  const missing = points.filter(({ done }) => !done).map(({ name }) => name);
  const rows = points.map((point) => [point.done ? 'done' : '', point.id, point.name, wordsOf(point, originUtcMs)]);
  return [
    ...columns(['', 'Id', 'Hold point', ''], rows),
    ...(offsets ?? []).filter(({ verdict }) => verdict !== 'none').map(({ words }) => words),
    '',
    ready
      ? 'READY: every point is done. This is a list and no interlock.'
      : `HOLD, missing: ${missing.join(', ')}. This is a list and no interlock.`,
  ];
}

function wordsOf({ by, done, who, sinceNs, detail }: HoldPointState, originUtcMs: number): string {
  if (by === 'condition') return detail;
  const at = new Date(originUtcMs + sinceNs / 1e6).toISOString().slice(11, 19);
  return done ? `${who}, ${at} UTC` : detail;
}

/** `postern acknowledge`: with an id the act, without one the alarms that wait for it. */
import type { LimitEvent, LimitState, SnapshotMessage } from '../../../protocol/index.ts';
import { CommandError, say } from '../output.ts';
import { columns } from '../text/columns.ts';
import { HostSession } from './host-session.ts';

export interface AcknowledgeOptions {
  readonly data: string;
  readonly by?: string;
}

export async function acknowledge(limitId: string | undefined, { data, by }: AcknowledgeOptions): Promise<void> {
  const host = HostSession.find(data);
  if (limitId === undefined) {
    for (const line of waitingLines(await host.snapshot())) say(line);
    return;
  }
  if (by === undefined) throw new CommandError('An alarm is acknowledged by somebody; add --by and a name.', 2);
  await host.do({ act: 'acknowledge', limitId, who: by });
  say(`${limitId} is acknowledged.`);
}

/** Those that wait for somebody to see them; what was seen already has nothing to say. */
const WAITING: Readonly<Partial<Record<LimitState, string>>> = { active: 'now', latched: 'over' };

export function waitingLines({ watches, originUtcMs }: Pick<SnapshotMessage, 'watches' | 'originUtcMs'>): readonly string[] {
  const waiting = watches.filter((event): event is LimitEvent => event.type === 'limit' && WAITING[event.state] !== undefined);
  if (waiting.length === 0) return ['No alarm or warning waits to be acknowledged.'];
  const rows = waiting.map(({ id, severity, state, raisedAtNs, words }) => {
    const since = new Date(originUtcMs + raisedAtNs / 1e6).toISOString().slice(11, 19);
    return [id, severity, WAITING[state] ?? '', `${since} UTC`, words];
  });
  return [...columns(['Id', '', '', 'Since', ''], rows), '', 'Acknowledge one with: postern acknowledge ID --by NAME'];
}

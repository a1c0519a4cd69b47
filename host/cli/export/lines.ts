/** Line protocol of what is stored: the very lines that the sender to a time-series server makes of the same events. */
import type { PipelineEvent } from '../../../protocol/index.ts';
import { NANOSECOND_LINES, originOf, SessionLines } from '../../series/lines/index.ts';
import type { ExportQuery, Store, StoredSession } from '../../store/index.ts';

/** All shots of one session, and more than anyone fires. */
const SHOTS_MAX = 10_000;

/** Sessions that do not say when they were opened are left out: a line needs a time. */
export async function* exportedLines(store: Store, query: ExportQuery): AsyncGenerator<string> {
  for (const session of await store.sessions()) {
    if (!(query.sessions?.includes(session.id) ?? true) || session.originUtcUs === undefined) continue;
    const lines = new SessionLines({ origin: originOf(session.originUtcUs * 1000n), dialect: NANOSECOND_LINES });
    lines.take([sessionEvent(session)]);
    for await (const events of eventsOf(store, { ...query, sessions: [session.id] })) yield* lines.take(events);
  }
}

async function* eventsOf(store: Store, query: ExportQuery): AsyncGenerator<readonly PipelineEvent[]> {
  const [sessionId] = query.sessions ?? [];
  if (query.what === 'shots' && sessionId !== undefined) {
    const shots = await store.shots({ sessionId, limit: SHOTS_MAX, traces: false });
    yield [...shots].reverse().map((shot) => ({ type: 'shot', phase: 'closed', atNs: shot.firedAtNs, shot }));
  } else if (query.what === 'events') {
    // Only what the pipeline said was written there.
    for await (const events of store.exportEvents(query)) yield events.map(({ eventJson }) => JSON.parse(eventJson) as PipelineEvent);
  } else {
    for await (const samples of store.exportSamples(query)) {
      yield samples.map(({ channel, stream, atNs, valueSi }) => ({
        type: 'samples',
        atNs,
        channel,
        stream,
        fromNs: atNs,
        periodNs: 0,
        valuesSi: [valueSi],
      }));
    }
  }
}

const sessionEvent = ({ id, openedAt, softwareVersion, rig }: StoredSession): PipelineEvent => ({
  type: 'session',
  atNs: 0,
  sessionId: id,
  openedAt,
  softwareVersion,
  rig,
});

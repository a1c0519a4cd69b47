/** Records through the pipeline as a session folds them, with what must hold of everything that comes out. */
import { readFileSync } from 'node:fs';
import { EventLines } from '../../host/cli/text/event-lines.ts';
import { terminalText } from '../../host/cli/text/terminal-text.ts';
import { finish, INITIAL_STATE, type PipelineState, step } from '../../host/pipeline/index.ts';
import { LiveFeed } from '../../host/serve/index.ts';
import type { PipelineEvent, PosternRecord } from '../../protocol/index.ts';

export const HERON = readFileSync(new URL('../../firmware-sim/heron.yaml', import.meta.url), 'utf8');
export const INSTRUMENTS = readFileSync(new URL('../support/instruments.yaml', import.meta.url), 'utf8');

/** What begins a session. */
export const opening = (text: string): readonly PosternRecord[] => [
  { kind: 'clock', source: 'host', atNs: 0, value: { utcUs: 1_773_480_600_000_000 } },
  {
    kind: 'rig',
    source: 'host',
    atNs: 0,
    value: { sessionId: 'cs-fuzz', softwareVersion: '0.1.0', protocolVersion: 1, fileName: 'rig.yaml', text },
  },
];

/** The state after it, made once: a state is never changed. */
export const opened = (text: string): PipelineState =>
  opening(text).reduce<PipelineState>((state, record) => step(state, record)[0], INITIAL_STATE);

/** Far more than any record may bring; a record that brought more would be a way to fill memory. */
const EVENTS_OF_ONE_MAX = 5_000;

/** @throws Error where a record brings a flood, or an event cannot be told on a page and a terminal as it is */
export function fold(records: readonly PosternRecord[], state: PipelineState = INITIAL_STATE): PipelineState {
  const feed = new LiveFeed({ mode: 'live' });
  const lines = new EventLines();
  let newestNs = 0;
  let now = state;
  const tell = (events: readonly PipelineEvent[]): void => {
    if (events.length > EVENTS_OF_ONE_MAX) throw new Error(`${events.length} events of one record`);
    for (const event of events) {
      feed.accept(event);
      for (const { text } of lines.of(event)) terminalText(text);
    }
  };
  for (const record of records) {
    newestNs = Math.max(newestNs, record.atNs);
    const [next, events] = step(now, record);
    now = next;
    tell(events);
  }
  const [ended, closing] = finish(now, newestNs);
  tell(closing);
  JSON.stringify(feed.flush(newestNs));
  return ended;
}

/** The live line from both ends: what a page may send and ask to resume from, and what a page may be sent. */
import fc from 'fast-check';
import { LiveFeed, type RunningServer, startServer } from '../../../host/serve/index.ts';
import type { LiveMessage, PipelineEvent } from '../../../protocol/index.ts';
import { FakeCrew } from '../../support/fake-crew.ts';
import { eventsBetween, FAKE_SESSION_ID, openingEvents } from '../../support/fake-feed.ts';
import { instrumentEvents, limitEvent, watchEventsAt } from '../../support/fake-watches.ts';
import { ask, rawSocket, untilClosed } from '../../support/raw-http.ts';
import { type Edit, edited, editsArbitrary } from '../damage.ts';
import { base64Of, bytesOf, type FuzzTarget } from '../target.ts';

type Input =
  | { readonly to: 'host'; readonly query: string; readonly frames: string }
  | {
      readonly to: 'page';
      readonly which: number;
      readonly edits: readonly Edit[];
      readonly swap: readonly (readonly [number, unknown])[];
    };

// All that its state asks of a browser when it is loaded.
Object.assign(globalThis, { matchMedia: () => ({ matches: false, addEventListener: () => undefined }) });
/** The page's own, by its address: its types are of a browser, which this is not. */
const PAGE_STATE = new URL('../../../dashboards/src/state/live-state.ts', import.meta.url).href;
const { takeText } = (await import(PAGE_STATE)) as { takeText(text: string): boolean };

const frame = fc.oneof(
  fc.uint8Array({ maxLength: 60 }),
  // First byte, length, mask: right in some part.
  fc
    .tuple(
      fc.constantFrom(0x81, 0x82, 0x89, 0x8a, 0x88, 0x01, 0x80, 0xc1, 0x8f),
      fc.constantFrom(0x80, 0x85, 0xfe, 0xff, 0x05, 0xfd),
      fc.uint8Array({ maxLength: 200 }),
    )
    .map(([first, length, rest]) => Uint8Array.from([first, length, ...rest])),
);
const query = fc.oneof(
  fc.constantFrom(
    '',
    `?session=${FAKE_SESSION_ID}&since=0`,
    `?session=${FAKE_SESSION_ID}&since=999999999999999`,
    '?session=__proto__&since=1',
    '?since=1&since=2',
  ),
  fc.tuple(fc.webQueryParameters(), fc.nat()).map(([text, since]) => `?session=${FAKE_SESSION_ID}&since=${since}&${text}`),
);
const inputs: fc.Arbitrary<Input> = fc.oneof(
  fc.record({
    to: fc.constant('host' as const),
    query,
    frames: fc.array(frame, { maxLength: 6 }).map((all) => base64Of(Buffer.concat(all))),
  }),
  fc.record({
    to: fc.constant('page' as const),
    which: fc.nat(60),
    edits: fc.oneof(
      { weight: 2, arbitrary: fc.constant([]) },
      editsArbitrary(['null', '{}', '[]', '-1', '1e999', '""', ',', '"__proto__":']),
    ),
    swap: fc.array(fc.tuple(fc.nat(400), fc.oneof(fc.jsonValue({ maxDepth: 2 }), fc.constantFrom(null, 1e300, -1, 'x'.repeat(1000)))), {
      maxLength: 3,
    }) as fc.Arbitrary<readonly (readonly [number, unknown])[]>,
  }),
);

const EVENTS: readonly PipelineEvent[] = [
  ...openingEvents('2026-03-14T09:30:00.000Z'),
  ...instrumentEvents(),
  ...eventsBetween(0, 20e9),
  ...watchEventsAt(20e9),
  new FakeCrew().holdPoints(20e9),
  limitEvent(20e9, 'active'),
  { type: 'note', atNs: 20e9, text: 'film changed' },
  { type: 'rig-rejected', atNs: 20e9, problems: ['it is empty'] },
];

function soundMessages(): readonly LiveMessage[] {
  const feed = new LiveFeed({ mode: 'live' });
  for (const event of EVENTS) feed.accept(event);
  const told = feed.flush(20e9);
  const snapshot = feed.snapshot(20e9);
  return snapshot ? [snapshot, ...told] : told;
}
const SOUND = soundMessages();
const [SNAPSHOT] = SOUND;

let server: RunningServer | undefined;

async function serverOf(): Promise<RunningServer> {
  if (server) return server;
  const feed = new LiveFeed({ mode: 'live' });
  for (const event of EVENTS) feed.accept(event);
  const endless = { atOnce: 1e9, perS: 1e9 };
  server = await startServer({ feed, port: 0, pagesDir: '/nonexistent', limits: { requests: endless } });
  return server;
}

/** The value at the n-th place of a message, in the order of its text, becomes another. */
function swapped(message: LiveMessage, swap: readonly (readonly [number, unknown])[]): unknown {
  let place = 0;
  return JSON.parse(JSON.stringify(message), (_key, value) => {
    const found = swap.find(([at]) => at === place);
    place += 1;
    return found ? found[1] : value;
  });
}

/** The page says on its console what it could not take; here it is thousands. */
function quietly(work: () => void): void {
  const { error } = console;
  console.error = () => undefined;
  try {
    work();
  } finally {
    console.error = error;
  }
}

export const live: FuzzTarget = {
  name: 'live',
  inputs,
  async feed(input: Input) {
    if (input.to === 'page') {
      const sound = SOUND[input.which % SOUND.length] as LiveMessage;
      const text = edited(Buffer.from(JSON.stringify(swapped(sound, input.swap)), 'utf8'), input.edits).toString('utf8');
      quietly(() => takeText(text));
      // Whatever came before, a whole picture puts it right again.
      if (!takeText(JSON.stringify(SNAPSHOT))) throw new Error('the page no longer takes a snapshot');
      return;
    }
    const { port } = await serverOf();
    const socket = await rawSocket(port);
    const url = `/live${input.query.replace(/[^\x21-\x7e]/g, '~')}`;
    socket.write(
      `GET ${url} HTTP/1.1\r\nHost: localhost\r\nConnection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n`,
    );
    socket.write(bytesOf(input.frames));
    socket.end();
    await untilClosed(socket);
    const health = JSON.parse((await ask(port, '/api/health')).body) as { readonly status: string };
    if (health.status !== 'ok') throw new Error('the server is no longer well');
  },
  async close() {
    await server?.close();
    server = undefined;
  },
};

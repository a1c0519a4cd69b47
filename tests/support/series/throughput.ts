/**
 * Points a second through the sender, against a bare loop that posts the same lines in the same batches, both four at a
 * time, to the same server in turns; and from a journal on.
 */
import { Agent, request } from 'node:http';
import { DELIVERY_PORTS, Lane } from '../../../host/cli/series/lane.ts';
import {
  BATCH_LINES_MAX,
  type Batch,
  Delivery,
  IN_FLIGHT_MAX,
  lineSender,
  PickySender,
  type SeriesServer,
} from '../../../host/series/index.ts';
import { writePath } from '../../../host/series/server.ts';

export interface Throughput {
  /** Of each round, points a second. */
  readonly bare: readonly number[];
  readonly sender: readonly number[];
  /** Of what the journal's points are once. */
  readonly fromJournal: number;
}

export async function throughput(options: {
  readonly server: SeriesServer;
  readonly journal: string;
  /** What the journal comes to, as lines. */
  readonly once: readonly string[];
  /** How often they are posted in a round: a longer one is a steadier figure, and to send a point again is as much work. */
  readonly times: number;
  readonly rounds: number;
}): Promise<Throughput> {
  const { server, journal, once, times, rounds } = options;
  const lines = Array.from({ length: times }, () => once).flat();
  const batches: string[][] = [];
  for (let at = 0; at < lines.length; at += BATCH_LINES_MAX) batches.push(lines.slice(at, at + BATCH_LINES_MAX));
  const rate = async (work: () => Promise<void>, count = lines.length): Promise<number> => {
    const begunMs = performance.now();
    await work();
    return count / ((performance.now() - begunMs) / 1000);
  };
  const bare: number[] = [];
  const sender: number[] = [];
  // The first of each warms everything up.
  for (let round = 0; round <= rounds; round++) {
    const [one, other] = [await rate(() => postBare(server, batches)), await rate(() => sendAll(server, batches))];
    if (round === 0) continue;
    bare.push(one);
    sender.push(other);
  }
  return { bare, sender, fromJournal: await rate(() => sendJournal(server, journal), once.length) };
}

async function postBare(server: SeriesServer, batches: readonly (readonly string[])[]): Promise<void> {
  const agent = new Agent({ keepAlive: true, maxSockets: IN_FLIGHT_MAX });
  const { hostname, port } = new URL(server.url);
  const waiting = batches.values();
  const post = (lines: readonly string[]): Promise<void> =>
    new Promise((resolve, reject) => {
      const body = Buffer.from(lines.join('\n'));
      const one = request(
        { agent, hostname, port, path: writePath(server), method: 'POST', headers: { 'content-length': body.length } },
        (answer) => {
          answer.resume().once('end', () => (answer.statusCode === 204 ? resolve() : reject(new Error(String(answer.statusCode)))));
        },
      );
      one.once('error', reject);
      one.end(body);
    });
  await Promise.all(
    Array.from({ length: IN_FLIGHT_MAX }, async () => {
      for (const lines of waiting) await post(lines);
    }),
  );
  agent.destroy();
}

async function sendAll(server: SeriesServer, batches: readonly (readonly string[])[]): Promise<void> {
  let at = 0;
  const source = {
    next: (): Batch<number> | 'end' => {
      const lines = batches[at];
      if (lines === undefined) return 'end';
      at += 1;
      return { lines, after: at };
    },
    returnTo: (place: number): void => {
      at = place;
    },
  };
  const sender = lineSender(server);
  await new Delivery(source, new PickySender(sender), 0, DELIVERY_PORTS).run(new AbortController().signal);
  sender.close();
}

async function sendJournal(server: SeriesServer, path: string): Promise<void> {
  const sender = lineSender(server);
  const from = { taken: 0, settled: 0, ended: false };
  await new Lane({ path, server, sender: new PickySender(sender), isOver: () => true, from }).run(new AbortController().signal);
  sender.close();
}

/**
 * One session in which each link is killed in turn, again and again, by its cable: do the others hear every sample, and
 * is everything that a killed opening used given back?
 */
import { randomStream } from '../../../firmware-sim/world/random.ts';
import { FLEET } from './fleet.ts';
import { FleetSession } from './fleet-session.ts';
import type { ChannelCount } from './journal-count.ts';
import { type Held, leastHeld } from './machine.ts';

export interface KillsResult {
  readonly kills: number;
  readonly counts: readonly ChannelCount[];
  readonly twice: number;
  /** Every link running: after the first rounds, and after the last. */
  readonly warm: Held;
  readonly after: Held;
  /** Without a session: before the first, and after this one. */
  readonly before: Held;
  readonly closed: Held;
}

export interface KillsOptions {
  readonly seed: number;
  readonly rounds: number;
  /** Kills go on for so long before memory is looked at; 40 s fill what the pipeline keeps of the past, which is bounded. */
  readonly warmUpS: number;
}

export async function killEachInTurn({ seed, rounds, warmUpS }: KillsOptions): Promise<KillsResult> {
  // What is loaded once is loaded then.
  await inSession(seed, async () => undefined);
  const before = await leastHeld();
  const found = await inSession(seed, async (session) => {
    const random = randomStream(seed, 'instrument-kills');
    const killAll = async (): Promise<void> => {
      for (const { name } of FLEET) await kill(session, name, random.uniform() < 0.5);
    };
    const look = async (): Promise<Held> => {
      await session.hears((await session.fleet.tell('counts')).counts);
      return leastHeld();
    };
    const untilMs = performance.now() + warmUpS * 1000;
    do await killAll();
    while (performance.now() < untilMs);
    const warm = await look();
    for (let round = 0; round < rounds; round += 1) await killAll();
    return { warm, after: await look(), twice: session.twice };
  });
  return { ...found, kills: rounds * FLEET.length, before, closed: await leastHeld() };
}

async function inSession<T>(
  seed: number,
  act: (session: FleetSession) => Promise<T>,
): Promise<T & { readonly counts: readonly ChannelCount[] }> {
  const session = await FleetSession.open(seed);
  await session.begin();
  const found = await act(session);
  return { ...found, counts: await session.close() };
}

async function kill(session: FleetSession, name: string, atOnce: boolean): Promise<void> {
  const openings = session.openings(name);
  await session.fleet.tell(atOnce ? 'pull-and-plug' : 'unplug', name);
  if (!atOnce) {
    await session.until(`${name} is lost`, () => session.state(name) === 'lost');
    await session.fleet.tell('replug', name);
  }
  await session.until(`${name} runs again`, () => session.openings(name) > openings && session.state(name) === 'running');
}

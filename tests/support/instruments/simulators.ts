/**
 * The ten instruments in a process of their own, so that what they cost is not counted: each on a pseudo-terminal of its
 * own. Told by its parent over Node's message channel to begin, to pull and plug wires, and what it has sampled so far.
 */
import path from 'node:path';
import { createBme280, createFirmataBoard } from '../../../firmware-sim/boards/firmata-board/index.ts';
import { createGateBoard } from '../../../firmware-sim/boards/gate-board.ts';
import { createTextInstrument } from '../../../firmware-sim/boards/text-instrument.ts';
import { createMemoryLine, type LineEnd } from '../../../firmware-sim/wires/memory.ts';
import { openPtyWire } from '../../../firmware-sim/wires/pty.ts';
import {
  BLOCK_SAMPLES,
  boardIdOf,
  type CountedChannel,
  FAST_PERIOD_TICKS,
  FLEET,
  type Member,
  PRINT_EVERY_S,
  WITH_WEATHER,
} from './fleet.ts';

/** Each is answered once, in order. */
export interface Told {
  readonly what: 'begin' | 'counts' | 'unplug' | 'replug' | 'pull-and-plug' | 'stop';
  readonly name?: string;
}
export type Answer = Readonly<Record<string, number>>;

const [wires = '.', seedText = '1'] = process.argv.slice(2);
const seed = Number(seedText);
const STEP_MS = 2;
const VOLTS = 5;

/** Samples taken so far, by channel. */
const taken: Record<string, number> = {};
const next = ({ name, modulus }: CountedChannel): number => {
  const count = taken[name] ?? 0;
  taken[name] = count + 1;
  return count % modulus;
};

function endOf({ name, kind, channels }: Member): LineEnd {
  const [first] = channels as readonly [CountedChannel];
  if (kind === 'gate-board') {
    return createGateBoard({
      seed,
      boardId: boardIdOf(name),
      baudRate: 500_000,
      tickRateHz: 16_000_000,
      tickRateErrorPpmMax: 50,
      inputs: { takeEdges: () => [], sampleCounts: (channel) => next(channels[channel] as CountedChannel) },
      samplePlans: channels.map(({ index }) => ({ channel: index, periodTicks: FAST_PERIOD_TICKS, blockSamples: BLOCK_SAMPLES })),
    });
  }
  if (kind === 'text') {
    const print = (): string => `N=${next(first)}`;
    return createTextInstrument({ seed, name, baudRate: 9600, print, when: { periodS: PRINT_EVERY_S } });
  }
  const air = { temperatureK: 291, pressurePa: 98_765, relativeHumidity: 0.5 };
  return createFirmataBoard({
    firmwareName: 'StandardFirmata.ino',
    baudRate: 57_600,
    analogVolts: channels.map((channel) => () => ((next(channel) + 0.5) / channel.modulus) * VOLTS),
    referenceVolts: VOLTS,
    i2cDevices: name === WITH_WEATHER ? [createBme280({ air: () => air })] : [],
  });
}

async function main(): Promise<void> {
  const wire = new Map(await Promise.all(FLEET.map(async ({ name }) => [name, await openPtyWire(path.join(wires, name))] as const)));
  let stopped = false;

  const begin = (): void => {
    const startMs = performance.now();
    const nowS = (): number => (performance.now() - startMs) / 1000;
    const lines = FLEET.map((member) => {
      const line = createMemoryLine({ seed, end: endOf(member) });
      const own = wire.get(member.name);
      own?.onData((bytes) => line.send(Uint8Array.from(bytes), nowS()));
      return () => {
        for (const { bytes } of line.advanceTo(nowS())) own?.write(bytes);
      };
    });
    const step = (): void => {
      if (stopped) return;
      for (const advance of lines) advance();
      setTimeout(step, STEP_MS);
    };
    step();
  };

  const act = async ({ what, name = '' }: Told): Promise<Answer> => {
    const own = wire.get(name);
    if (what === 'begin') begin();
    if (what === 'unplug' || what === 'pull-and-plug') await own?.unplug();
    if (what === 'replug' || what === 'pull-and-plug') await own?.replug();
    if (what === 'stop') {
      stopped = true;
      for (const each of wire.values()) await each.close();
    }
    return { ...taken };
  };

  process.on('message', (told: Told) => {
    // What fails here ends this process, and its parent waits in vain and says so.
    void act(told).then((answer) => {
      process.send?.(answer);
      if (told.what === 'stop') process.disconnect();
    });
  });
  process.on('disconnect', () => process.exit());
  process.send?.({});
}

await main();

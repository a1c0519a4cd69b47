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
import { type AlarmTime, AlarmWatch } from './alarm-watch.ts';
import {
  BLOCK_SAMPLES,
  boardIdOf,
  CHANNELS,
  type CountedChannel,
  FAST_PERIOD_TICKS,
  FLEET,
  GATE_BAUD_RATE,
  type Member,
  PRINT_EVERY_S,
  WITH_WEATHER,
} from './fleet.ts';
import { SHOT_BOARD, ShotCourse, type ShotWritten } from './shot-course.ts';

/** Each is answered once, in order. */
export interface Told {
  readonly what: 'begin' | 'fire' | 'cease' | 'counts' | 'unplug' | 'replug' | 'pull-and-plug' | 'watch' | 'end-watch' | 'stop';
  /** Of the instrument; of the pages' address, to watch. */
  readonly name?: string;
}
/** Samples taken so far, by channel. */
export type Counts = Readonly<Record<string, number>>;
export interface Answer {
  readonly counts: Counts;
  readonly alarms: readonly AlarmTime[];
  readonly alarmsUnheard: number;
  readonly shots: readonly ShotWritten[];
}

const [wires = '.', seedText = '1', mode = 'count'] = process.argv.slice(2);
const seed = Number(seedText);
const STEP_MS = 2;
const VOLTS = 5;
const PHASE_STEP = 397;

/** Samples taken so far, by channel. */
const taken: Record<string, number> = {};
const next = ({ name, ...channel }: CountedChannel): number => {
  const count = taken[name] ?? 0;
  taken[name] = count + 1;
  // Alarms spread over time, not all in one breath.
  const phase = PHASE_STEP * CHANNELS.findIndex((other) => other.name === name);
  return mode === 'alarm' ? (count + phase) % channel.alarmModulus : count % channel.modulus;
};
const watch = new AlarmWatch();
const course = new ShotCourse();

function endOf({ name, kind, channels }: Member): LineEnd {
  const [first] = channels as readonly [CountedChannel];
  if (kind === 'gate-board') {
    return createGateBoard({
      seed,
      boardId: boardIdOf(name),
      baudRate: GATE_BAUD_RATE,
      tickRateHz: 16_000_000,
      tickRateErrorPpmMax: 50,
      inputs: {
        takeEdges: (untilS) => (name === SHOT_BOARD ? course.takeEdges(untilS) : []),
        sampleCounts: (channel) => next(channels[channel] as CountedChannel),
      },
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
    analogVolts: channels.map((channel) => () => ((next(channel) + 0.5) / 1024) * VOLTS),
    referenceVolts: VOLTS,
    i2cDevices: name === WITH_WEATHER ? [createBme280({ air: () => air })] : [],
  });
}

async function main(): Promise<void> {
  const wire = new Map(await Promise.all(FLEET.map(async ({ name }) => [name, await openPtyWire(path.join(wires, name))] as const)));
  let stopped = false;

  let startMs = 0;
  const nowS = (): number => (performance.now() - startMs) / 1000;
  const begin = (): void => {
    startMs = performance.now();
    const lines = FLEET.map((member) => {
      const line = createMemoryLine({ seed, end: endOf(member) });
      const own = wire.get(member.name);
      const look = mode === 'alarm' ? watch.of(member) : member.name === SHOT_BOARD ? course.look : () => undefined;
      own?.onData((bytes) => line.send(Uint8Array.from(bytes), nowS()));
      return () => {
        for (const { bytes } of line.advanceTo(nowS())) {
          own?.write(bytes);
          look(bytes);
        }
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
    if (what === 'fire') course.begin(nowS());
    if (what === 'cease') course.cease();
    if (what === 'unplug' || what === 'pull-and-plug') await own?.unplug();
    if (what === 'replug' || what === 'pull-and-plug') await own?.replug();
    if (what === 'watch') await watch.connect(name);
    if (what === 'end-watch') watch.end();
    if (what === 'stop') {
      stopped = true;
      watch.close();
      for (const each of wire.values()) await each.close();
    }
    return { counts: { ...taken }, alarms: watch.times, alarmsUnheard: watch.unheard, shots: course.written };
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

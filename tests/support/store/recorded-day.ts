/**
 * A day at the range as its samples: eight channels at 1 kHz as boards of 12 to 16 bits count them, in blocks of 50, with
 * the noise and the slow courses of real transducers. What varies from one run of ten seconds to the next is drawn once.
 */
import { randomStream } from '../../../firmware-sim/world/random.ts';
import type { PipelineEvent, SamplesEvent } from '../../../protocol/index.ts';

export interface DayChannel {
  readonly name: string;
  readonly bits: number;
  /** Of the noise, standard deviation, counts. */
  readonly noise: number;
  /** SI = zeroSi + count × perCountSi, and the air's pressure where it is a gauge. */
  readonly zeroSi: number;
  readonly perCountSi: number;
  readonly isGauge: boolean;
}

const channel = (name: string, bits: number, noise: number, rest: Partial<DayChannel> = {}): DayChannel => ({
  ...{ name, bits, noise, zeroSi: -51_713.2, perCountSi: 5.1e6 / 2 ** bits, isGauge: false },
  ...rest,
});

export const DAY_CHANNELS: readonly DayChannel[] = [
  channel('reservoirPressure', 16, 6, { isGauge: true }),
  channel('barrelPressure', 16, 12),
  channel('fillLine', 14, 3),
  channel('barrelVacuum', 16, 25),
  channel('reservoirTemperature', 12, 0.6, { zeroSi: 253.15, perCountSi: 80 / 4096 }),
  channel('breechTemperature', 12, 0.9, { zeroSi: 253.15, perCountSi: 80 / 4096 }),
  channel('supplyVoltage', 12, 1.5, { zeroSi: 0, perCountSi: 30 / 4096 }),
  channel('driveLine', 14, 8),
];

const BLOCK = 50;
const PERIOD_NS = 1e6;
/** Noise is drawn for so many seconds, and used again and again on a course that does not repeat with it. */
const NOISE_S = 31;
const BLOCKS_A_SECOND = 1e9 / (BLOCK * PERIOD_NS);
/** A shot every twenty minutes: five of filling, ten of holding, a firing, five of rest. */
const CYCLE_S = 1_200;
const FILL_S = 300;
const FIRED_S = 900;

/** @returns the events of each second of session time, one after the other; the same for the same seed */
export function* daySeconds(seconds: number, seed: number, channels = DAY_CHANNELS): Generator<readonly PipelineEvent[]> {
  const random = randomStream(seed, 'day');
  const noise = channels.map((each) => Array.from({ length: NOISE_S * BLOCKS_A_SECOND * BLOCK }, () => random.normal() * each.noise));
  let clockOffNs = 0;
  for (let second = 0; second < seconds; second++) {
    // Each exchange of stamps moves the fit of the board's clock by some tens of nanoseconds.
    clockOffNs += random.normal() * 40;
    const ambientPa = 101_325 + Math.round(400 * Math.sin(second / 3_000) + random.normal() * 2) / 10;
    const events: SamplesEvent[] = [];
    for (let block = 0; block < BLOCKS_A_SECOND; block++) {
      const fromNs = Math.round(second * 1e9 + block * BLOCK * PERIOD_NS + 12_345 + clockOffNs);
      channels.forEach((each, i) => {
        events.push(blockOf(each, noise[i] as number[], { second, block, fromNs, addedSi: each.isGauge ? ambientPa : 0 }));
      });
    }
    yield events;
  }
}

interface Place {
  readonly second: number;
  readonly block: number;
  readonly fromNs: number;
  readonly addedSi: number;
}

function blockOf(channel: DayChannel, noise: readonly number[], { second, block, fromNs, addedSi }: Place): SamplesEvent {
  const full = 2 ** channel.bits - 1;
  const from = ((second % NOISE_S) * BLOCKS_A_SECOND + block) * BLOCK;
  const middle = full * courseAt(second + block / BLOCKS_A_SECOND);
  const counts = Array.from({ length: BLOCK }, (_, i) => Math.min(full, Math.max(0, Math.round(middle + (noise[from + i] as number)))));
  const valuesSi = counts.map((count) => channel.zeroSi + count * channel.perCountSi + addedSi);
  const { name } = channel;
  return {
    type: 'samples',
    atNs: fromNs,
    channel: name,
    stream: 'slow',
    fromNs,
    periodNs: PERIOD_NS * (1 + 3e-6),
    valuesSi,
    counts,
    addedSi,
  };
}

/** Of the range, 0.1 at rest to 0.8 when filled. */
function courseAt(atS: number): number {
  const inCycle = atS % CYCLE_S;
  if (inCycle < FILL_S) return 0.1 + (0.7 * inCycle) / FILL_S;
  return inCycle < FIRED_S ? 0.8 - 1e-5 * (inCycle - FILL_S) : 0.1;
}

/**
 * From whatever brings numbers (a block of counts, a driver's reading, a text instrument's line) to the samples of
 * channels. Blocks are timed by their board's clock; readings and lines by their arrival.
 */
import type { LineRecord, PipelineEvent, RawFault, ReadingRecord, SamplesEvent } from '../../protocol/index.ts';
import { hostNs } from '../metrology/index.ts';
import { type Channel, channelOn, type Rig, type TextSetup, textReader } from '../rig/index.ts';
import { keepBlock, NO_SAMPLES, type SampleBlock } from './channel-history.ts';
import { ambientPressurePa } from './latch.ts';
import { readingOf } from './reading-of.ts';
import { takeReservoirBlock } from './shots.ts';
import type { PipelineState } from './state.ts';
import { countLine, tellText } from './text-counters.ts';
import { boardOf, clockOf, nsPerTick } from './time.ts';
import { watchSamples } from './watching.ts';

type Step = readonly [PipelineState, readonly PipelineEvent[]];

/** Of one channel, calibrated, with the first fault among them. */
interface Samples extends SamplesEvent {
  readonly fault: RawFault | undefined;
  /** The numbers that they were made of. */
  readonly raw: readonly number[];
  /** That is in the values of a gauge pressure. */
  readonly ambientPa: number | undefined;
}

/** A block of a gate board's counts. */
export function takeBlock(state: PipelineState, rig: Rig, channel: Channel, block: SampleBlock, atNs: number): Step {
  const [kept, samples] = withBlock(state, rig, channel, block, atNs);
  const [watched, events] = samples ? told(kept, samples, { counts: samples.raw, addedSi: samples.ambientPa ?? 0 }) : [kept, []];
  if (block.stream === 'burst' || channel.name !== 'reservoirPressure') return [watched, events];
  const { ticks, periodTicks } = block;
  const board = boardOf(watched, channel.board);
  const periodS = (periodTicks * nsPerTick(board, rig, channel.board)) / 1e9;
  const pressuresPa = samples?.valuesSi ?? valuesOf(kept, rig, channel, block.counts, atNs).valuesSi;
  const bootId = board?.sequence.bootId ?? 0;
  const [next, later] = takeReservoirBlock(watched, rig, {
    board: channel.board,
    bootId,
    ticks,
    periodTicks,
    periodS,
    pressuresPa,
    arrivedAtNs: atNs,
  });
  return [next, [...events, ...later]];
}

/** What a board's driver hands over. Names that no channel reads are passed by, and boards that have no driver. */
export function takeReading(state: PipelineState, rig: Rig, { source, atNs, value }: ReadingRecord): Step {
  if (rig.boards.find((board) => board.name === source)?.kind !== 'firmata') return [state, []];
  return takeNumbers(state, rig, source, value, atNs);
}

/** A text instrument's line. */
export function takeText(state: PipelineState, rig: Rig, setup: TextSetup, { source, atNs, bytes }: LineRecord): Step {
  const line = textReader(setup.layout)(bytes);
  const why = !line.ok ? line.why : line.unreadable.length > 0 ? 'not-a-number' : undefined;
  const [counted, events] = tellText(countLine(state.texts[source], { atNs, bytes, why }), source, atNs);
  const next = { ...state, texts: { ...state.texts, [source]: counted } };
  const [taken, samples] = line.ok ? takeNumbers(next, rig, source, line.values, atNs) : [next, []];
  return [taken, [...events, ...samples]];
}

function takeNumbers(state: PipelineState, rig: Rig, source: string, values: Readonly<Record<string, number>>, atNs: number): Step {
  return Object.entries(values).reduce<Step>(
    ([before, events], [name, value]) => {
      const channel = channelOn(rig, source, name);
      if (!channel || !Number.isFinite(value)) return [before, events];
      const last = before.channels[channel.name]?.slow.at(-1);
      const periodTicks = Math.min(INTERVAL_NS_MAX, Math.max(INTERVAL_NS_MIN, atNs - (last?.ticks ?? atNs)));
      const [kept, samples] = withBlock(before, rig, channel, { stream: 'slow', ticks: atNs, periodTicks, counts: [value] }, atNs);
      const [next, more] = samples ? told(kept, samples) : [kept, []];
      return [next, [...events, ...more]];
    },
    [state, []],
  );
}

/** A sample that came alone stands for the time since the one before, within reason. */
const INTERVAL_NS_MIN = 1e6;
const INTERVAL_NS_MAX = 10e9;

/** @returns no samples where the board's clock has not been fitted yet: nobody could say when they were */
function withBlock(
  state: PipelineState,
  rig: Rig,
  channel: Channel,
  block: SampleBlock,
  atNs: number,
): [PipelineState, Samples | undefined] {
  const { name, board } = channel;
  const history = keepBlock(state.channels[name] ?? NO_SAMPLES, block);
  const kept = { ...state, channels: { ...state.channels, [name]: history } };
  const clock = clockOf(kept, rig, board);
  if (!clock) return [kept, undefined];
  const { valuesSi, fault, ambientPa } = valuesOf(kept, rig, channel, block.counts, atNs);
  return [
    kept,
    {
      type: 'samples',
      atNs,
      channel: name,
      stream: block.stream,
      fromNs: Math.round(hostNs(clock, block.ticks)),
      periodNs: block.periodTicks * clock.nsPerTick,
      valuesSi,
      fault,
      raw: block.counts,
      ambientPa,
    },
  ];
}

function valuesOf(
  state: PipelineState,
  rig: Rig,
  channel: Channel,
  counts: readonly number[],
  atNs: number,
): Pick<Samples, 'valuesSi' | 'fault' | 'ambientPa'> {
  const ambientPa = channel.reference === 'gauge' ? ambientPressurePa(state, rig, atNs) : undefined;
  let fault: RawFault | undefined;
  const valuesSi = counts.map((count) => {
    const reading = readingOf(state, channel, count);
    fault ??= reading.fault;
    return reading.si + (ambientPa ?? 0);
  });
  return { valuesSi, fault, ambientPa };
}

/** A number that is none is told by the channel's health, and never as a sample. */
function told(
  state: PipelineState,
  { type, atNs, channel, stream, fromNs, periodNs, valuesSi, fault, raw, ambientPa }: Samples,
  counted: Pick<SamplesEvent, 'counts' | 'addedSi'> = {},
): Step {
  const samples: SamplesEvent = { type, atNs, channel, stream, fromNs, periodNs, valuesSi, ...counted };
  const events: readonly PipelineEvent[] = valuesSi.every(Number.isFinite) ? [samples] : [];
  if (stream === 'burst') return [state, events];
  const [next, watched] = watchSamples(state, samples, { fault, raw, ambientPa });
  return [next, [...events, ...watched]];
}

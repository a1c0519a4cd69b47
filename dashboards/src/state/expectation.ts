/** The velocity to expect of the fill and vacuum that stand now, asked of the host where they have changed enough to matter. */
import { computed, effect, signal } from '@preact/signals';
import type { MapExpectation } from '../../../protocol/index.ts';
import { barrelChannel } from '../text/channel-kind.ts';
import type { Answer } from './asked.ts';
import { channelNow } from './channel-now.ts';
import { rig, session } from './live-state.ts';
import { askExpected } from './map.ts';
import { measuringId, shots } from './shots.ts';
import { fill } from './watches.ts';

/** `unset`: no fill stands. */
export type Expectation =
  | { readonly state: 'unset' | 'asking' | 'none' }
  | { readonly state: 'failed'; readonly why: string }
  | ToldExpectation;
interface ToldExpectation {
  readonly state: 'told';
  readonly answer: MapExpectation;
  readonly at: SetNow;
}

interface SetNow {
  readonly reservoirPa: number;
  readonly barrelPa: number;
  readonly gasK?: number;
  readonly airK?: number;
}

export const expectation = signal<Expectation>({ state: 'unset' });

/** While it is let in or out nothing is set yet. */
const SET_PHASES: ReadonlySet<string> = new Set(['settling', 'steady']);
/** Steps in which a change is worth a question: a part of what a velocity is uncertain by. */
const STEP = { reservoirPa: 2e3, barrelPa: 100, temperatureK: 0.5 };
/** Nobody reads faster. */
const ASK_EVERY_MS = 1_000;

const rounded = (value: number, step: number): number => Math.max(Math.round(value / step) * step, step);

/** As text, so that it changes only when a step is passed. */
const asked = computed((): string | undefined => {
  const told = fill.value;
  if (session.value?.mode !== 'live' || !told || !SET_PHASES.has(told.phase)) return undefined;
  // What it will settle at is what will be fired with; while that is not known, what it shows.
  const reservoirPa = told.settling?.settledPressurePa.value ?? channelNow(told.channel).si;
  const hasBarrel = rig.value?.channels.some(({ name }) => name === 'barrelVacuum' || name === 'barrelPressure');
  const barrelPa = channelNow(hasBarrel ? barrelChannel(rig.value) : 'airPressure').si;
  if (reservoirPa === undefined || barrelPa === undefined || !(reservoirPa > barrelPa) || !(barrelPa > 0)) return undefined;
  const [gasK, airK] = [channelNow('reservoirTemperature').si, channelNow('airTemperature').si];
  const now: SetNow = {
    reservoirPa: rounded(reservoirPa, STEP.reservoirPa),
    barrelPa: rounded(barrelPa, STEP.barrelPa),
    ...(gasK === undefined ? {} : { gasK: rounded(gasK, STEP.temperatureK) }),
    ...(airK === undefined ? {} : { airK: rounded(airK, STEP.temperatureK) }),
  };
  return JSON.stringify(now);
});

/** With each shot there is another map. */
const generation = computed(() => `${shots.value[0]?.id} ${measuringId.value === undefined}`);

/** Begins to ask, from now on. */
export function followExpectation(): void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  let lastMs = Number.NEGATIVE_INFINITY;
  effect(() => {
    const now = asked.value;
    generation.value;
    clearTimeout(timer);
    if (now === undefined) {
      expectation.value = { state: 'unset' };
      return;
    }
    if (expectation.peek().state === 'none') return;
    if (expectation.peek().state !== 'told') expectation.value = { state: 'asking' };
    timer = setTimeout(
      () => {
        lastMs = performance.now();
        void askAt(now);
      },
      Math.max(ASK_EVERY_MS - (performance.now() - lastMs), 0),
    );
  });
}

async function askAt(text: string): Promise<void> {
  const at = JSON.parse(text) as SetNow;
  const answer: Answer<MapExpectation> = await askExpected(at);
  // Something else stands by now; its own question is on the way.
  if (asked.peek() !== text) return;
  if (answer.kind === 'answer') expectation.value = { state: 'told', answer: answer.value, at };
  else expectation.value = answer.kind === 'none' ? { state: 'none' } : { state: 'failed', why: answer.why };
}

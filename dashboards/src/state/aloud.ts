/** What is said aloud and when: pressures as they pass the marks that the operator chose, phases, HOLD and READY, alarms, shots. */
import { effect } from '@preact/signals';
import type { DisplaySystem } from '../../../host/units/index.ts';
import { unitOf } from '../../../host/units/index.ts';
import { verdictOf } from '../text/hold-verdict.ts';
import { decadeMarks, evenMarks, passedMark } from '../text/passed-mark.ts';
import { FILL_PHASE, VACUUM_PHASE } from '../text/phase-words.ts';
import { spokenQuantity, spokenShot } from '../text/spoken.ts';
import { gaugeNow } from './channel-now.ts';
import { connection } from './connection.ts';
import { holdPoints } from './crew.ts';
import { rig } from './live-state.ts';
import { units, voiceStep, voiceWanted } from './preferences.ts';
import { announced } from './shots.ts';
import { fallSilent, speak } from './speech.ts';
import { fill, limits, vacuum } from './watches.ts';

/** In the unit that the page shows, coarse to fine. */
export const STEPS: Readonly<Record<DisplaySystem, readonly number[]>> = { SI: [1, 0.5, 0.2, 0.1], US: [100, 50, 20, 10] };

export const stepPa = (system: DisplaySystem, rank: number): number => {
  const symbol = system === 'SI' ? 'MPa' : 'psi';
  const { multiply, divide } = unitOf(symbol, 'pressure');
  return ((STEPS[system][rank] ?? STEPS[system][1] ?? 1) * multiply) / divide;
};

/** Each is silent at first: what stands when the voice is switched on can be read. */
export function startVoice(): void {
  effect(() => {
    if (!voiceWanted.value) return fallSilent();
    return allOf([reservoir(), barrel(), fillPhase(), vacuumPhase(), verdict(), alarms(), shots()]);
  });
}

const allOf = (ends: readonly (() => void)[]) => () => {
  for (const end of ends) end();
};

function reservoir(): () => void {
  let last: number | undefined;
  let lastStepPa: number | undefined;
  return effect(() => {
    const { si } = gaugeNow(fill.value?.channel ?? 'reservoirPressure');
    const everyPa = stepPa(units.value, voiceStep.value);
    if (si === undefined) return;
    if (everyPa !== lastStepPa) last = undefined;
    lastStepPa = everyPa;
    const marks = evenMarks(everyPa);
    const { mark, isNew } = passedMark(marks, last, si);
    last = mark;
    if (isNew) speak({ subject: 'reservoir', text: `Reservoir ${spokenQuantity(marks.valueOf(mark), 'pressure', units.value, 3)} gauge` });
  });
}

function barrel(): () => void {
  let last: number | undefined;
  return effect(() => {
    const pressurePa = vacuum.value?.pressurePa.value;
    if (pressurePa === undefined) return;
    const { mark, isNew } = passedMark(decadeMarks, last, pressurePa);
    last = mark;
    if (isNew) speak({ subject: 'barrel', text: `Barrel ${spokenQuantity(decadeMarks.valueOf(mark), 'vacuum', units.value, 2)} absolute` });
  });
}

/** Says a word whenever it becomes another. */
function onChange(subject: string, wordsNow: () => string | undefined): () => void {
  let last: string | undefined;
  return effect(() => {
    const words = wordsNow();
    if (words !== undefined && last !== undefined && words !== last) speak({ subject, text: words });
    last = words ?? last;
  });
}

const fillPhase = () =>
  onChange('fill', () => (fill.value && fill.value.phase !== 'unknown' ? `Fill: ${FILL_PHASE[fill.value.phase]}` : undefined));
const vacuumPhase = () =>
  onChange('vacuum', () => (vacuum.value && vacuum.value.phase !== 'unknown' ? `Barrel: ${VACUUM_PHASE[vacuum.value.phase]}` : undefined));

const verdict = () =>
  onChange('hold', () => {
    const said = verdictOf({
      told: holdPoints.value,
      namedCount: rig.value?.holdPoints.length ?? 0,
      isHeard: connection.value === 'connected',
    });
    return said && (said.isReady ? 'All hold points are done' : 'Hold');
  });

function alarms(): () => void {
  let known: ReadonlySet<string> | undefined;
  return effect(() => {
    const active = Object.values(limits.value).filter(({ state, severity }) => state === 'active' && severity === 'alarm');
    for (const { id, words } of active) {
      if (known && !known.has(id)) speak({ subject: `alarm ${id}`, text: `Alarm. ${words}`, isUrgent: true });
    }
    known = new Set(active.map(({ id }) => id));
  });
}

function shots(): () => void {
  let last = announced.peek()?.id;
  return effect(() => {
    const shot = announced.value;
    if (shot && shot.id !== last) speak({ subject: 'shot', text: spokenShot(shot, units.value) });
    last = shot?.id ?? last;
  });
}

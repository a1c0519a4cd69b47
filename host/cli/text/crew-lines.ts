/** What the terminal says of what the crew did and of what their list has come to, live and in replay. */
import type {
  AdjustedEvent,
  HoldPointState,
  HoldPointsEvent,
  ImpactsEvent,
  Mass,
  RigSummary,
  ShotWeighedEvent,
  WeatherEvent,
} from '../../../protocol/index.ts';
import { amountText, formatWithUncertainty } from '../../units/index.ts';

/** A line for the terminal. */
export interface Said {
  readonly text: string;
  /** Goes to standard error. */
  readonly isTrouble: boolean;
}

/** Remembers what was said, so that each change is said once; as many entries as the rig file has points and inputs. */
export class CrewLines {
  #points = new Map<string, HoldPointState>();
  #ready: boolean | undefined;
  #flags = new Map<string, string>();
  #impacts = new Map<string, string>();
  #aim = '';

  holdPoints({ points, ready }: HoldPointsEvent): readonly string[] {
    const changed = points.filter((point) => point.done !== (this.#points.get(point.id)?.done ?? false));
    this.#points = new Map(points.map((point) => [point.id, point]));
    const lines = pointLines(changed);
    const missing = points.filter(({ done }) => !done).map(({ name }) => name);
    // HOLD is what everybody expects at the start; it is news only after READY.
    if (ready && this.#ready !== true) lines.push('READY: every hold point is done. This is a list and no interlock.');
    if (!ready && this.#ready === true) lines.push(`HOLD: ${missing.join('; ')}.`);
    this.#ready = ready;
    return lines;
  }

  weather({ inputs }: WeatherEvent): readonly Said[] {
    return inputs.flatMap(({ role, flags }): readonly Said[] => {
      const before = this.#flags.get(role);
      const now = flags.join(', ');
      this.#flags.set(role, now);
      // What was missing at the start and has come is told by its channel.
      if (before === undefined || now === before || before === 'missing') return [];
      return now === ''
        ? [{ text: `${role} is usable again.`, isTrouble: false }]
        : [{ text: `${role} is ${flagWords(now)}.`, isTrouble: true }];
    });
  }

  impacts({ impacts, aim }: ImpactsEvent): readonly string[] {
    const lines: string[] = [];
    const aimed = aim ? placeText(aim) : '';
    if (aimed !== this.#aim) lines.push(`Aim: ${aimed} of the point to be hit.`);
    this.#aim = aimed;
    for (const { shotId, at } of impacts) {
      const place = placeText(at);
      if (this.#impacts.get(shotId) !== place) lines.push(`Impact of shot ${shotId}: ${place} of the point to be hit.`);
      this.#impacts.set(shotId, place);
    }
    return lines;
  }
}

const flagWords = (flags: string): string =>
  flags.replace('in-sun', 'read in the sun').replace('stale', 'too old').replace('unfit', 'not healthy');

/** Those that changed for one reason are one line: a firing takes all ticks back at once. */
function pointLines(changed: readonly HoldPointState[]): string[] {
  const reasons = new Map<string, string[]>();
  for (const { name, by, done, who, detail } of changed) {
    const why = by === 'crew' ? [who, done ? '' : detail].filter((part) => part !== '').join(', ') : done ? '' : detail;
    const reason = `${done ? 'done' : 'open again'}|${why}`;
    reasons.set(reason, [...(reasons.get(reason) ?? []), name]);
  }
  return [...reasons].map(([reason, names]) => {
    const [what, why] = reason.split('|', 2);
    return `Hold point${names.length > 1 ? 's' : ''} ${what}: ${names.join('; ')}${why ? ` (${why})` : ''}.`;
  });
}

/** @param rig  undefined before there is one */
export function adjustedLine({ channel, act, before, after, who }: AdjustedEvent, rig: RigSummary | undefined): string {
  const unit = rig?.channels.find(({ name }) => name === channel)?.unit ?? '1';
  const text = (adjustment: AdjustedEvent['before']): string =>
    `gain ${adjustment.gain.toFixed(5)}, offset ${amountText(adjustment.offsetSi, unit)}`;
  return `Channel ${channel} ${act === 'zero' ? 'set to zero' : 'calibrated'} by ${who}: ${text(before)} before, ${text(after)} now.`;
}

/** Such as `Shot …-003 weighed by Ane: 126.0 g ± 0.2 g before, 125.4 g ± 0.1 g now (on the balance).` */
export const weighedLine = ({ shotId, before, after, reason, who }: ShotWeighedEvent): string =>
  `The projectile of shot ${shotId} weighed by ${who}: ${massText(before)} before, ${massText(after)} now (${reason}); the shot is reduced anew.`;

/** With its expanded uncertainty (k = 2). */
export const massText = ({ valueKg, standardUncertaintyKg }: Mass): string =>
  `${formatWithUncertainty(valueKg, 2 * standardUncertaintyKg, 'mass', 'SI')}`;

function placeText({ rightM, upM }: { readonly rightM: number; readonly upM: number }): string {
  const side = (m: number, to: string, from: string): string => `${(1000 * Math.abs(m)).toFixed(1)} mm ${m < 0 ? from : to}`;
  return `${side(rightM, 'right', 'left')} and ${side(upM, 'above', 'below')}`;
}

import type { MapSource } from '../../../protocol/index.ts';
import type { ShotScore } from './fitted-map.ts';

/** Beyond it a shot is outside the 95 % band. */
const OUTSIDE = 0.05;
const percent = (share: number): string => `${(100 * Math.abs(share)).toFixed(1)} %`;

/** What a shot's departure comes to, in a sentence or two; empty where it is within the band. */
export function remarkOn(
  { departure, score, tailProbability }: Omit<ShotScore, 'expected'>,
  isSetAside: boolean,
  flags: MapSource['flags'] = [],
): string {
  if (tailProbability >= OUTSIDE) return '';
  const isFast = departure > 0;
  const off = `${percent(departure)} ${isFast ? 'faster' : 'slower'} than the other shots give for its fill and vacuum (${Math.abs(score).toFixed(1)} standard deviations, ${oddsText(tailProbability)})`;
  const aside = isSetAside ? ' It is left out of the map.' : '';
  const flagged = flags.length === 0 ? '' : ` Its flags: ${flags.join(', ')}.`;
  return `${off}.${aside} Before the next shot look at ${isFast ? FAST : SLOW}.${flagged}`;
}

/** What makes a shot slower than its fill: all that takes pressure or adds friction; and a gauge that reads high. */
const SLOW =
  'a leak at reservoir, valve or breech, the film (was the vacuum held?), the projectile (mass, diameter, dirt in the bore), and the fill gauge, which may read high';
const FAST = 'the projectile (mass, diameter, a looser fit), the film, a fill that was still warm, and the fill gauge, which may read low';

function oddsText(tailProbability: number): string {
  if (tailProbability < 1e-6) return 'less than one honest shot in a million';
  const odds = 1 / tailProbability;
  const rounded = odds < 100 ? Math.round(odds) : Number(odds.toPrecision(2));
  return `one honest shot in ${rounded}`;
}
